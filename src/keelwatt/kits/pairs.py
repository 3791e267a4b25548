"""Pairs of drive and bank: what they may weigh, all up, and still meet each demand of the day."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from keelwatt.boat.day import Day
from keelwatt.boat.facts import Facts
from keelwatt.boat.powertrain import Bank, Drive
from keelwatt.boat.resistance import Displacements
from keelwatt.boat.search import largest_met
from keelwatt.files.kit import just_below
from keelwatt.kits.account import FILTERS
from keelwatt.limits import enters

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int64]

DEMANDS = ("leg_speed", "top_speed", "hours")
NEVER = -1
"""W_max of a pair that does not meet a demand even at its lightest."""


@dataclass(frozen=True)
class Pairs:
    """Arrays over (bank type, drive type).

    ``matched``: same system voltage, ``carried``: the bank stands the drive's full-throttle current
    and the devices', ``full_throttle_a`` that current, NaN where it is not matched;
    ``w_max_g[demand]``: the largest all-up mass in grams at which the demand is met, capped at
    ``cap_g``, NEVER where it is not met at all or not looked at, and ``cap_g`` for pairs not
    matched, on which the demands have no say; ``lightest[demand]``: how the pair does at its
    lightest (greatest shaft ratio of the legs, that of the top speed, hours served), NaN where it
    is not matched.
    """

    matched: Bools
    carried: Bools
    full_throttle_a: Floats
    w_max_g: dict[str, Ints]
    lightest: dict[str, Floats]
    cap_g: int
    day: Day


@enters(FILTERS, *DEMANDS, "bank_current")
def pair_tables(
    facts: Facts,
    banks: pd.DataFrame,
    drives: pd.DataFrame,
    cap_g: int,
    *,
    wiring_g: int | None = None,
    displacements: Displacements | None = None,
    considered: Bools | None = None,
) -> Pairs:
    """Every demand of every pair of types, found by bisection to the gram.

    With the heaviest wiring given, a W_max no kit of its pair can reach counts as ``cap_g``: that
    spares most of the bisections and changes no choice. ``displacements`` spare the wave integral;
    pairs not ``considered`` count as never meeting a demand.
    """
    bank_types, drive_types = _types(banks), _types(drives)
    bank, drive = Bank.of_columns(dict(bank_types)), Drive.of_columns(dict(drive_types))
    matched = bank_types["system_v"].to_numpy()[:, None] == drive.system_v[None, :]
    looked_at = matched if considered is None else matched & considered
    b, d = np.nonzero(looked_at)
    bare_g = facts.bare_g
    lightest_g = bare_g + bank.mass_g[b] + drive.mass_g[d]
    cap_g = max(cap_g, int(lightest_g.max(initial=bare_g)) + 1)
    if displacements is None:
        fastest = float(drive.no_thrust_speed_m_s.max(initial=0.1))
        displacements = Displacements.between(facts, bare_g / 1000.0, cap_g / 1000.0, fastest)
    day = Day(facts, displacements, bank, drive)
    full_a = np.full(matched.shape, np.nan)
    unasked = np.where(matched & ~looked_at, NEVER, cap_g)
    w_max = {demand: unasked.copy() for demand in DEMANDS}
    lightest = {demand: np.full(matched.shape, np.nan) for demand in DEMANDS}
    if b.size:
        full_a[b, d] = day.full_throttle_a(b, d)
        heaviest_g = np.full(b.shape, cap_g) if wiring_g is None else lightest_g + wiring_g
        largest, values = _largest(day, (b, d), lightest_g, heaviest_g)
        for demand in DEMANDS:
            reached = largest[demand]
            w_max[demand][b, d] = np.where(reached == heaviest_g, cap_g, reached)
            lightest[demand][b, d] = values[demand]
    carried = just_below(full_a) <= bank.continuous_a[:, None]
    return Pairs(matched, carried, full_a, w_max, lightest, cap_g, day)


def _types(table: pd.DataFrame) -> pd.DataFrame:
    """One row a type."""
    return table.drop_duplicates("type").sort_values("type")


def _largest(
    day: Day, pairs: tuple[Ints, Ints], lightest_g: Ints, heaviest_g: Ints
) -> tuple[dict[str, Ints], dict[str, Floats]]:
    """By demand, the largest whole gram from lightest to heaviest that meets it, or NEVER.

    And how each pair does at its lightest.
    """
    b, d = pairs
    at_heaviest, _ = day.meets(b, d, heaviest_g)
    at_lightest, values = day.meets(b, d, lightest_g)

    def largest(demand: str) -> Ints:
        return largest_met(
            lambda open_, grams: day.meets(b[open_], d[open_], grams)[0][demand],
            lightest_g,
            heaviest_g,
            at_low=at_lightest[demand],
            at_high=at_heaviest[demand],
            never=NEVER,
        )

    return {demand: largest(demand) for demand in DEMANDS}, values
