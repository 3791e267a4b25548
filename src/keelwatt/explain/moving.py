"""Gear or a seat moved so that a better kit floats level enough: nothing need be loosened."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, copysign, radians, tan

from keelwatt.choose.block import TILTS
from keelwatt.choose.question import NOTHING, Question
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.prices import Found, found
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Load, Outing
from keelwatt.proof import Assessment, Assessor

ALONG = {"trim": "x_m", "heel": "y_m"}
"""The limits a move can mend, and the way to move."""

MOST_MOVES = 2
"""Loads offered for a limit, those with the shortest way first."""

MOST_M = 1.0
"""Nothing is moved further."""

PROBE_M = 0.01

STEP_M, STEP_IN_M, SPARE_M = 0.01, 0.0127, 0.0013
"""Moves are whole centimetres, or half inches where lengths are in feet, and a hair more."""


@dataclass(frozen=True)
class Move:
    """A load moved by ``by_m``, + forward or to starboard, and the kit that then meets all."""

    limit: str
    load: str
    mass_kg: float
    by_m: float
    found: Found


def moves(search: Search, by: Measure, below: int = NOTHING) -> tuple[Move, ...]:
    """Every move that lets in a kit that comes to less than ``below``, all other limits kept."""
    return tuple(move for limit in ALONG for move in _moves(search, by, below, limit))


def _moves(search: Search, by: Measure, below: int, limit: str) -> Iterator[Move]:
    question = Question(by, below=below, lifted=frozenset({limit}), leaning=frozenset(TILTS))
    outing, pick = search.case.outing, search.best(question)
    if pick is None or not outing.aboard:
        return
    kit, loads = pick.block.kit(pick.row), sorted(outing.aboard, key=lambda load: -load.mass_kg)
    has, needs = _tilt(_assessed(search, outing, kit), limit)
    probed, _ = _tilt(_assessed(search, _moved(outing, loads[0], limit, PROBE_M), kit), limit)
    per_kg_m = (has - probed) / PROBE_M / loads[0].mass_kg if loads[0].mass_kg else 0.0
    if not per_kg_m:
        return
    step_m = STEP_IN_M if outing.units.length == "ft" else STEP_M
    offered = 0
    for load in loads:
        if offered == MOST_MOVES or not load.mass_kg:
            return
        way_m = abs((has - needs) / per_kg_m / load.mass_kg)
        by_m = copysign(ceil((way_m + SPARE_M) / step_m) * step_m, per_kg_m)
        if abs(by_m) > MOST_M or not _aboard(outing, load, limit, by_m):
            continue
        if _assessed(search, _moved(outing, load, limit, by_m), kit).holds:
            offered += 1
            yield Move(limit, load.name, load.mass_kg, by_m, found(pick))


def _assessed(search: Search, outing: Outing, kit: Kit) -> Assessment:
    return Assessor(outing, search.catalog).assess(kit)


def _tilt(assessment: Assessment, limit: str) -> tuple[float, float]:
    """(what it has, what is needed) as the tangents, which grow with the moment."""
    found = next(each for each in assessment.limits if each.name == limit)
    return tan(radians(found.has)), tan(radians(found.needs))


def _moved(outing: Outing, load: Load, limit: str, by_m: float) -> Outing:
    along = ALONG[limit]
    there = load.model_copy(update={along: getattr(load, along) + by_m})
    aboard = tuple(there if each is load else each for each in outing.aboard)
    return outing.model_copy(update={"aboard": aboard})


def _aboard(outing: Outing, load: Load, limit: str, by_m: float) -> bool:
    """Whether the load's place is still within the waterline."""
    craft = outing.craft
    size_m = craft.waterline_length_m if limit == "trim" else craft.waterline_beam_m
    there_m: float = getattr(load, ALONG[limit]) + by_m
    return abs(there_m) <= size_m / 2
