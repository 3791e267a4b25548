"""Named limits as whole-number sums over a bank, a drive, a wiring set and a charger."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor, tan
from typing import Literal

import numpy as np
import numpy.typing as npt

from keelwatt.choose.moments import Moments, Turning
from keelwatt.files.kit import SEASON_UNITS_PER_CENT, whole_grams_within
from keelwatt.kits import Table

Ints = npt.NDArray[np.int64]

MOMENT_UNITS = 100_000
"""Moments are counted in whole hundred-thousandths of their bound, rounded to the safe side: whole
sums stay exact and one unit lies well above a solver's tolerance."""

LEAST_STIFFNESS = 0.01
"""Share of the waterplane's stiffness below which the unit no longer shrinks with what the load
leaves of it: the craft without its kit may hardly stand, or not at all."""


Measure = Literal["cost", "mass", "season"]

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


def measure_sums(table: Table, charger_rows: Ints) -> dict[Measure, Parts]:
    """Cost, mass and season price of every candidate; a bank's price includes its charger's.

    ``charger_rows`` is each bank's charger, -1 for none. It stays ashore, so it adds no mass.
    """
    measures: dict[Measure, Parts] = {}
    for measure, column in COLUMN.items():
        banks, drives, wiring = _columns(table, column)
        if measure != "mass" and len(table.chargers):
            prices = table.chargers[column].to_numpy(dtype=np.int64)
            banks = banks + np.where(charger_rows < 0, 0, prices[charger_rows])
        measures[measure] = (banks, drives, wiring)
    return measures


def limit_sums(table: Table, measures: dict[Measure, Parts]) -> tuple[Sum, ...]:
    """Every limit of the outing that is a plain sum over the kit's parts."""
    return (*_money_and_mass(table, measures), *_pieces(table), *_balance(table))


def _columns(table: Table, column: str) -> Parts:
    banks, drives, wiring = (
        frame[column].to_numpy(dtype=np.int64)
        for frame in (table.banks, table.drives, table.wiring)
    )
    return banks, drives, wiring


def _money_and_mass(table: Table, measures: dict[Measure, Parts]) -> Iterator[Sum]:
    outing = table.facts.outing
    limits = outing.limits
    if limits.budget_cents is not None:
        yield Sum("budget", measures["cost"], limits.budget_cents)
    if limits.season_cents is not None:
        yield Sum("season", measures["season"], limits.season_cents * SEASON_UNITS_PER_CENT)
    yield Sum("payload", measures["mass"], table.facts.room_g)
    if limits.kit_mass_kg is not None:
        yield Sum("kit_mass", measures["mass"], whole_grams_within(limits.kit_mass_kg))


def _pieces(table: Table) -> Iterator[Sum]:
    banks, drives, wiring = (
        np.zeros(len(frame), dtype=np.int64) for frame in (table.banks, table.drives, table.wiring)
    )
    if (lift_kg := table.facts.outing.limits.lift_kg) is not None:
        bound = whole_grams_within(lift_kg)
        yield Sum("lift", (table.banks["piece_g"].to_numpy(np.int64), drives, wiring), bound)
        yield Sum("lift", (banks, table.drives["piece_g"].to_numpy(np.int64), wiring), bound)
    over = table.banks["over_load_g"].to_numpy(dtype=np.int64)
    if (over > 0).any():
        yield Sum("compartment_load", (over, drives, wiring), 0)


def _balance(table: Table) -> Iterator[Sum]:
    """Trim both ways and heel both ways."""
    facts = table.facts
    moments = Moments(table)
    along, across, rising = facts.bare_moments_kg_m

    def rows(
        name: str, bare: float, turning: Turning, *, bound: float, unit: float, tip: float = 0.0
    ) -> Iterator[Sum]:
        for side in (1.0, -1.0):
            values = [
                np.ceil((part + tip * rise) / unit).astype(np.int64)
                for part, rise in zip(turning.towards(side), moments.rising, strict=True)
            ]
            yield Sum(name, _three(values), floor((bound - side * bare) / unit))

    trim = facts.trim_limit_kg_m
    yield from rows("trim", along, moments.along, bound=trim, unit=trim / MOMENT_UNITS)
    tip = tan(facts.outing.limits.max_heel_rad)
    waterplane = facts.waterplane_stiffness_kg_m
    stiffness = waterplane - rising
    unit = max(abs(stiffness), LEAST_STIFFNESS * waterplane) / MOMENT_UNITS
    bound = tip * stiffness
    yield from rows("heel", across, moments.across, bound=bound, unit=tip * unit, tip=tip)
    rise = [np.ceil(part / unit).astype(np.int64) for part in moments.rising]
    yield Sum("stability", _three(rise), floor(stiffness / unit) - 1)


def _three(values: list[Ints]) -> Parts:
    banks, drives, wiring = values
    return banks, drives, wiring
