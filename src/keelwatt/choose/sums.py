"""Named limits as whole-number sums over a bank, a drive, a wiring set and a charger."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import floor, tan

import numpy as np
import numpy.typing as npt

from keelwatt.boat.arrays import Ints
from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.moments import Moments, Turning
from keelwatt.kits import Table
from keelwatt.limits import LIMITS, MEASURED, enters
from keelwatt.limits import Measure as KitMeasure

MOMENT_UNITS = 100_000
"""Moments are counted in whole hundred-thousandths of their bound, rounded to the safe side: whole
sums stay exact and one unit lies well above a solver's tolerance."""

LEAST_STIFFNESS = 0.01
"""Share of the waterplane's stiffness below which the unit no longer shrinks with what the load
leaves of it: the craft without its kit may hardly stand, or not at all."""


Measure = KitMeasure

COLUMN: dict[Measure, str] = {"cost": "price_cents", "mass": "mass_g", "season": "season_units"}
"""Which column of the tables holds a measure."""

Parts = tuple[Ints, Ints, Ints]
"""A whole number for every bank, drive and wiring set of a table."""


@dataclass(frozen=True)
class Sum:
    """of[0][bank] + of[1][drive] + of[2][wiring] <= bound, for the kit of those rows."""

    name: str
    of: Parts
    bound: int


COUNTS: dict[str, Callable[[Table], tuple[Parts, ...]]] = {}
"""Wishes counted in the whole units of their bound: of several counts each keeps within it."""

SUMS: dict[str, Callable[[Table, LoadCase], Iterator[Sum]]] = {}
"""Limits that make sums of their own."""


def measure_sums(table: Table) -> dict[Measure, Parts]:
    """Cost, mass and season price of every bank, drive and wiring set, chargers left out."""
    return {measure: _columns(table, column) for measure, column in COLUMN.items()}


def total(of: Parts, bank: Ints, drive: Ints, wiring: Ints) -> Ints:
    """What kits of these rows come to."""
    return np.asarray(of[0][bank] + of[1][drive] + of[2][wiring])


def limit_sums(table: Table, case: LoadCase) -> tuple[Sum, ...]:
    """Every limit that is a plain sum over the kit's parts; ``case`` says how much of each."""
    found: list[Sum] = []
    for name in (*MEASURED, *COUNTS):
        if (bound := LIMITS[name].whole(case.outing.limits)) is not None:
            measure = MEASURED.get(name)
            counts = (_columns(table, COLUMN[measure]),) if measure else COUNTS[name](table)
            found += [Sum(name, of, bound) for of in counts]
    for sums in dict.fromkeys(SUMS.values()):
        found += sums(table, case)
    return tuple(found)


def _columns(table: Table, column: str) -> Parts:
    return (
        table.banks[column].astype(np.int64),
        table.drives[column].astype(np.int64),
        table.wiring[column],
    )


def _nothing(table: Table) -> Parts:
    banks, drives, wiring = (
        np.zeros(count, dtype=np.int64)
        for count in (len(table.banks), len(table.drives), len(table.run))
    )
    return banks, drives, wiring


@enters(COUNTS, "lift")
def _pieces(table: Table) -> tuple[Parts, ...]:
    banks, drives, wiring = _nothing(table)
    return (
        (table.banks["piece_g"].astype(np.int64), drives, wiring),
        (banks, table.drives["piece_g"].astype(np.int64), wiring),
    )


@enters(SUMS, "payload", "compartment_load")
def _loads(table: Table, case: LoadCase) -> Iterator[Sum]:
    yield Sum("payload", _columns(table, COLUMN["mass"]), case.room_g)
    _, drives, wiring = _nothing(table)
    if table.types.loads_matter:
        yield Sum("compartment_load", (table.over_load_g, drives, wiring), 0)


@enters(SUMS, "trim", "heel", "turn_heel", "freeboard", "stability")
def _balance(table: Table, case: LoadCase) -> Iterator[Sum]:
    """Trim both ways, heel both ways and with the motor turned, and the edge that then dips.

    Freeboard is that of the boat loaded to the plate, upright and level, whatever the kit: so the
    edge stays dry up to one heel, whose tangent is the freeboard over half the beam, and the limit
    is a plain sum like that of the heel itself. With each kit's own draft the bound would move with
    its mass. A lighter boat only has more freeboard: the safe side. The motor gives full throttle:
    a rule must not depend on the speeds wished for.
    """
    moments = Moments(table)
    along, across, rising = case.bare_moments_kg_m

    def rows(
        name: str, bare: float, turning: Turning, *, bound: float, unit: float, tip: float = 0.0
    ) -> Iterator[Sum]:
        for side in (1.0, -1.0):
            values = [
                np.ceil((part + tip * rise) / unit).astype(np.int64)
                for part, rise in zip(turning.towards(side), moments.rising, strict=True)
            ]
            yield Sum(name, _three(values), floor((bound - side * bare) / unit))

    trim = case.trim_limit_kg_m
    yield from rows("trim", along, moments.along, bound=trim, unit=trim / MOMENT_UNITS)
    tip = tan(case.outing.limits.max_heel_rad)
    waterplane = case.waterplane_stiffness_kg_m
    stiffness = waterplane - rising
    unit = max(abs(stiffness), LEAST_STIFFNESS * waterplane) / MOMENT_UNITS
    bound = tip * stiffness
    yield from rows("heel", across, moments.across, bound=bound, unit=tip * unit, tip=tip)
    banks, drives, wiring = moments.rising

    def turned(name: str, tip: float, turning: npt.NDArray[np.float64]) -> Sum:
        leaning = (tip * banks, tip * drives + turning, tip * wiring)
        values = [np.ceil(part / (tip * unit)).astype(np.int64) for part in leaning]
        return Sum(name, _three(values), floor(stiffness / unit))

    yield turned("turn_heel", tan(case.outing.limits.turn_heel_rad), moments.turned())
    if case.freeboard_m is not None:
        dips = case.freeboard_m / (case.outing.craft.waterline_beam_m / 2)
        full = moments.turned("full_turning_kg_m")
        dry = dips > 0.0
        yield turned("freeboard", dips, full) if dry else Sum("freeboard", _nothing(table), -1)
    rise = [np.ceil(part / unit).astype(np.int64) for part in moments.rising]
    yield Sum("stability", _three(rise), floor(stiffness / unit) - 1)


def _three(values: list[Ints]) -> Parts:
    banks, drives, wiring = values
    return banks, drives, wiring
