"""One walk over a catalog for every step of a staircase: the kits that serve a range best."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from heapq import heappop, heappush
from itertools import pairwise
from math import ceil, floor, inf

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.choose.block import Block
from keelwatt.choose.question import Pick, Question, order
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.amounts import amounts, served
from keelwatt.explain.cover import APART, Cover, Piece
from keelwatt.explain.leaning import Leaning
from keelwatt.explain.pace import KITS_AT_ONCE, at_lightest, at_pace, may_keep_up
from keelwatt.explain.prices import Found, found
from keelwatt.explain.speeds import PIECES, Speeds
from keelwatt.kits import Found as Couples
from keelwatt.limits import OVERS

GRID = 40
"""What is asked of a speed is told in steps of its fortieth part, so that few are worked out."""

Served = tuple[Found, tuple[tuple[float, float], ...]]
"""A kit and the ranges it serves."""

BY_MASS = ("hours", "speed", "top_speed")
"""What a kit has of these falls with the mass of its couple, unless it leans too far."""

Ranges = tuple[Ints, Floats, Floats]
"""(kit, start, end) of what each serves; a kit may come with several."""


@dataclass
class Climb:
    """Kits that each serve something no better kit does, in the order of their couples' floors.

    A kit is needed only for what is still open once all better ones took theirs. So what a couple
    must serve is what the kits that come to less than its floor leave open: where more of a wish
    only asks more of a kit, that is more than the best of them has, the epsilon-constraint method
    (Haimes and others, IEEE Trans. SMC 1 (1971) 296) in one walk.
    """

    search: Search
    by: Measure
    over: str
    low: float
    high: float
    closed: Cover = field(init=False)
    _kits: list[tuple[tuple[int, ...], Found, Floats, Floats]] = field(default_factory=list)
    _waiting: list[tuple[int, int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.closed = Cover(self.low, self.high)

    def walk(self) -> Iterator[float]:
        """The share of the range that is settled, again and again until all is."""
        useful = self._alive if self.over == "speed" else None
        for block, kits in self.search.sweep(self._ask, useful):
            self._take(block, kits)
            if self.closed.taken:
                yield self.closed.share
        self._settle(inf)

    def answer(self) -> tuple[list[Served], tuple[Piece, ...]]:
        """(kits, which of them serves what), of what is settled so far."""
        waiting = {number for _, number in self._waiting}
        settled = [kit for at, kit in enumerate(self._kits) if at not in waiting]
        settled.sort(key=lambda kit: kit[0])
        cover = Cover(self.low, self.high)
        if settled:
            numbers = np.repeat(np.arange(len(settled)), [kit[2].size for kit in settled])
            starts, ends = (np.concatenate([kit[at] for kit in settled]) for at in (2, 3))
            cover.offer(numbers, starts, ends)
        kits = [(kit, _joined(starts, ends)) for _, kit, starts, ends in settled]
        return kits, cover.pieces()

    @property
    def _question(self) -> Question:
        return Question(self.by).loosening(OVERS[self.over])

    def _ask(self, level: int) -> Question | None:
        """What a kit needs to serve something that kits up to a level leave open."""
        self._settle(level)
        if not self.closed.open:
            return None
        easiest = min(start for start, _ in self.closed.open)
        most = max(end for _, end in self.closed.open)
        question, case = self._question, self.search.case
        if self.over == "speed":
            grid = (self.high - self.low) / GRID
            first, last = floor((easiest - self.low) / grid), ceil((most - self.low) / grid)
            knots = [self.low + grid * knot for knot in stretches(first, last)]
            asked = at_pace(self.search, question, knots[0], knots[0])
            return replace(asked, spans=tuple(pairwise(knots)))
        if self.over == "reserve":
            share = (1.0 - case.outing.limits.reserve) / (1.0 - min(easiest, 0.999))
            charged = {"recharge": inf} if "recharge" in self.search.names else {}
            return question.needing(hours=case.outing_hours * share, **charged)
        if OVERS[self.over].grows:
            return question.needing(**{self.over: easiest})
        return question.needing(**{self.over: most}) if most < inf else question

    def _settle(self, level: float) -> None:
        """Closes what the kits that come to no more than a level serve."""
        while self._waiting and self._waiting[0][0] <= level:
            _, number = heappop(self._waiting)
            _, _, starts, ends = self._kits[number]
            self.closed.offer(np.full(starts.shape, number), starts, ends)

    def _take(self, block: Block, kits: Ints) -> None:
        """Those of a block's kits that serve what no better one of them does."""
        if not kits.size:
            return
        kits = order(self._question, block, kits)
        if self.over in BY_MASS:
            lighter = _lighter(block, kits)
            kits = kits[lighter | self._lean(block, kits, lighter)]
        cover = Cover(self.low, self.high)
        cover.open = list(self.closed.open)
        size = KITS_AT_ONCE if self.over == "speed" else kits.size
        known: list[Ranges] = []
        for at in range(0, kits.size, size):
            known.append(_served(self.over, block, kits[at : at + size], cover))
            cover.offer(*known[-1])
        taken = sorted({piece.kit for piece in cover.taken if piece.kit is not None})
        if self.over == "speed" and taken:
            # What was open when a kit was looked at is not all it serves: steps are merged by that.
            known.append(_served(self.over, block, np.array(taken), Cover(self.low, self.high)))
        numbers, starts, ends = (np.concatenate(each) for each in zip(*known, strict=True))
        for number in taken:
            own, pick = numbers == number, Pick(block, number)
            heappush(self._waiting, (pick.value(self.by), len(self._kits)))
            self._kits.append((pick.key(self._question), found(pick), starts[own], ends[own]))

    def _lean(self, block: Block, kits: Ints, lighter: Bools) -> Bools:
        """Which may lean too far with the motor across, somewhere in the range."""
        if self.over == "hours":
            return np.zeros_like(lighter)
        leaning = Leaning.of_kits(block, kits)
        if self.over == "speed":
            return ~leaning.upright(np.array([self.high]))
        return ~leaning.upright_at(amounts(block, self.over, kits[lighter]).max(keepdims=True))

    def _alive(self, couples: Couples) -> Bools:
        """Which couples at their lightest serve something open: no kit of theirs serves more."""
        good = np.zeros(couples.floor.shape, dtype=bool)
        cover = Cover(self.low, self.high)
        cover.open = list(self.closed.open)
        slowest = min(start for start, _ in cover.open)
        running = at_lightest(self.search.types, couples)
        rows = np.flatnonzero(may_keep_up(running, slowest, self.high))
        good[rows[Speeds(rows, running.of(rows).repeatedly()).helps(cover, PIECES)]] = True
        return good


def stretches(first: int, last: int) -> Iterator[int]:
    """From one whole number to a later one in growing steps; of whatever first, knots are shared.

    >>> [*stretches(37, 100)]
    [37, 38, 40, 44, 48, 56, 64, 80, 96, 100]
    """
    at, last = first, max(last, first + 1)
    while at < last:
        yield at
        most = 1 << (at - first + 1).bit_length() - 1
        at += min(at & -at or most, most)
    yield last


def _joined(starts: Floats, ends: Floats) -> tuple[tuple[float, float], ...]:
    """Ranges in order, those that touch as one."""
    found: list[tuple[float, float]] = []
    for start, end in sorted(zip(starts.tolist(), ends.tolist(), strict=True)):
        if found and start <= found[-1][1] * APART:
            found[-1] = found[-1][0], max(found[-1][1], end)
        else:
            found.append((start, end))
    return tuple(found)


def _lighter(block: Block, kits: Ints) -> Bools:
    """Which of some kits in their order are lighter than all of their couple before them."""
    couple, mass = block.couple[kits], block.measures["mass"][kits]
    together = np.argsort(couple, kind="stable")
    apart = (mass.max(initial=0) + 1) * (couple.max(initial=0) - couple[together])
    lowest = np.minimum.accumulate(mass[together] + apart)
    first = np.diff(lowest, prepend=np.iinfo(np.int64).max) < 0
    lighter = np.zeros(kits.shape, dtype=bool)
    lighter[together[first]] = True
    return lighter


def _served(over: str, block: Block, kits: Ints, cover: Cover) -> Ranges:
    """What the numbered kits serve, in their order."""
    if over == "speed":
        return Speeds.of(block, kits).ranges(cover)
    have = served(block, over, kits)
    if OVERS[over].grows:
        return kits, _least(block, over, kits), have
    return kits, have, np.full(have.shape, inf)


def _least(block: Block, over: str, kits: Ints) -> Floats:
    """Below this reserve the bank takes longer to recharge than is wished."""
    limits = block.outing.limits
    if over != "reserve" or limits.recharge_within_h is None:
        return np.zeros(kits.shape)
    slow_end_h = block.table.banks["slow_end_h"][block.bank[kits]]
    share = (limits.recharge_within_h - slow_end_h) / (block.recharge_h[kits] - slow_end_h)
    return np.asarray(1.0 - (1.0 - limits.reserve) * share)
