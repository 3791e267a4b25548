"""Pairs of drive and bank: what they may weigh, all up, and still meet each demand of the day."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pandas as pd

from keelwatt.boat.day import Columns, Day
from keelwatt.boat.drag import Drag
from keelwatt.boat.facts import Facts
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
    drag: Drag | None = None,
    considered: Bools | None = None,
) -> Pairs:
    """Every demand of every pair of types, found by bisection to the gram.

    With the heaviest wiring given, a W_max no kit of its pair can reach counts as ``cap_g``: that
    spares most of the bisections and changes no choice. ``drag`` spares the wave integral; pairs
    not ``considered`` count as never meeting a demand.
    """
    bank = _types(banks)
    drive = _types(drives)
    matched = bank["system_v"][:, None] == drive["system_v"][None, :]
    looked_at = matched if considered is None else matched & considered
    b, d = np.nonzero(looked_at)
    bare_g = facts.bare_g
    lightest_g = bare_g + bank["mass_g"][b] + drive["mass_g"][d]
    cap_g = max(cap_g, int(lightest_g.max(initial=bare_g)) + 1)
    if drag is None:
        fastest = float(drive["no_thrust_speed_m_s"].max(initial=0.1))
        drag = Drag.of(facts, bare_g / 1000.0, cap_g / 1000.0, fastest)
    day = Day(facts, drag, bank, drive)
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
    carried = just_below(full_a) <= bank["continuous_a"][:, None]
    return Pairs(matched, carried, full_a, w_max, lightest, cap_g, day)


def _types(table: pd.DataFrame) -> Columns:
    """The numeric columns of one row a type."""
    first = table.drop_duplicates("type").sort_values("type")
    return {
        name: first[name].to_numpy() for name in first.columns if first[name].dtype.kind in "ifb"
    }


def _largest(
    day: Day, pairs: tuple[Ints, Ints], lightest_g: Ints, heaviest_g: Ints
) -> tuple[dict[str, Ints], dict[str, Floats]]:
    """By demand, the largest whole gram from lightest to heaviest that meets it, or NEVER.

    And how each pair does at its lightest.
    """
    b, d = pairs
    at_heaviest, _ = day.meets(b, d, heaviest_g)
    at_lightest, values = day.meets(b, d, lightest_g)
    largest = {}
    for demand in DEMANDS:
        answer = np.where(at_lightest[demand], lightest_g, NEVER)
        answer = np.where(at_heaviest[demand], heaviest_g, answer)
        open_ = np.flatnonzero(at_lightest[demand] & ~at_heaviest[demand])
        good, bad = lightest_g[open_], heaviest_g[open_]
        while open_.size and (bad - good).max() > 1:
            middle = (good + bad) // 2
            met = day.meets(b[open_], d[open_], middle)[0][demand]
            good, bad = np.where(met, middle, good), np.where(met, bad, middle)
        answer[open_] = good
        largest[demand] = answer.astype(np.int64)
    return largest, values
