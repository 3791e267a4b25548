"""Couples of bank and drive type: what they may weigh, all up, and still meet the day."""

from dataclasses import dataclass

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, in_parts
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.running import Running
from keelwatt.boat.search import largest_met
from keelwatt.files.kit import just_below
from keelwatt.kits.account import FILTERS
from keelwatt.kits.types import DEMANDS, Types
from keelwatt.limits import enters

NEVER = -1
"""W_max of a couple that does not meet a demand even at its lightest."""

AT_ONCE = 5000
"""Couples whose day is computed in one array, for a day of few legs."""

FEW_LEGS = 4

COARSE_G = 250
"""Where only what cannot be met matters, boats are taken lighter, to multiples of this: the water
is then worked out for a few displacements only."""


@dataclass(frozen=True)
class Pairs:
    """Couples as numbers of their types, and what they weigh, all up: all of shape (n,).

    ``w_max_g[demand]``: the largest all-up mass in grams at which the demand is met, ``cap_g``
    where it is at the most they weigh, NEVER where not at the least. Under "bank_current", NEVER
    where the bank does not stand the drive's full throttle and the devices.
    """

    bank: Ints
    drive: Ints
    low_g: Ints
    high_g: Ints
    w_max_g: dict[str, Ints]


def at_once(types: Types) -> int:
    """Couples whose day is computed in one array."""
    return AT_ONCE * FEW_LEGS // max(FEW_LEGS, len(types.case.outing.legs))


def lightest_g(types: Types, bank: Ints, drive: Ints) -> Ints:
    """All-up mass of couples without wiring."""
    bare_g = types.case.bare_g
    return np.asarray(bare_g + types.bank["mass_g"][bank] + types.drive["mass_g"][drive])


def carried(types: Types, bank: Ints, drive: Ints) -> Bools:
    """Whether banks stand their drives' full throttle with every device on."""
    full_a = types.day.full_throttle_a(bank, drive)
    return np.asarray(just_below(full_a) <= types.bank["continuous_a"][bank])


def coarse_g(types: Types, bank: Ints, drive: Ints) -> Ints:
    """Boats in steps of ``COARSE_G``, no heavier than any kit of these couples makes."""
    return coarser_g(types.case, lightest_g(types, bank, drive))


def coarser_g(case: LoadCase, displacement_g: Ints) -> Ints:
    """The next lighter boats in steps of ``COARSE_G``; none is lighter than without a kit."""
    return np.maximum(displacement_g // COARSE_G * COARSE_G, case.bare_g)


def reached(types: Types, bank: Ints, drive: Ints, legs: float, top_m_s: float) -> Bools:
    """Which couples even without wiring hold the legs at a share of their speeds, and reach a top
    speed; 0 asks nothing."""
    good = np.ones(bank.shape, dtype=bool)
    if not (legs or top_m_s):
        return good
    fastest_m_s = max(top_m_s, float(types.case.water_speeds_m_s.max()))
    for part in in_parts(bank.size, at_once(types)):
        b, d = bank[part], drive[part]
        day = types.day.running(b, d, coarse_g(types, b, d), fastest_m_s)
        if top_m_s:
            good[part] &= day.in_calm(np.full(1, top_m_s)).feasible
        if legs:
            ground_m_s = day.legs.ground_m_s * legs * np.ones(day.water.column.shape)
            good[part] &= day.on_legs(ground_m_s, reach_only=True).feasible.all(axis=0)
    return good


def at_lightest(
    types: Types, names: tuple[str, ...], bank: Ints, drive: Ints
) -> tuple[dict[str, Bools], Floats]:
    """(which of these limits couples miss even without wiring; the most hours they may serve).

    No hours are worked out where ``names`` does not hold them.
    """
    missed, served = list[dict[str, Bools]](), list[Floats]()
    for part in in_parts(bank.size, at_once(types)):
        b, d = bank[part], drive[part]
        day = types.day.asked(b, d, coarse_g(types, b, d))
        missed.append({name: _misses(types, day, name, b, d) for name in names})
        served.append(day.served_h(day.wished_ah) if "hours" in names else np.zeros(b.shape))
    none = np.zeros(0, dtype=bool)
    fails = {name: np.concatenate([none, *(each[name] for each in missed)]) for name in names}
    return fails, np.concatenate([np.zeros(0), *served])


def _misses(types: Types, day: Running, name: str, bank: Ints, drive: Ints) -> Bools:
    return ~(carried(types, bank, drive) if name == "bank_current" else day.met(name))


@enters(FILTERS, *DEMANDS, "bank_current")
def pairs_of(types: Types, bank: Ints, drive: Ints, low: Ints, high: Ints) -> Pairs:
    """Every demand of every couple between two masses, found by bisection to the gram."""
    day, cap_g = types.day, types.cap_g
    w_max = {"bank_current": np.where(carried(types, bank, drive), cap_g, NEVER)}
    laden = day.asked(bank, drive, high)
    for demand in types.demands:

        def met(open_: Ints, grams: Ints, demand: str = demand) -> Bools:
            return day.met(demand, bank[open_], drive[open_], grams)

        at_high = laden.met(demand)
        at_low, rest = at_high.copy(), np.flatnonzero(~at_high)
        if rest.size:
            at_low[rest] = met(rest, low[rest])
        largest = largest_met(met, low, high, at_low=at_low, at_high=at_high, never=NEVER)
        w_max[demand] = np.where(largest == high, cap_g, largest)
    return Pairs(bank, drive, low, high, w_max)
