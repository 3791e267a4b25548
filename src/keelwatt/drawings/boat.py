"""The boat to scale with the kit aboard: from above, from the side, from astern."""

from collections.abc import Callable
from math import radians, tan

import numpy as np
from markupsafe import Markup

from keelwatt.drawings import aboard, boat_key
from keelwatt.drawings.legend import legend
from keelwatt.drawings.marks import Box
from keelwatt.drawings.scene import Scene
from keelwatt.drawings.svg import Drawing, Point, element, group, points
from keelwatt.drawings.symbols import stroke, water
from keelwatt.drawings.views import MARGIN, TALLEST, WIDTH, Eye, View, eye, panel
from keelwatt.explain.advise import Advice

Lines = tuple[list[Markup], list[Point]]
Hull = Callable[[Scene, Eye], Lines]
"""Lines of a hull, and points a drawing must hold for them."""

SIDE_POINTS = 61
"""Points of a curved side."""

STEEPEST = 0.5
"""No tilted waterline is drawn steeper than this."""

SECTION_WIDTH, SECTION_HEIGHT = 240.0, 170.0

SIDES = "port is above, starboard below"
MARKS = "marks as in the view from above"

CHAIN = "8 3 2 3"
"""Dashes of an axis."""


def from_above(advice: Advice) -> Drawing:
    """The waterline, what stands in it and hangs on it, and the key to all marks.

    Raises ValueError if the advice holds no kit.
    """
    scene = Scene.of(advice)
    seen = _view(scene, _along(scene, down=1, sign=1.0), _from_above)
    body, height = panel(seen, ("stern", "from above: the waterline", "bow"), top=0.0, note=SIDES)
    key, height = legend(boat_key.above(scene), top=height, width=WIDTH)
    told = boat_key.described_above(scene)
    return Drawing("boat-above", "The boat from above", told, WIDTH, height + 4, group([body, key]))


def from_the_side(advice: Advice) -> Drawing:
    """The boat at its draught, from starboard and from astern, with its own key.

    Numbers and letters are those of :func:`from_above`. Raises ValueError if the advice holds no
    kit.
    """
    scene = Scene.of(advice)
    along = _view(scene, _along(scene, down=2, sign=-1.0), _from_starboard)
    across = _view(scene, _astern(scene), _from_astern)
    side, height = panel(along, ("stern", "from starboard", "bow"), top=0.0, note=MARKS)
    section, height = panel(across, ("port", "from astern", "starboard"), top=height + 8)
    key, height = legend(boat_key.side(scene), top=height, width=WIDTH)
    told, title = boat_key.described_side(scene), "The boat from the side and from astern"
    body = group([side, section, key])
    return Drawing("boat-side", title, told, WIDTH, height + 4, body)


def _along(scene: Scene, *, down: int, sign: float) -> Eye:
    """One scale for both views along the boat."""
    x, y, z = zip(*scene.corners, strict=True)
    scale = min(
        (WIDTH - 2 * MARGIN) / (max(x) - min(x)),
        TALLEST / (max(y) - min(y)),
        TALLEST / (max(z) - min(z)),
    )
    return eye(0, down, sign, scale=scale, middle_m=(min(x) + max(x)) / 2)


def _astern(scene: Scene) -> Eye:
    _, y, z = zip(*scene.corners, strict=True)
    scale = min(SECTION_WIDTH / (max(y) - min(y)), SECTION_HEIGHT / (max(z) - min(z)))
    return eye(1, 2, -1.0, scale=scale, middle_m=(min(y) + max(y)) / 2)


def _view(scene: Scene, seen: Eye, hull: Hull) -> View:
    lines, ends = hull(scene, seen)
    return View(
        shapes=group([*lines, *aboard.shapes(scene, seen)]),
        boxes=(*aboard.extent(scene, seen), *(Box(*end) for end in ends)),
        marks=tuple(aboard.marks(scene, seen)),
        taken=tuple(aboard.kept_clear(scene, seen)),
        scale=seen.scale,
    )


def _from_above(scene: Scene, seen: Eye) -> Lines:
    """The waterline by the half-breadth that resistance is computed with, and its two axes."""
    craft = scene.case.outing.craft
    half_m, beam_m = craft.waterline_length_m / 2, craft.waterline_beam_m / 2
    share = np.linspace(-1.0, 1.0, SIDE_POINTS)
    y_m = beam_m * (1 - np.abs(share) ** craft.waterplane_fineness)
    starboard = zip(half_m * share, y_m, strict=True)
    port = zip(half_m * share[::-1], -y_m, strict=True)
    outline = [seen.point(float(x), float(y), 0.0) for x, y in (*starboard, *port)]
    return [
        element("polygon", points=points(outline), class_="hull"),
        stroke(seen.point(-half_m, 0, 0), seen.point(half_m, 0, 0), "axis", dashes=CHAIN),
        stroke(seen.point(0, -beam_m, 0), seen.point(0, beam_m, 0), "axis", dashes=CHAIN),
    ], outline


def _from_starboard(scene: Scene, seen: Eye) -> Lines:
    """The keel, and the ends up to the water."""
    half_m, draft_m = scene.case.outing.craft.waterline_length_m / 2, scene.balance.draft_m
    keel = ((-half_m, draft_m), (-half_m, 0.0), (half_m, 0.0), (half_m, draft_m))
    afloat = scene.balance
    slope = _slope(afloat.trim_deg, afloat.mass.x_m)
    return _floating(scene, seen, [seen.point(x, 0, z) for x, z in keel], slope)


def _from_astern(scene: Scene, seen: Eye) -> Lines:
    """The middle section up to the water."""
    craft, afloat = scene.case.outing.craft, scene.balance
    depth = np.linspace(0.0, 1.0, SIDE_POINTS)
    y_m = craft.waterline_beam_m / 2 * (1 - depth**craft.fullness)
    z_m = afloat.draft_m * (1 - depth)
    port = zip(-y_m, z_m, strict=True)
    starboard = zip(y_m[::-1], z_m[::-1], strict=True)
    section = [seen.point(0, float(y), float(z)) for y, z in (*port, *starboard)]
    return _floating(scene, seen, section, _slope(afloat.heel_deg, afloat.mass.y_m))


def _slope(tilt_deg: float, towards: float) -> float:
    """Rise of the drawn water to the right; it rises to where the weight is."""
    slope = min(STEEPEST, boat_key.STEEPER * tan(radians(tilt_deg)))
    return slope if towards > 0 else -slope


def _floating(scene: Scene, seen: Eye, wet: list[Point], slope: float) -> Lines:
    """A hull's line below the water and plumb sides above; the water, level and tilted."""
    (left, level), (right, _) = wet[0], wet[-1]
    rail = seen.point(0, 0, scene.rail_m)[1]
    edge = WIDTH - MARGIN / 2
    half = (right - left) / 2
    low, high = (left, level + slope * half), (right, level - slope * half)
    shapes = [
        stroke((WIDTH - edge, level), (edge, level), "axis"),
        water(edge - 5, level),
        element("polygon", points=points(wet), class_="soft-fill"),
        element("polyline", points=points(wet), class_="hull", fill="none"),
        *(stroke((x, level), (x, rail), "axis", dashes=boat_key.DOTS) for x in (left, right)),
        stroke((left, rail), (right, rail), "axis", dashes=boat_key.DOTS),
    ]
    if slope:
        shapes.append(stroke(low, high, "accent", dashes=boat_key.TILTED))
    return shapes, [*wet, low, high]
