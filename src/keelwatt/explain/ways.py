"""When nothing fits: every conflict, and every way out with its least amounts.

Both are found together, see :mod:`keelwatt.explain.duals`.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from math import inf

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, alike
from keelwatt.boat.legs import over
from keelwatt.choose.block import TILTS, Block
from keelwatt.choose.question import Pick, Question, order
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.amounts import amounts, hours_at, leg_speeds_m_s, served, wished
from keelwatt.explain.duals import duals
from keelwatt.explain.loosening import (
    BARELY_M_S,
    exactly,
    keeping,
    keeps,
    to_loosen,
    turned_deg,
)
from keelwatt.explain.prices import Found, eased, found
from keelwatt.kits import Found as Couples
from keelwatt.kits import Ground
from keelwatt.kits.needs import AS_WISHED
from keelwatt.limits import LIMITS, MEASURED, WISHES

MOST_CONFLICTS = 200
"""Beyond this the conflicts are too many to read; the ways out stay complete."""

SAME = 1e-9
"""Difference below which two relative changes count as one."""

GIVEN_UP = 10.0
"""The relative change that a wish given up altogether, or one of nothing, counts as."""

LOOSENED = (0.1, 0.5, 2.5, 9.0)
"""By how much of themselves wishes are loosened in all on the way to giving them up."""

FALLING = frozenset({"hours", "leg_speed", "top_speed"})
"""Wishes of which a kit has the less the more it weighs."""

NEAR = 1e-6
"""What these are worked out to, and more."""


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


def conflicts(search: Search, by: Measure) -> tuple[tuple[str, ...], ...]:
    """The smallest sets of limits that no kit meets together."""
    names = search.names

    def broken(kept: frozenset[str]) -> Iterator[frozenset[str]]:
        """What kits break that keep these limits: nothing comes if there is no such kit."""
        question = Question(by, lifted=frozenset(names) - kept, leaning=frozenset(TILTS))
        if pick := search.possible(question):
            yield _named(pick.block, int(pick.block.broken[pick.row]))
            for block in (pick.block, *search.blocks):
                yield from (_named(block, bits) for bits in np.unique(block.broken).tolist())

    return tuple(
        tuple(name for name in names if name in limits)
        for limits in duals(names, broken, MOST_CONFLICTS)[1]
    )


def ways_out(search: Search, by: Measure) -> tuple[WayOut, ...]:
    """Every smallest set of wishes to loosen, ranked by the sum of relative changes."""
    wishes = tuple(name for name in search.names if name in WISHES)

    def broken(kept: frozenset[str]) -> Iterator[frozenset[str]]:
        pick = search.possible(keeping(search, by, frozenset(wishes) - kept), keeps(kept))
        if pick:
            block, each = pick.block, to_loosen(pick.block, np.array([pick.row]))
            ways = [int(bits) for (bits,) in each if bits >= 0 and not bits & block.bit(kept)]
            yield from (_named(block, bits) for bits in ways)

    sets = duals(wishes, broken)[0]
    every = (_least_way(search, by, limits) for limits in sets if limits)
    return tuple(sorted(every, key=lambda way: way.relative))


def _named(block: Block, bits: int) -> frozenset[str]:
    return frozenset(name for at, name in enumerate(block.names) if bits >> at & 1)


def _least_way(search: Search, by: Measure, limits: frozenset[str]) -> WayOut:
    """The kit that needs the least relative change of these wishes in all.

    Couples come in the order of what one of the wishes bounds, if one does. The wishes are loosened
    by more and more, until some kit needs no more than that in all; as soon as one is known, by no
    more than that kit needs, and no couple is looked at that cannot come to less.
    """
    question = keeping(search, by, limits)
    measured = (MEASURED[name] for name in search.names if name in limits and name in MEASURED)
    walk = replace(question, by=next(measured, by))
    best: tuple[float, Pick] | None = None
    most = inf

    def share() -> float:
        return min(most, best[0]) if best else most

    def ask(_: int) -> Question:
        return walk.needing(**_at_most(search, limits, share()))

    def useful(couples: Couples) -> Bools:
        enough = share() * (1.0 + NEAR) + NEAR
        return _least_relative(search, walk, couples, limits, enough) <= enough

    def some() -> Iterator[tuple[Block, Ints]]:
        nonlocal most
        for most in (*LOOSENED, inf):
            yield from search.sweep(ask, useful)
            if best and best[0] <= most:
                return

    for block, kits in some():
        those = kits[exactly(limits)(block, kits)]
        if not those.size:
            continue
        those = order(question, block, those)
        those = those[_near(block, those, limits, best[0] if best else inf)]
        if not those.size:
            continue
        relative = _relative_change(block, those, limits)
        number = int(np.argmin(relative))
        new = float(relative[number]), Pick(block, int(those[number]))
        if not best or (new[0], new[1].key(question)) < (best[0], best[1].key(question)):
            best = new
    assert best  # some kit asks for these wishes and no others, or they were no way out
    return _way(best[1], limits)


def _near(block: Block, kits: Ints, limits: frozenset[str], most: float) -> Bools:
    """Which kits may need the least change of some, and no more than ``most``.

    What a kit has of speed and hours falls with its mass, and takes long to work out: the lightest
    of each couple bounds it for the others.
    """
    lightest, falling = block.lightest(kits), _falling(limits)
    least = _at_best(block, lightest, falling)[alike(block.couple[kits])[1]]
    least += _at_best(block, kits, _standing(limits))
    found = _relative_change(block, lightest, limits).min()
    return np.asarray(least <= min(most, float(found)) * (1.0 + NEAR) + NEAR)


def _at_most(search: Search, limits: frozenset[str], share: float) -> dict[str, float]:
    """What a kit must have of these wishes that needs no more than a relative change in all.

    A wish that grows is never missed by more than itself, and a bank that nothing charges counts as
    if its time to recharge were given up. What even the fastest drive lacks of a top speed is taken
    from the share of the others.
    """

    rest = share
    if "top_speed" in limits and share < inf:
        of_top = _of_top(search, search.contenders.ground.needs.top_m_s)
        rest = max(0.0, share - float(of_top.min(initial=1.0)))
    found = {}
    for name in limits & FALLING | _standing(limits):
        left = share if name == "top_speed" else rest
        bound = 1.0 if LIMITS[name].grows else GIVEN_UP if name == "recharge" else inf
        if wished(search.case, name) and left < bound:
            found[name] = eased(search, name, left * (1.0 + SAME) + SAME)
    return found


def _least_relative(
    search: Search, question: Question, couples: Couples, limits: frozenset[str], most: float
) -> Floats:
    """What no kit of a couple needs less than: as if it were wired with the least there is.

    What takes long to work out is left out where the rest comes to more than ``most``.
    """
    own, lightest = search.contenders.couples(question), search.lightest(couples)
    every, least = np.arange(lightest.bank.size), np.full(couples.floor.shape, inf)
    quick = _standing(limits) - {*MEASURED, "recharge"}
    np.minimum.at(least, lightest.couple, _at_best(lightest, every, quick))
    for name in limits & {*MEASURED}:
        have = LIMITS[name].of_whole(own.least(MEASURED[name], couples.bank, couples.drive))
        least += _relative_to(wished(search.case, name) or 0.0, have, grows=False)
    at_least = least + _by_drive(search, own.ground, couples, _falling(limits))
    least = np.where(at_least <= most, least, at_least)
    near = lightest.lightest(every[least[lightest.couple] <= most])
    least[lightest.couple[near]] += _at_best(lightest, near, _falling(limits))
    return least


def _by_drive(search: Search, ground: Ground, couples: Couples, some: frozenset[str]) -> Floats:
    """What no couple needs less than of some wishes, by what is known of its bank and drive."""
    least = np.zeros(couples.floor.shape)
    if "top_speed" in some:
        least += _of_top(search, ground.needs.top_m_s[couples.drive])
    if "hours" in some:
        supply, asked = ground.charge((AS_WISHED,), couples.bank, couples.drive)
        least += np.maximum(0.0, 1.0 - over(supply, asked))
    return least


def _of_top(search: Search, top_m_s: Floats) -> Floats:
    """The relative change of the top speed to what is reached."""
    return _relative_to(wished(search.case, "top_speed") or 0.0, top_m_s, grows=True)


def _at_best(block: Block, kits: Ints, some: frozenset[str]) -> Floats:
    """The least these wishes must be loosened in all, by what kits have of each by itself."""
    relative = np.zeros(kits.shape)
    for name in _inorder(block, some):
        relative += _relative(block, name, amounts(block, name, kits))
    return relative


def _standing(limits: frozenset[str]) -> frozenset[str]:
    """Wishes whose change no speed decides: at a lower top speed a motor leans the boat less."""
    return limits - FALLING - ({"turn_heel"} if "top_speed" in limits else set())


def _falling(limits: frozenset[str]) -> frozenset[str]:
    """The wishes whose least change the lightest kit of a couple needs."""
    falling = limits & FALLING
    # Slower legs may spare more than a heavier boat takes.
    return falling - {"hours"} if falling >= {"hours", "leg_speed"} else falling


def _relative_change(block: Block, kits: Ints, limits: frozenset[str]) -> Floats:
    """By how much of themselves these wishes must be loosened in all."""
    relative = np.zeros(kits.shape)
    for name in _inorder(block, limits):
        relative += _relative(block, name, _on_the_way(block, name, kits, limits))
    return relative


def _inorder(block: Block, limits: frozenset[str]) -> Iterator[str]:
    return (name for name in block.names if name in limits)


def _way(pick: Pick, limits: frozenset[str]) -> WayOut:
    block, kits = pick.block, np.array([pick.row])
    changes = tuple(
        _change(block, name, kits, float(_on_the_way(block, name, kits, limits)[0]))
        for name in _inorder(block, limits)
    )
    return WayOut(changes, found(pick), sum(change.relative for change in changes))


def _on_the_way(block: Block, name: str, kits: Ints, limits: frozenset[str]) -> Floats:
    """Amounts, the hours and the heel at the speeds that are left if these are given up as well, a
    top speed no greater than the boat stands."""
    if name == "turn_heel" and "top_speed" in limits:
        return turned_deg(block, kits)
    if name == "top_speed" and "turn_heel" not in limits:
        return served(block, name, kits)
    if name != "hours" or "leg_speed" not in limits:
        return amounts(block, name, kits)
    speeds = np.maximum(leg_speeds_m_s(block, kits), BARELY_M_S)
    day_h, served_h = hours_at(block, kits, speeds)
    return block.case.outing_hours * served_h / day_h


def _change(block: Block, name: str, kit: Ints, to: float) -> Change:
    asked = wished(block.case, name) or 0.0
    legs: tuple[tuple[str, float], ...] = ()
    if name == "leg_speed":
        speeds = leg_speeds_m_s(block, kit)[:, 0]
        legs = tuple(
            (leg.name, float(speed))
            for leg, speed in zip(block.outing.legs, speeds, strict=True)
            if leg.driven and speed < leg.speed_m_s - 1e-9
        )
    relative = float(_relative(block, name, np.array([to]))[0])
    return Change(name, asked, to, LIMITS[name].unit, relative, legs)


def _relative(block: Block, name: str, have: Floats) -> Floats:
    """By how much of itself a wish must be loosened."""
    return _relative_to(wished(block.case, name) or 0.0, have, grows=LIMITS[name].grows)


def _relative_to(asked: float, have: Floats, *, grows: bool) -> Floats:
    if not asked:
        return np.full(have.shape, GIVEN_UP)
    change = asked - have if grows else have - asked
    return np.where(np.isfinite(have), np.maximum(change, 0.0) / asked, GIVEN_UP)
