"""Cost against mass: every kit not beaten on both; and the best kits that differ."""

from dataclasses import dataclass, replace
from math import floor
from typing import TYPE_CHECKING

import numpy as np

from keelwatt.choose.block import Block, Bools
from keelwatt.choose.question import Pick, Question
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Ints
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

RUNNER_COLUMNS = {
    "place": "1 for the best",
    "behind": "share by which its measure lies above the best",
    **sides.COLUMNS,
    "changes": "kinds of part that differ from the best kit, joined by |",
}
"""Column -> meaning of ``runners_frame``."""


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

    Each point's mass is the bound of the next (the epsilon-constraint method: Haimes and others,
    IEEE Trans. SMC 1 (1971) 296).
    """
    search, points = advice.search, list[Point]()
    question = Question("cost", then=("mass", advice.by))
    while pick := _lighter(search, question):
        kit = found(pick)
        changes = sides.changed(points[-1].found.kit, kit.kit) if points else ()
        points.append(Point(kit, changes))
        question = replace(question, after=pick).needing(kit_mass=kit.mass_g / 1000)
    return Tradeoff(tuple(points))


def _lighter(search: Search, question: Question) -> Pick | None:
    """The best kit that is lighter than the last."""
    last = question.after
    if last is None:
        return search.best(question)

    def lighter(block: Block, kits: Ints) -> Bools:
        return np.asarray(block.measures["mass"][kits] < last.value("mass"))

    return search.best(question, lighter)


def best_kits(
    advice: Advice, count: int | None = None, *, within: float | None = None
) -> tuple[Runner, ...]:
    """The best kits that keep every limit, each with another bank, drive or place.

    Kits that differ in wiring or charger only count as one, the best of them. ``within``: only
    those whose measure lies no more than this share above the best's. No ``count``: all of them.
    """
    water = advice.search.types.displacements
    search = Search(advice.facts, advice.catalog, every_control=True, water=water)
    question = Question(advice.by)
    best = search.best(question)
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


def runners_frame(runners: tuple[Runner, ...]) -> "pd.DataFrame":
    """One row a kit, under RUNNER_COLUMNS."""
    import pandas as pd

    rows = [
        [place, r.behind, *sides.kit_row(r.found), "|".join(r.changes)]
        for place, r in enumerate(runners, start=1)
    ]
    return pd.DataFrame(rows, columns=list(RUNNER_COLUMNS))
