"""The boat to scale with the kit aboard: from above, from the side, from astern."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from markupsafe import Markup

from keelwatt.drawings import aboard, boat_key
from keelwatt.drawings.marks import SIZE as SMALL
from keelwatt.drawings.marks import Box
from keelwatt.drawings.scene import Scene, Tilt
from keelwatt.drawings.svg import Drawing, Point, element, group, points, text, text_width
from keelwatt.drawings.symbols import stroke, water
from keelwatt.drawings.views import MARGIN, TALLEST, WIDTH, Eye, Turn, View, panel
from keelwatt.explain.advise import Advice

SIDE_POINTS = 61
"""Points of a curved side."""

WATER = "water"
SEA_BELOW = 6.0
"""How far the water is drawn below all else."""

SECTION_WIDTH, SECTION_HEIGHT = 240.0, 170.0

SIDES = "port is above, starboard below"
MARKS = "marks as in the view from above"

CHAIN = "8 3 2 3"
"""Dashes of an axis."""


def from_above(advice: Advice) -> Drawing:
    """The waterline, what stands in it and hangs on it, and the key to all marks.
    Raises ValueError if the advice holds no kit."""
    scene = Scene.of(advice)
    seen = _from_above(scene, _along(scene, down=1, sign=1.0))
    body, height = panel(seen, ("stern", "from above: the waterline", "bow"), top=0.0, note=SIDES)
    key, height = boat_key.legend(boat_key.above(scene), top=height, width=WIDTH)
    told = boat_key.described_above(scene)
    return Drawing("boat-above", "The boat from above", told, WIDTH, height + 4, group(body, key))


def from_the_side(advice: Advice) -> Drawing:
    """The boat as it floats, from starboard and from astern, with its own key. Numbers and letters
    are those of :func:`from_above`. Raises ValueError if the advice holds no kit."""
    scene = Scene.of(advice)
    along = _from_starboard(scene, _along(scene, down=2, sign=-1.0))
    across = _from_astern(scene, _astern(scene))
    ends = boat_key.ends(scene, ("stern", "from starboard", "bow"))
    side, height = panel(along, ends, top=0.0, note=MARKS)
    sides = boat_key.sides(scene, ("port", "from astern", "starboard"))
    section, height = panel(across, sides, top=height + 8)
    key, height = boat_key.legend(boat_key.side(scene), top=height, width=WIDTH)
    told, title = boat_key.described_side(scene), "The boat from the side and from astern"
    body = group(side, section, key)
    return Drawing("boat-side", title, told, WIDTH, height + 4, body)


def _along(scene: Scene, *, down: int, sign: float) -> Eye:
    """One scale for both views along the boat, trimmed as it is drawn."""
    x, z = zip(*((at.x, -at.y) for at in _turned(scene, scene.trim_drawn, 0)), strict=True)
    y = [corner[1] for corner in scene.corners]
    scale = min(
        (WIDTH - 2 * MARGIN) / (max(x) - min(x)),
        TALLEST / (max(y) - min(y)),
        TALLEST / (max(z) - min(z)),
    )
    return Eye(0, down, sign, scale, (min(x) + max(x)) / 2)


def _astern(scene: Scene) -> Eye:
    y, z = zip(*((at.x, -at.y) for at in _turned(scene, scene.heel_drawn, 1)), strict=True)
    scale = min(SECTION_WIDTH / (max(y) - min(y)), SECTION_HEIGHT / (max(z) - min(z)))
    return Eye(1, 2, -1.0, scale, (min(y) + max(y)) / 2)


def _turned(scene: Scene, tilt: Tilt, right: int) -> Iterator[Box]:
    """The corners of everything, in metres, heights down, turned about where it meets the water."""
    turn = Turn(tilt.slope, 0.0, -scene.balance.draft_m)
    return (turn.of(Box(corner[right], -corner[2])) for corner in scene.corners)


def _from_above(scene: Scene, seen: Eye) -> View:
    """The waterline by the half-breadth that resistance is computed with, and its two axes."""
    craft = scene.case.outing.craft
    half_m, beam_m = craft.waterline_length_m / 2, craft.waterline_beam_m / 2
    share = np.linspace(-1.0, 1.0, SIDE_POINTS)
    y_m = beam_m * (1 - np.abs(share) ** craft.waterplane_fineness)
    starboard = zip(half_m * share, y_m, strict=True)
    port = zip(half_m * share[::-1], -y_m, strict=True)
    outline = [seen.point(float(x), float(y), 0.0) for x, y in (*starboard, *port)]
    lines = [
        element("polygon", points=points(outline), class_="hull"),
        stroke(seen.point(-half_m, 0, 0), seen.point(half_m, 0, 0), "axis", dashes=CHAIN),
        stroke(seen.point(0, -beam_m, 0), seen.point(0, beam_m, 0), "axis", dashes=CHAIN),
    ]
    return View(
        shapes=group(*lines, *aboard.shapes(scene, seen)),
        boxes=(*aboard.extent(scene, seen), *(Box(*end) for end in outline)),
        marks=tuple(aboard.marks(scene, seen)),
        taken=tuple(aboard.kept_clear(scene, seen)),
        scale=seen.scale,
    )


def _from_starboard(scene: Scene, seen: Eye) -> View:
    """The keel, and the ends up to the water."""
    half_m, draft_m = scene.case.outing.craft.waterline_length_m / 2, scene.balance.draft_m
    keel = ((-half_m, draft_m), (-half_m, 0.0), (half_m, 0.0), (half_m, draft_m))
    return _afloat(scene, seen, [seen.point(x, 0, z) for x, z in keel], scene.trim_drawn)


def _from_astern(scene: Scene, seen: Eye) -> View:
    craft, afloat = scene.case.outing.craft, scene.balance
    depth = np.linspace(0.0, 1.0, SIDE_POINTS)
    y_m = craft.waterline_beam_m / 2 * (1 - depth**craft.fullness)
    z_m = afloat.draft_m * (1 - depth)
    port = zip(-y_m, z_m, strict=True)
    starboard = zip(y_m[::-1], z_m[::-1], strict=True)
    section = [seen.point(0, float(y), float(z)) for y, z in (*port, *starboard)]
    return _afloat(scene, seen, section, scene.heel_drawn)


def _afloat(scene: Scene, seen: Eye, wet: list[Point], tilt: Tilt) -> View:
    """A hull by its line below the water, tilted, with all that is aboard; the water level."""
    level, rail = wet[0][1], seen.point(0, 0, scene.rail_m)[1]
    turn = Turn(tilt.slope, seen.zero, level)
    top = [(wet[-1][0], rail), (wet[0][0], rail)]
    boxes = [*aboard.extent(scene, seen), *(Box(*end) for end in (*wet, *top))]
    boxes = [turn.of(box) for box in boxes]
    bottom = max(box.bottom for box in boxes) + SEA_BELOW
    left, right = MARGIN / 2, WIDTH - MARGIN / 2
    wide = text_width(WATER, SMALL)
    # The motor hangs on one side of the boat: the word stands on the other.
    at = right - 4 - wide / 2 if seen.box(scene.propeller).x < WIDTH / 2 else left + 4 + wide / 2
    word = Box(at, bottom - 4 - SMALL / 2, wide, SMALL)
    sea = Box.over(left, level, right - left, bottom - level)
    lying = group(*_sides(scene, wet, top), *aboard.shapes(scene, seen), transform=turn.transform)
    shapes = [
        sea.drawn(class_="soft-fill"),
        lying,
        stroke((left, level), (right, level), "line"),
        water(right - 5, level),
        text(WATER, at, bottom - 4, "small", "middle"),
    ]
    return View(
        shapes=group(*shapes),
        boxes=(*boxes, sea),
        marks=tuple(replace(m, thing=turn.of(m.thing)) for m in aboard.marks(scene, seen)),
        taken=(*(turn.of(box) for box in aboard.kept_clear(scene, seen)), word),
        scale=seen.scale,
    )


def _sides(scene: Scene, wet: list[Point], top: list[Point]) -> Iterator[Markup]:
    """No water inside; the sides to the depth, dotted where nobody gave it."""
    whole = points([*wet, *top])
    yield element("polygon", points=whole, class_="paper-fill", fill="Canvas", style="stroke:none")
    if scene.depth_m is not None:
        yield element("polygon", points=whole, class_="hull", fill="none")
        return
    yield element("polyline", points=points(wet), class_="hull", fill="none")
    dotted = points([wet[-1], *top, wet[0]])
    yield element("polyline", points=dotted, class_="axis", stroke_dasharray=boat_key.DOTS)
