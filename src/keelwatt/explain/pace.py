"""All legs slower or faster together: how far the chosen kit keeps pace, and which comes next."""

from dataclasses import replace
from itertools import pairwise
from math import inf

import numpy as np

from keelwatt.boat.arrays import Bools, Ints
from keelwatt.boat.running import Running
from keelwatt.choose.block import Block
from keelwatt.choose.question import Pick, Question
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.cover import APART, Cover
from keelwatt.explain.leaning import Leaning
from keelwatt.explain.speeds import Speeds
from keelwatt.kits import Found as Couples
from keelwatt.kits import Types
from keelwatt.kits.needs import Span
from keelwatt.kits.pairs import coarse_g
from keelwatt.limits import LIMITS

WINDOWS = (1.0, 0.95, 0.85, 0.7, 0.5, 0.25)
"""Slower days are searched from one to the next; below the last nobody would call it the day."""

PIECES = 6

KITS_AT_ONCE = 256
"""Kits whose ranges of speeds are worked out together; couples come no more than TOGETHER."""

BREATH = 1e-7
"""Searches by halves may end so far from where they should."""

LEAST_LASTS = 1e-3
"""Charge that lasts for less of a day counts as this."""


def held(pick: Pick, share: float = 1.0) -> float:
    """The greatest share of the wished speeds that a kit serves without a break from one on."""
    speeds = Speeds.of(pick.block, np.array([pick.row]))
    reach = float(speeds.reach[0])
    if reach == inf or reach <= share * APART:
        return max(share, reach)
    cover = Cover(share, reach)
    cover.offer(*speeds.ranges(cover))
    first = cover.pieces()[0]
    return share if first.kit is None else first.end


def spans(low: float, high: float, pieces: int = PIECES) -> tuple[Span, ...]:
    """A range of speeds in pieces: the shorter one, the sharper what it asks of a bank.

    The slowest asks the least of most, so it is the shortest.
    """
    knots = (low + (high - low) * np.linspace(0.0, 1.0, pieces + 1) ** 3).tolist()
    return tuple(pairwise(knots))


def at_pace(search: Search, question: Question, low: float, high: float) -> Question:
    """Kits that serve the day with all legs at some share of their speeds between two."""
    free = question.loosening(LIMITS["leg_speed"])
    asked = spans(low, high) if low < high else ((low, high),)
    return replace(free, spans=asked).needing(hours=search.case.outing_hours)


def slower(search: Search, better: Question) -> tuple[Pick, float] | None:
    """A better kit, and the greatest share of the wished speeds below 1 that lets one in."""
    for high, low in pairwise(WINDOWS):
        if (share := _fastest(search, better, low, high)) > low:
            pick = _first(search, better, share / APART)
            return None if pick is None else (pick, share)
    return None


def _fastest(search: Search, better: Question, low: float, high: float) -> float:
    """The greatest share between two at which a better kit serves the day; the lower for none."""
    share = low

    def ask(_: int) -> Question:
        return at_pace(search, better, share, high)

    def useful(couples: Couples) -> Bools:
        return may_keep_up(at_lightest(search.types, couples), share, high)

    for block, kits in search.sweep(ask, useful):
        speeds = Speeds.of(block, _lightest(block, kits, high))
        rows = np.flatnonzero(may_keep_up(speeds.running, share, high))
        _, starts, ends = speeds.some(rows).ranges(Cover(share, high), PIECES)
        real = ends > starts * APART
        share = max(share, float(ends[real].max(initial=0.0)))
    return share


def at_lightest(types: Types, couples: Couples) -> Running:
    """Couples in boats no heavier than any kit of theirs makes."""
    pairs = couples.bank, couples.drive
    return types.day.running(*pairs, coarse_g(types, *pairs))


def may_keep_up(running: Running, low: float, high: float) -> Bools:
    """Which may serve the day at some share of the wished speeds between two.

    A motor draws no less at a greater speed: at v times the speed charge lasts at the most for v
    times the share of the day it lasts now. So speeds below that are passed over.
    """
    wanted = running.case.ground_speeds_m_s[:, None] * (1.0 - BREATH)
    may = np.zeros(running.water.column.shape, dtype=bool)
    slowest = running.on_legs(wanted * np.full(may.shape, low), reach_only=True)
    rows = reaching = np.flatnonzero(slowest.feasible.all(axis=0))
    share, repeated = np.full(may.shape, low), running.of(reaching).repeatedly()
    while rows.size:
        some = repeated.of(np.searchsorted(reaching, rows))
        ground = wanted * share[rows]
        point = some.on_legs(ground)
        reached = point.feasible.all(axis=0)
        day_h, served_h = some.hours_of(ground, point)
        lasts = served_h / day_h * (1.0 + BREATH)
        may[rows[reached & (lasts >= 1.0)]] = True
        share[rows] /= np.maximum(lasts, LEAST_LASTS)
        rows = rows[reached & (lasts < 1.0) & (share[rows] <= high)]
    return may


def faster(search: Search, by: Measure, share: float) -> Pick | None:
    """The best kit for a day just faster than a share of the wished speeds."""
    return None if share == inf else _first(search, Question(by), share * APART)


def _lightest(block: Block, kits: Ints, share: float) -> Ints:
    """The lightest kit of each bank and drive type, which serves whatever heavier ones of them do
    unless it leans more than these; so with it all that lean too far at a share of the speeds."""
    leaning = ~Leaning.of_kits(block, kits).upright(np.array([share]))
    return np.union1d(block.lightest(kits), kits[leaning])


def _first(search: Search, question: Question, share: float) -> Pick | None:
    """The best kit that serves the day at a share of the wished speeds."""

    def serves(block: Block, kits: Ints) -> Bools:
        return Speeds.of(block, kits).serves_at(share)

    return search.best(at_pace(search, question, share, share), serves)
