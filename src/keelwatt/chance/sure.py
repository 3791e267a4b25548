"""The best kit for which a day on the water goes as planned with a wished chance."""

from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil

import numpy as np

from keelwatt.chance.odds import DAYS, SEED, Boat, Chances, chances, simulate
from keelwatt.chance.scenarios import Scenarios
from keelwatt.chance.spreads import Days, Spreads
from keelwatt.choose.best import choose
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.choose.solver import SolverName
from keelwatt.choose.sums import Measure
from keelwatt.errors import InputError, InternalError
from keelwatt.explain.advise import Advice, advise, decide, explained, proved
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import ROUNDING
from keelwatt.files.outing import Outing
from keelwatt.kits import DEMANDS, Pairs
from keelwatt.proof import Assessor
from keelwatt.units import UnitError, quantity

SCENARIOS = 200
"""Days a kit is chosen for; the check draws others."""

LEAST, MOST = 0.5, 0.99
"""Chances that can be asked: below, the day as planned is the harder wish; above, days so rare
matter that these spreads say nothing about them."""

SCENARIO_STREAM = 1
"""The scenarios' own stream of a seed. The first check has the plain one, that of ``odds``."""

ROUNDS = 6
"""How often a kit that falls short on fresh days may be chosen anew, for more scenarios."""


@dataclass(frozen=True)
class Checked:
    """A kit's advice and its chances on days drawn afresh."""

    advice: Advice
    chances: Chances


@dataclass(frozen=True)
class Sure:
    """The best kit that meets the day as planned and ``needed`` of the ``scenarios``.
    ``chosen.chances`` come from days that had no part in the choice. ``plain`` is the best kit for
    the day as planned alone, None if there is none. Where nothing is sure enough, ``chosen`` is
    None and ``reachable`` the greatest share of the scenarios that some kit meets, None where that
    was not looked for."""

    asked: float
    scenarios: int
    needed: int
    advice: Advice
    chosen: Checked | None
    plain: Checked | None
    reachable: float | None = None

    @property
    def fresh_days(self) -> int:
        return DAYS

    @property
    def spreads(self) -> Spreads:
        return Spreads(self.advice.outing)

    @property
    def holds(self) -> bool:
        """Whether the fresh days agree, as far as so many can tell."""
        return self.chosen is not None and self.chosen.chances.as_planned.share >= self.asked


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


def chance_asked(text: str, *, applying: bool = False) -> float:
    """The chance written on the command line; ``applying``: a way out is to be written as well.
    Raises InputError if it is none, or beyond what can be told, or asked along with a way out."""
    if applying:
        what = "finds no ways out, so none can be applied"
        raise InputError.at("--sure", what, "leave out --apply, or --sure", value=text)
    try:
        share = quantity(text, "share")
    except UnitError as error:
        raise InputError.at("--sure", error.what, error.remedy, value=text) from None
    if not LEAST <= share <= MOST:
        what = "is not a chance that can be asked for"
        remedy = f"write from {LEAST:.0%} to {MOST:.0%}: 95%"
        raise InputError.at("--sure", what, remedy, value=text)
    return share


def sure(
    outing: Outing,
    catalog: Catalog,
    asked: float,
    *,
    by: Measure | None = None,
    solver: SolverName = "highs",
    seconds: float | None = None,
    scenarios: int = SCENARIOS,
    seed: int = SEED,
) -> Sure:
    """Choose over drawn days, then check on fresh ones; where those fall short, ask for more.
    Where no kit meets the day as planned, the advice is that of :func:`advise`. Raises InputError
    if the outing names parts the catalog does not hold, InternalError if the chosen kit does not
    hold when recomputed from the parts."""
    needed = ceil(asked * scenarios - ROUNDING)
    plain = decide(outing, catalog, by=by, solver=solver, seconds=seconds)
    if plain.proof is None:
        if plain.status == "impossible":
            plain = advise(outing, catalog, by=by, solver=solver, seconds=seconds)
        return Sure(asked, scenarios, needed, plain, None, None)
    spreads = Spreads(outing)
    drawn = spreads.normals(np.random.default_rng([seed, SCENARIO_STREAM]), scenarios)
    likely = Likely(plain, spreads.days(drawn), seconds)

    def checked(advice: Advice, attempt: int) -> Checked:
        """On fresh days, others for every attempt."""
        if advice.proof is None:
            raise InternalError("there is no kit to check")
        boat = Boat(Assessor(advice.outing, catalog), advice.proof.assessment.kit)
        stream = seed if attempt <= 1 else [seed, attempt]
        return Checked(advice, chances(simulate(boat, spreads, DAYS, stream)))

    found: Sure | None = None
    for attempt in range(1, ROUNDS + 1):
        advice = explained(likely.best(needed))
        # But for the prices of the limits that the chance is about: one step has no chance.
        prices = tuple(price for price in advice.prices if price.name not in DEMANDS)
        advice = advice.having(prices=prices)
        if advice.proof is None:
            break
        chosen = checked(advice, attempt)
        found = Sure(asked, scenarios, needed, advice, chosen, None)
        missing = asked - chosen.chances.as_planned.share
        if missing <= 0.0 or needed == scenarios or advice.status == "unproved":
            break
        needed = min(scenarios, needed + max(1, ceil(missing * scenarios)))
    planned = checked(plain, 0)
    if found:
        return replace(found, plain=planned)
    reachable = likely.reachable(needed) if advice.status == "impossible" else None
    return Sure(asked, scenarios, needed, advice, None, planned, reachable)
