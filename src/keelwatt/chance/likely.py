"""The best kit that meets the day as planned and so many of the days drawn about it."""

from dataclasses import dataclass, replace
from functools import cached_property

from keelwatt.chance.scenarios import Scenarios
from keelwatt.chance.spreads import Days
from keelwatt.choose.best import choose
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.explain.advise import Advice, proved
from keelwatt.kits import Pairs


@dataclass(frozen=True)
class Likely:
    """Chooses over days, with the outing, catalog, measure and solver of ``plain``."""

    plain: Advice
    days: Days
    seconds: float | None = None

    def best(self, needed: int) -> Advice:
        """The best kit, recomputed from the parts on the day as planned."""
        plain, search = self.plain, self._search(needed)
        choice = choose(search, plain.by, solver=plain.solver, seconds=self.seconds)
        status = choice.status
        return proved(replace(plain, status=status, search=search, choice=choice, proof=None))

    def reachable(self, needed: int) -> float:
        """The greatest share of the days, below ``needed`` of them, that some kit meets."""
        question = Question(self.plain.by)
        met, unmet = 0, needed
        while unmet - met > 1:
            middle = (met + unmet) // 2
            possible = self._search(middle).possible(question) is not None
            met, unmet = (middle, unmet) if possible else (met, middle)
        return met / len(self.days)

    def _search(self, needed: int) -> Search:
        def stricter(pairs: Pairs) -> Pairs:
            return self._scenarios.demanding(pairs, needed)

        plain = self.plain.search
        return Search(plain.case, plain.catalog, stricter=stricter, water=plain.types.displacements)

    @cached_property
    def _scenarios(self) -> Scenarios:
        return Scenarios.of(self.plain.search.types, self.days)
