"""When nothing fits: every conflict, and every way out with its least amounts."""

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.choose.sums import Ints
from keelwatt.explain.amounts import amounts, hours_at, leg_speeds_m_s, wished
from keelwatt.explain.ledger import Ledger
from keelwatt.explain.prices import Found, found
from keelwatt.limits import LIMITS, WISHES

MOST_CONFLICTS = 200
"""Beyond this the conflicts are too many to read; the ways out stay complete."""

BARELY_M_S = 1e-3
"""Speed that stands for none where a distance must still be covered."""

GIVEN_UP = 10.0
"""The relative change that a wish given up altogether, or one of nothing, counts as."""


@dataclass(frozen=True)
class Change:
    """One wish loosened from ``asked`` to ``to``, in ``unit``; ``relative`` to what was asked.

    Infinite ``to``: the wish must go altogether, as a recharge time for which no charger is sold.
    ``legs``: for the legs' speed, the new speed of every leg that must be slower, in m/s.
    """

    limit: str
    asked: float
    to: float
    unit: str
    relative: float
    legs: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class WayOut:
    """A smallest set of wishes to loosen, with the least amounts and the kit it allows."""

    changes: tuple[Change, ...]
    found: Found
    relative: float = field(compare=False)

    @property
    def limits(self) -> tuple[str, ...]:
        return tuple(change.limit for change in self.changes)


def conflicts(ledger: Ledger) -> tuple[tuple[str, ...], ...]:
    """The smallest sets of limits that no kit meets together.

    A set is a conflict if every kit breaks one of it: the smallest such sets are the minimal
    transversals of the smallest broken sets (Reiter, Artificial Intelligence 32 (1987) 57).
    """
    sets = _minimal(np.unique(ledger.broken).tolist())
    if 0 in sets or not sets:
        return ()
    transversals = [0]
    for broken in sets:
        bits = [1 << i for i in range(broken.bit_length()) if broken >> i & 1]
        transversals = _minimal(
            {t if t & broken else t | bit for t in transversals for bit in bits}
        )
    ranked = sorted(transversals, key=lambda bits: (bits.bit_count(), bits))
    return tuple(ledger.named(bits) for bits in ranked[:MOST_CONFLICTS])


def ways_out(ledger: Ledger) -> tuple[WayOut, ...]:
    """Every smallest set of wishes to loosen, ranked by the sum of relative changes."""
    wishes = ledger.bit(*WISHES)
    possible = (ledger.broken & ~wishes == 0) & ~ledger.hopeless
    speed, hours = ledger.bit("leg_speed"), ledger.bit("hours")
    broken = np.where(possible, ledger.broken, 0)
    slow = np.flatnonzero(possible & (ledger.broken & speed != 0))
    changes = _slower(ledger, slow)
    broken[slow] = broken[slow] & ~hours | np.where(changes.in_time, 0, hours)
    possible[slow] &= changes.runs
    found_ways = []
    for bits in _minimal(np.unique(broken[possible]).tolist()):
        if bits:
            kits = np.flatnonzero(possible & (broken == bits))
            found_ways.append(_least_way(ledger, bits, kits))
    return tuple(sorted(found_ways, key=lambda way: way.relative))


@dataclass(frozen=True)
class _Slower:
    """Kits that cannot hold a leg's speed: whether they run at all, and then serve the hours."""

    runs: np.ndarray
    in_time: np.ndarray


def _slower(ledger: Ledger, kits: Ints) -> _Slower:
    if not kits.size:
        return _Slower(np.zeros(0, dtype=bool), np.zeros(0, dtype=bool))
    speeds = leg_speeds_m_s(ledger, kits)
    wanted = ledger.space.table.facts.ground_speeds_m_s[:, None]
    runs = np.all((speeds > 0.0) | ((wanted == 0.0) & (speeds == 0.0)), axis=0)
    day_h, served_h = hours_at(ledger, kits, np.maximum(speeds, BARELY_M_S))
    return _Slower(runs, served_h >= day_h)


def _minimal(sets: Iterable[int]) -> list[int]:
    """Those that contain no other, smallest first."""
    kept: list[int] = []
    for bits in sorted(set(sets), key=int.bit_count):
        if not any(bits & small == small for small in kept):
            kept.append(bits)
    return kept


def _least_way(ledger: Ledger, bits: int, kits: Ints) -> WayOut:
    """The kit of one broken set that needs the least relative change in all."""
    relative = np.zeros(kits.size)
    have: dict[str, Floats] = {}
    for name in ledger.named(bits):
        have[name] = _amounts_on_the_way(ledger, name, kits, bits)
        relative += _relative(ledger, name, have[name])
    place = np.empty(ledger.order.size, dtype=np.int64)
    place[ledger.order] = np.arange(ledger.order.size)
    number = int(np.lexsort((place[kits], relative))[0])
    kit = int(kits[number])
    changes = tuple(
        _change(ledger, name, kit, float(have[name][number])) for name in ledger.named(bits)
    )
    return WayOut(changes, found(ledger, kit), float(relative[number]))


def _amounts_on_the_way(ledger: Ledger, name: str, kits: Ints, bits: int) -> Floats:
    """Amounts, the hours at the speeds that are left if the legs' speed is given up as well."""
    if name != "hours" or not bits & ledger.bit("leg_speed"):
        return amounts(ledger, name, kits)
    speeds = np.maximum(leg_speeds_m_s(ledger, kits), BARELY_M_S)
    day_h, served_h = hours_at(ledger, kits, speeds)
    return ledger.space.table.facts.outing_hours * served_h / day_h


def _change(ledger: Ledger, name: str, kit: int, to: float) -> Change:
    asked = wished(ledger, name) or 0.0
    legs: tuple[tuple[str, float], ...] = ()
    if name == "leg_speed":
        speeds = leg_speeds_m_s(ledger, np.array([kit]))[:, 0]
        legs = tuple(
            (leg.name, float(speed))
            for leg, speed in zip(ledger.space.table.facts.outing.legs, speeds, strict=True)
            if speed < leg.speed_m_s - 1e-9
        )
    relative = float(_relative(ledger, name, np.array([to]))[0])
    return Change(name, asked, to, LIMITS[name].unit, relative, legs)


def _relative(ledger: Ledger, name: str, have: Floats) -> Floats:
    """By how much of itself a wish must be loosened."""
    asked = wished(ledger, name) or 0.0
    if not asked:
        return np.full(have.shape, GIVEN_UP)
    change = asked - have if LIMITS[name].grows else have - asked
    return np.where(np.isfinite(have), np.maximum(change, 0.0) / asked, GIVEN_UP)
