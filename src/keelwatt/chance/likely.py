"""The best kit that meets the day as planned and so many of the days drawn about it."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.chance.scenarios import Scenarios
from keelwatt.chance.spreads import Days
from keelwatt.choose.best import Choice, best
from keelwatt.choose.bounds import floor, incumbent
from keelwatt.choose.narrow import best_of_catalog
from keelwatt.choose.space import NOTHING, Bools, Space
from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import Advice
from keelwatt.kits import Table


@dataclass(frozen=True)
class Likely:
    """Chooses over days, with the outing, catalog, measure and solver of ``plain``."""

    plain: Advice
    days: Days
    seconds: float | None = None

    def best(self, needed: int, *, whole: bool) -> tuple[Table, Choice]:
        """The table and the best kit in it; of a very large catalog, narrowed unless ``whole``."""
        plain = self.plain
        if whole:
            table = self._whole.demanding(needed)
            return table, best(Space(table), plain.by, solver=plain.solver, seconds=self.seconds)
        table, choice, _ = best_of_catalog(
            plain.table.facts,
            plain.catalog,
            plain.by,
            solver=plain.solver,
            seconds=self.seconds,
            few_couples=-1,
            stricter=lambda table: Scenarios.of(table, self.days).demanding(needed),
        )
        return table, choice

    def reachable(self, needed: int) -> float:
        """The greatest share of the days, below ``needed`` of them, that some kit meets."""
        days, by = self._whole, self.plain.by
        among = _possible(Space(days.table), by)
        met, unmet = 0, needed
        while unmet - met > 1:
            middle = (met + unmet) // 2
            space = Space(days.demanding(middle, among))
            possible = incumbent(space, by, floor(space, by)) < NOTHING
            met, unmet = (middle, unmet) if possible else (met, middle)
        return met / len(self.days)

    @cached_property
    def _whole(self) -> Scenarios:
        return Scenarios.of(self.plain.whole_table, self.days)


def _possible(space: Space, by: Measure) -> Bools:
    """The pairs of types that some kit might be made of, whatever the day."""
    bank, drive = np.nonzero(floor(space, by) < NOTHING)
    bank_types, drive_types = space.ground.types
    possible = np.zeros(space.table.pairs.matched.shape, dtype=bool)
    possible[bank_types[bank], drive_types[drive]] = True
    return possible
