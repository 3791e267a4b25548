"""What each limit costs the chosen kit, and how far it is from another."""

from dataclasses import dataclass

import numpy as np

from keelwatt.boat.arrays import Bools
from keelwatt.choose.sums import Measure
from keelwatt.explain import pace
from keelwatt.explain.amounts import amounts, wished
from keelwatt.explain.ledger import Ledger
from keelwatt.files.kit import SEASON_UNITS_PER_CENT, Kit
from keelwatt.limits import LIMITS

FIRST_CHUNK = 64
SAME = 1e-9
"""Relative difference below which two amounts count as one."""


@dataclass(frozen=True)
class Found:
    """A kit with its sums; ``amount`` is what it has of the limit asked about."""

    kit: Kit
    cost_cents: int
    mass_g: int
    season_units: int
    amount: float | None = None

    def value(self, by: Measure) -> float:
        """In the measure's own unit: cents, grams, or cents a season."""
        if by == "cost":
            return self.cost_cents
        return self.mass_g if by == "mass" else self.season_units / SEASON_UNITS_PER_CENT


@dataclass(frozen=True)
class Price:
    """One limit of the chosen kit.

    ``lifted``: the best kit without this limit alone, None where that is no better.
    ``next_step``: the kit let in by the smallest loosening that lets a better one in.
    ``headroom``: the kit that must replace the chosen one once the limit is tighter than what the
    chosen kit has; None where no kit keeps a tighter one.
    """

    name: str
    wish: bool
    unit: str
    asked: float | None
    has: float | None
    lifted: Found | None
    next_step: Found | None
    headroom: Found | None

    @property
    def binding(self) -> bool:
        return self.lifted is not None


def found(ledger: Ledger, number: int, amount: float | None = None) -> Found:
    return Found(
        ledger.kit(number),
        int(ledger.measures["cost"][number]),
        int(ledger.measures["mass"][number]),
        int(ledger.measures["season"][number]),
        amount,
    )


def prices(ledger: Ledger) -> tuple[Price, ...]:
    """Every limit of the ledger, for its best kit. The ledger must hold one."""
    best = ledger.best
    if best is None:
        raise ValueError("no kit keeps every limit")
    return tuple(_price(ledger, name, best) for name in ledger.names)


def _price(ledger: Ledger, name: str, best: int) -> Price:
    bit = ledger.bit(name)
    better = ledger.measures[ledger.by] < ledger.value(best)
    only_this = (ledger.broken == bit) & ~ledger.hopeless & better
    lifted = ledger.first(only_this)
    if name == "leg_speed":
        return _pace_price(ledger, lifted, best)
    wish = LIMITS[name].kind == "wish"
    has = float(amounts(ledger, name, np.array([best]))[0]) if wish else None
    return Price(
        name=name,
        wish=wish,
        unit=LIMITS[name].unit if wish else "",
        asked=wished(ledger, name) if wish else None,
        has=has,
        lifted=None if lifted is None else found(ledger, lifted),
        next_step=_next_step(ledger, name, only_this) if wish else None,
        headroom=_headroom(ledger, name, has) if has is not None else None,
    )


def _pace_price(ledger: Ledger, lifted: int | None, best: int) -> Price:
    """The legs' speed is loosened and tightened for all legs together, charge counted."""
    better = ledger.measures[ledger.by] < ledger.value(best)
    has, name = pace.held(ledger, best), "leg_speed"
    step, beyond = pace.slower(ledger, better), pace.faster(ledger, has)
    return Price(
        name=name,
        wish=True,
        unit=LIMITS[name].unit,
        asked=wished(ledger, name),
        has=has,
        lifted=None if lifted is None else found(ledger, lifted),
        next_step=None if step is None else found(ledger, *step),
        headroom=None if beyond is None else found(ledger, beyond, pace.held(ledger, beyond, has)),
    )


def _next_step(ledger: Ledger, name: str, candidates: Bools) -> Found | None:
    """The candidate that needs the least loosening; the best of those that need as much."""
    kits = ledger.order[candidates[ledger.order]]
    if not kits.size:
        return None
    have = amounts(ledger, name, kits)
    reach = np.isfinite(have) & (have > 0.0)
    kits, have = kits[reach], have[reach]
    if not kits.size:
        return None
    least = have.max() if LIMITS[name].grows else have.min()
    first = int(np.flatnonzero(np.abs(have - least) <= SAME * abs(least))[0])
    return found(ledger, int(kits[first]), float(have[first]))


def _headroom(ledger: Ledger, name: str, has: float) -> Found | None:
    """The best kit that keeps every limit and has more to spare of this one."""
    feasible = ledger.order[ledger.broken[ledger.order] == 0]
    at, size = 0, FIRST_CHUNK
    while at < feasible.size:
        kits = feasible[at : at + size]
        at, size = at + size, 4 * size
        have = amounts(ledger, name, kits)
        slack = SAME * abs(has)
        tighter = have > has + slack if LIMITS[name].grows else have < has - slack
        if tighter.any():
            first = int(np.flatnonzero(tighter)[0])
            return found(ledger, int(kits[first]), float(have[first]))
    return None
