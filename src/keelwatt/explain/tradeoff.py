"""Cost against mass: every kit not beaten on both; and the best kits that differ."""

from dataclasses import dataclass

import numpy as np
import pandas as pd

from keelwatt.choose.sums import Ints
from keelwatt.explain import changed as sides
from keelwatt.explain.advise import Advice
from keelwatt.explain.ledger import Ledger
from keelwatt.explain.prices import Found, found

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

    def frame(self) -> pd.DataFrame:
        """One row a kit, under FRONT_COLUMNS."""
        rows = [[*sides.kit_row(p.found), "|".join(p.changes)] for p in self.points]
        return pd.DataFrame(rows, columns=list(FRONT_COLUMNS))


@dataclass(frozen=True)
class Runner:
    """One of the best kits; ``behind`` is how far its measure lies above the best's, as a share."""

    found: Found
    behind: float
    changes: tuple[str, ...]


def tradeoff(advice: Advice) -> Tradeoff:
    """The exact front of cost and mass, one kit a point; of equals the first by ``advice.by``."""
    ledger = advice.ledger
    kits = _kept(ledger)
    cost, mass = ledger.measures["cost"][kits], ledger.measures["mass"][kits]
    order = np.lexsort((np.arange(kits.size), mass, cost))
    lightest = np.minimum.accumulate(mass[order]) if kits.size else mass
    front = order[np.flatnonzero(np.diff(lightest, prepend=np.iinfo(np.int64).max))]
    points: list[Point] = []
    for number in kits[front]:
        kit = found(ledger, int(number))
        changes = sides.changed(points[-1].found.kit, kit.kit) if points else ()
        points.append(Point(kit, changes))
    return Tradeoff(tuple(points))


def best_kits(
    advice: Advice, count: int | None = None, *, within: float | None = None
) -> tuple[Runner, ...]:
    """The best kits that keep every limit, each with another bank, drive or place.

    Kits that differ in wiring or charger only count as one, the best of them. ``within``: only
    those whose measure lies no more than this share above the best's. No ``count``: all of them.
    """
    ledger = advice.ledger
    kits = _kept(ledger)
    drives = len(ledger.space.table.drives)
    couples = ledger.kits.bank[kits] * drives + ledger.kits.drive[kits]
    firsts = np.sort(np.unique(couples, return_index=True)[1])
    values = ledger.measures[ledger.by][kits[firsts]]
    if within is not None:
        values = values[values <= values[:1] * (1.0 + within)]
    runners: list[Runner] = []
    for number, value in zip(kits[firsts][:count], values[:count], strict=False):
        kit = found(ledger, int(number))
        first = runners[0].found.kit if runners else kit.kit
        behind = float(value / values[0] - 1.0) if values[0] else 0.0 if not value else np.inf
        runners.append(Runner(kit, behind, sides.changed(first, kit.kit)))
    return tuple(runners)


def runners_frame(runners: tuple[Runner, ...]) -> pd.DataFrame:
    """One row a kit, under RUNNER_COLUMNS."""
    rows = [
        [place, r.behind, *sides.kit_row(r.found), "|".join(r.changes)]
        for place, r in enumerate(runners, start=1)
    ]
    return pd.DataFrame(rows, columns=list(RUNNER_COLUMNS))


def _kept(ledger: Ledger) -> Ints:
    """Every kit that keeps all limits, the best first."""
    return np.asarray(ledger.order[ledger.broken[ledger.order] == 0])
