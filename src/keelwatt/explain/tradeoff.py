"""Cost against mass: every kit not beaten on both; and the best kits that differ."""

from dataclasses import dataclass, replace
from math import floor
from typing import TYPE_CHECKING

import numpy as np

from keelwatt.boat.arrays import Ints
from keelwatt.choose.question import Pick, Question, order
from keelwatt.explain import changed as sides
from keelwatt.explain.advise import Advice
from keelwatt.explain.prices import Found, found

if TYPE_CHECKING:
    import pandas as pd

FRONT_COLUMNS = {
    **sides.COLUMNS,
    "changes": "kinds of part that differ from the kit before, joined by |",
}
"""Column -> meaning of ``Tradeoff.frame``."""


@dataclass(frozen=True)
class Point:
    """A kit on the front; ``changes``: the kinds of part that differ from the one before."""

    found: Found
    changes: tuple[str, ...]


@dataclass(frozen=True)
class Tradeoff:
    """Every kit that keeps all limits and is not beaten on both cost and mass, cheapest first."""

    points: tuple[Point, ...]

    def frame(self) -> "pd.DataFrame":
        """One row a kit, under FRONT_COLUMNS."""
        import pandas as pd

        rows = [[*sides.kit_row(p.found), "|".join(p.changes)] for p in self.points]
        return pd.DataFrame(rows, columns=list(FRONT_COLUMNS))


@dataclass(frozen=True)
class Runner:
    """One of the best kits; ``behind`` is how far its measure lies above the best's, as a share."""

    found: Found
    behind: float
    changes: tuple[str, ...]


def tradeoff(advice: Advice) -> Tradeoff:
    """The exact front of cost and mass, one kit a point; of equals the first by ``advice.by``.

    Couples are looked at from the cheapest on; once all up to a price are known, only those that
    can be lighter than the lightest kit so far (the epsilon-constraint method: Haimes and others,
    IEEE Trans. SMC 1 (1971) 296).
    """
    search, question = advice.search, Question("cost", then=("mass", advice.by))
    kits: list[tuple[tuple[int, ...], Found]] = []

    def ask(level: int) -> Question:
        lightest_g = min((kit.mass_g for _, kit in kits if kit.cost_cents <= level), default=None)
        return question if lightest_g is None else question.needing(kit_mass=lightest_g / 1000)

    for block, rows in search.sweep(ask):
        inorder = order(question, block, rows)
        for row in inorder[_falling(block.measures["mass"][inorder])].tolist():
            pick = Pick(block, row)
            kits.append((pick.key(question), found(pick)))
    kits.sort(key=lambda kit: kit[0])
    points: list[Point] = []
    for number in _falling(np.array([kit.mass_g for _, kit in kits], dtype=np.int64)).tolist():
        kit = kits[number][1]
        changes = sides.changed(points[-1].found.kit, kit.kit) if points else ()
        points.append(Point(kit, changes))
    return Tradeoff(tuple(points))


def _falling(values: Ints) -> Ints:
    """Where a value is below all before it."""
    lowest = np.minimum.accumulate(values) if values.size else values
    return np.flatnonzero(np.diff(lowest, prepend=np.iinfo(np.int64).max))


def best_kits(
    advice: Advice, count: int | None = None, *, within: float | None = None
) -> tuple[Runner, ...]:
    """The best kits that keep every limit, each with another bank, motor or place.

    Kits that differ in control, wiring or charger only count as one, the best of them. ``within``:
    only those whose measure lies no more than this share above the best's. No ``count``: all of
    them.
    """
    search, question, best = advice.search, Question(advice.by), advice.choice.pick
    if best is None:
        return ()
    least = best.value(advice.by)
    if within is not None:
        question = replace(question, below=floor(least * (1.0 + within)) + 1)
    runners: list[Runner] = []
    for pick in search.in_order(question, count):
        kit, value = found(pick), pick.value(advice.by)
        first = runners[0].found.kit if runners else kit.kit
        behind = float(value / least - 1.0) if least else 0.0 if not value else np.inf
        runners.append(Runner(kit, behind, sides.changed(first, kit.kit)))
    return tuple(runners)
