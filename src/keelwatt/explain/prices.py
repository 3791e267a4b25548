"""What each limit costs the chosen kit, and how far it is from another."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Ints
from keelwatt.choose.block import Block
from keelwatt.choose.question import Pick, Question, order
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.explain import pace
from keelwatt.explain.amounts import served, wished
from keelwatt.files.kit import SEASON_UNITS_PER_CENT, Kit
from keelwatt.limits import LIMITS

SAME = 1e-9
"""Relative difference below which two amounts count as one."""

PACE = "leg_speed"

LOOSENED = (0.01, 0.04, 0.12, 0.3, 0.6)
"""By which shares of itself a wish is loosened on the way to giving it up."""


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
    """One limit of the chosen kit: ``lifted``, the best kit without it, None if no better.

    What a step costs is looked for when it is asked after; a rule has none.
    """

    search: Search = field(repr=False, compare=False)
    by: Measure
    best: Pick = field(repr=False, compare=False)
    name: str
    lifted: Found | None

    @property
    def binding(self) -> bool:
        return self.lifted is not None

    @property
    def wish(self) -> bool:
        return LIMITS[self.name].kind == "wish"

    @property
    def unit(self) -> str:
        return LIMITS[self.name].unit if self.wish else ""

    @property
    def asked(self) -> float | None:
        return wished(self.search.case, self.name) if self.wish else None

    @cached_property
    def has(self) -> float | None:
        """What the chosen kit has of a wish."""
        if self.name == PACE:
            return pace.held(self.best)
        return amount_of(self.best, self.name) if self.wish else None

    @cached_property
    def next_step(self) -> Found | None:
        """The kit let in by the smallest loosening of a wish that lets a better one in.

        Legs are slowed together, and what that saves of the charge counts.
        """
        better = Question(self.by, below=self.best.value(self.by))
        if self.name == PACE:
            step = pace.slower(self.search, better)
            return None if step is None else found(*step)
        if not self.wish or self.lifted is None:
            return None
        return _next_step(self.search, self.name, better, self.lifted.amount)

    @cached_property
    def headroom(self) -> Found | None:
        """The best kit once a wish is tighter than what the chosen one has; None: no kit is."""
        if self.has is None:
            return None
        if self.name == PACE:
            beyond = pace.faster(self.search, self.by, self.has)
            return None if beyond is None else found(beyond, pace.held(beyond, self.has))
        return _headroom(self.search, Question(self.by), self.name, self.has)


def found(pick: Pick, amount: float | None = None) -> Found:
    sums = (pick.value("cost"), pick.value("mass"), pick.value("season"))
    return Found(pick.block.kit(pick.row), *sums, amount)


def maybe(pick: Pick | None, amount: float | None = None) -> Found | None:
    return None if pick is None else found(pick, amount)


def prices(search: Search, by: Measure, best: Pick) -> tuple[Price, ...]:
    """Every limit, for the best kit there is."""
    better = Question(by, below=best.value(by))
    return tuple(
        Price(search, by, best, name, _lifted(name, search.best(better.lifting(name), keep=0)))
        for name in search.names
    )


def _lifted(name: str, pick: Pick | None) -> Found | None:
    """The best kit without a limit, with what it has of that."""
    if pick is None or name == PACE or LIMITS[name].kind != "wish":
        return maybe(pick)
    return found(pick, amount_of(pick, name))


def amount_of(pick: Pick, name: str) -> float:
    return float(served(pick.block, name, np.array([pick.row]))[0])


def eased(search: Search, name: str, share: float) -> float:
    """A wish loosened by a share of itself."""
    asked = wished(search.case, name) or 0.0
    return asked * (1.0 - share if LIMITS[name].grows else 1.0 + share)


def _next_step(search: Search, name: str, better: Question, most: float | None) -> Found | None:
    """The kit that needs the least loosening; the best of those that need as much.

    The wish is loosened by more and more, until some kit needs no more than that; then no kit left
    out can need less. At the last it is loosened as far as ``most``, the best kit's without it.
    """
    question = better.loosening(LIMITS[name])
    for share in LOOSENED:
        need = eased(search, name, share)
        step = _least(search, name, question.needing(**{name: need}), need)
        if step:
            return step
    if most is None or not (np.isfinite(most) and most > 0.0):
        some = {} if LIMITS[name].grows else {name: np.inf}
        return _least(search, name, question.needing(**some), None)
    return _least(search, name, question.needing(**{name: most}), most)


def _least(search: Search, name: str, question: Question, need: float | None) -> Found | None:
    more = LIMITS[name].grows
    best: tuple[float, Pick] | None = None

    def ask(_: int) -> Question:
        return question.needing(**{name: best[0]}) if best else question

    for block, kits in search.sweep(ask):
        have = served(block, name, kits)
        good = np.isfinite(have) & (have > 0.0)
        if need is not None:
            good &= (have >= need) if more else (have <= need)
        if not good.any():
            continue
        least = float(have[good].max() if more else have[good].min())
        equal = good & (np.abs(have - least) <= SAME * abs(least))
        first = int(order(question, block, kits[equal])[0])
        new = amount_of(Pick(block, first), name), Pick(block, first)
        if not best or _before(question, new, best, more=more):
            best = new
    return found(best[1], best[0]) if best else None


def _before(
    question: Question, new: tuple[float, Pick], old: tuple[float, Pick], *, more: bool
) -> bool:
    """Whether a kit needs less loosening, or as much and is better."""
    if abs(new[0] - old[0]) > SAME * abs(old[0]):
        return (new[0] > old[0]) is more
    return new[1].key(question) < old[1].key(question)


def _headroom(search: Search, question: Question, name: str, has: float) -> Found | None:
    """The best kit that keeps every limit and has more to spare of this one."""
    if has <= 0.0 and not LIMITS[name].grows:
        return None
    slack = SAME * abs(has)

    def tighter(block: Block, kits: Ints) -> Bools:
        have = served(block, name, kits)
        return np.asarray(have > has + slack if LIMITS[name].grows else have < has - slack)

    if np.isfinite(has):
        question = question.needing(**{name: has})
    pick = search.best(question, tighter)
    return None if pick is None else found(pick, amount_of(pick, name))
