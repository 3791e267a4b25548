"""What the boat's drawings say in words: the key below, row by row, captions and descriptions."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from math import radians

from markupsafe import Markup

from keelwatt import words
from keelwatt.drawings.aboard import CABLE
from keelwatt.drawings.marks import Box, Mark, Placed
from keelwatt.drawings.scene import Scene
from keelwatt.drawings.svg import fitted, group, text, text_width
from keelwatt.drawings.symbols import centre_of_buoyancy, centre_of_mass, dot, stretch, water
from keelwatt.files.kit import grams
from keelwatt.physics.forces import trim_end_m
from keelwatt.units import shown

LEVEL = "level"
LEVEL_DEG = 0.005
"""Less is told as level."""

DOTS = "2 3"
"""Dashes of sides nobody measured."""

Symbol = Callable[[float, float], Markup]

ROW = 18.0
SIZE = 12.0
SYMBOL_X, WORDS_X, EDGE = 16.0, 34.0, 6.0

Captions = tuple[str, str, str]


@dataclass(frozen=True)
class Row:
    symbol: Symbol
    name: str
    told: str


def sign_of(sign: str, *, outside: bool) -> Symbol:
    """The symbol that is a mark of the drawing."""

    def symbol(x: float, y: float) -> Markup:
        mark = Mark(sign, Box(x, y), outside)
        return Placed(mark, Box(x, y, mark.width, 16.0)).sign()

    return symbol


def legend(rows: Iterable[Row], *, top: float, width: float) -> tuple[Markup, float]:
    """The rows below ``top``, and where they end."""
    shapes: list[Markup] = []
    for row in rows:
        middle = top + ROW / 2
        room = width - EDGE - text_width(row.told + "  ", SIZE) - WORDS_X
        shapes += [
            row.symbol(SYMBOL_X, middle),
            text(fitted(row.name, room, SIZE), WORDS_X, middle + 4, "note", "start"),
            text(row.told, width - EDGE, middle + 4, "note", "end"),
        ]
        top += ROW
    return group(*shapes), top


def above(scene: Scene) -> Iterator[Row]:
    for thing in (*scene.compartments, *scene.mounts, *scene.controllers):
        yield Row(sign_of(thing.sign, outside=True), thing.name, thing.told)
    for thing in scene.loads:
        yield Row(sign_of(thing.sign, outside=False), thing.name, thing.told)
    if lighter := scene.lighter:
        mass = words.kilograms(sum(grams(load.mass_kg) for load in lighter))
        yield Row(dot, f"{len(lighter)} lighter loads, together", mass)
    run = shown.run(scene.proof.assessment.kit.run_m)
    yield Row(_stretch("accent", CABLE), "cable, each way", run)
    yield Row(centre_of_mass, "centre of mass", _off(scene))


def side(scene: Scene) -> Iterator[Row]:
    afloat, hull = scene.balance, _stretch("hull")
    yield Row(centre_of_mass, "centre of mass, above keel", shown.small(afloat.mass.z_m))
    yield Row(centre_of_buoyancy, "centre of buoyancy", shown.small(afloat.buoyancy.z_m))
    yield Row(
        lambda x, y: water(x, y + 3.5), "water's surface: draught", shown.small(afloat.draft_m)
    )
    yield Row(hull, f"trim (drawn x {scene.trim_drawn.steeper})", _trim(scene))
    yield Row(hull, f"heel (drawn x {scene.heel_drawn.steeper})", _heel(scene))
    if scene.depth_m is None:
        yield Row(_stretch("axis", DOTS), "sides above the water: height not given", "")
    else:
        yield Row(hull, "freeboard, upright", shown.small(scene.depth_m - afloat.draft_m))


def ends(scene: Scene, captions: Captions) -> Captions:
    """The captions of stern, view and bow, the deeper end so called."""
    return _lower(captions, scene.balance.mass.x_m, _trim(scene))


def sides(scene: Scene, captions: Captions) -> Captions:
    """The captions of port, view and starboard, the lower side so called."""
    return _lower(captions, scene.balance.mass.y_m, _heel(scene))


def _lower(captions: Captions, towards: float, told: str) -> Captions:
    left, middle, right = captions
    if told == LEVEL:
        return captions
    return (left, middle, f"{right} down") if towards > 0 else (f"{left} down", middle, right)


def described_above(scene: Scene) -> str:
    chosen = scene.proof.chosen
    return (
        f"{_hull(scene)} seen from above, to scale, bow to the right. "
        f"The bank stands in {chosen.compartment.name}, the motor hangs at {chosen.mount.name}. "
        f"The centre of mass lies {_off(scene)}."
    )


def described_side(scene: Scene) -> str:
    afloat = scene.balance
    return (
        f"{_hull(scene)} at a draught of {shown.small(afloat.draft_m)}, to scale. "
        f"Trim: {_trim(scene)} ({afloat.trim_deg:.2f} deg). Heel: {_heel(scene)}. "
        f"Trim is drawn {scene.trim_drawn.steeper} times as steep, heel "
        f"{scene.heel_drawn.steeper} times. "
        f"The centre of mass lies {shown.small(afloat.mass.z_m)} above the keel, that of buoyancy "
        f"{shown.small(afloat.buoyancy.z_m)}."
    )


def _stretch(class_: str, dashes: str | None = None) -> partial[Markup]:
    return partial(stretch, class_=class_, dashes=dashes)


def _hull(scene: Scene) -> str:
    craft = scene.case.outing.craft
    return (
        f"A waterline {shown.run(craft.waterline_length_m)} long and "
        f"{shown.run(craft.waterline_beam_m)} wide"
    )


def _off(scene: Scene) -> str:
    """Where the centre of mass lies off midship and centreline."""
    mass = scene.balance.mass
    along = f"{shown.small(abs(mass.x_m))} {'forward' if mass.x_m > 0 else 'aft'}"
    if abs(mass.y_m) < 0.005:
        return f"{along} of midship"
    return f"{along}, {shown.small(abs(mass.y_m))} {'starboard' if mass.y_m > 0 else 'port'}"


def _trim(scene: Scene) -> str:
    afloat, craft = scene.balance, scene.case.outing.craft
    if afloat.trim_deg < LEVEL_DEG:
        return LEVEL
    end_m = trim_end_m(length_m=craft.waterline_length_m, trim_rad=radians(afloat.trim_deg))
    low = "bow" if afloat.mass.x_m > 0 else "stern"
    return f"{low} {shown.end(float(end_m))} deeper"


def _heel(scene: Scene) -> str:
    heel_deg, low = scene.balance.heel_deg, "starboard" if scene.balance.mass.y_m > 0 else "port"
    return f"{heel_deg:.2f} deg, {low} down" if heel_deg >= LEVEL_DEG else LEVEL
