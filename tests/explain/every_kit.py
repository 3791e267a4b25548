"""What every sound kit of a random case breaks, judged by the proof alone."""

from collections.abc import Iterable
from functools import cache, lru_cache

from keelwatt.choose.best import choose
from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import Advice
from oracle.enumeration import Answer, priced_kits
from oracle.random_cases import MOST, Case, random_case

Broken = tuple[tuple[Answer, frozenset[str]], ...]


def advice_of(case: Case, by: Measure) -> Advice:
    """A case decided, on its cheap water, not proved."""
    choice = choose(case.search, by)
    return Advice(choice.status, case.outing, case.catalog, by, "highs", case.search, choice)


@lru_cache(MOST)
def broken_by_kit(seed: int) -> Broken:
    """Every sound kit of a case, in catalog order, with the names of the limits it breaks."""
    return broken_of(random_case(seed))


def broken_of(case: Case) -> Broken:
    return tuple(
        (answer, frozenset(limit.name for limit in case.assessor.assess(answer.kit).broken))
        for answer in priced_kits(case.outing, case.catalog)
    )


def judged(seed: int, names: Iterable[str]) -> Broken:
    """Those kits that break none but the named limits."""
    return tuple((answer, broken) for answer, broken in broken_by_kit(seed) if broken <= {*names})


def explainable(case: Case) -> bool:
    """Whether no charger is required: a kit without it then breaks two names for one reason."""
    ashore = {charger.id for charger in case.catalog.chargers}
    return not ashore & {*case.outing.parts.require}


@cache
def seeds(*, possible: bool) -> tuple[int, ...]:
    """Cases with a kit that breaks nothing, or those without one."""
    every = range(7000, 7016)
    return tuple(seed for seed in every if is_such(seed, possible=possible))


def is_such(seed: int, *, possible: bool) -> bool:
    """Whether a case can be explained, and has a kit that breaks nothing or has none."""
    return explainable(random_case(seed)) and possible is any(
        not broken for _, broken in broken_by_kit(seed)
    )
