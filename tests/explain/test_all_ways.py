"""All ways out with their least amounts, and all conflicts, found again kit by kit.

A way out is looked for kit by kit: which wishes the proof finds broken, the legs run as fast as the
kit can, and by what share each wish is missed.
"""

from collections.abc import Iterator
from math import inf

import numpy as np
import pytest

from explain.every_kit import broken_by_kit, explainable
from explain.stretched import with_distances
from keelwatt.choose.block import TILTS
from keelwatt.explain.loosening import SLOWEST
from keelwatt.explain.ways import GIVEN_UP, WayOut, conflicts, ways_out
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Leg, Outing
from keelwatt.limits import LIMITS, WISHES
from keelwatt.proof import Assessment
from keelwatt.proof.ways import Way
from oracle.cheap_water import CheapAssessor
from oracle.ledger import Ledger
from oracle.random_cases import Case, random_case

SAME = 1e-4
BISECTIONS = 40

Needs = tuple[frozenset[str], float, Kit]
"""The wishes a kit needs loosened, by what share in all, and the kit."""


def needs(case: Case) -> Iterator[Needs]:
    """Of every kit that breaks wishes only, and none beyond what may be loosened."""
    bound = [declared for declared in LIMITS.values() if declared.name in TILTS]
    loosest = {declared.field: declared.loosest_si for declared in bound}
    limits = case.outing.limits.model_copy(update=loosest)
    soft = _assessor(case, case.outing.model_copy(update={"limits": limits}))
    for answer, broken in broken_by_kit(case.seed):
        if not broken <= {*WISHES, "control_heat"}:
            continue
        if {limit.name for limit in soft.assess(answer.kit).broken} & {*TILTS}:
            continue
        shares = [1.0] * len(case.outing.legs)
        slow = bool(broken & {"leg_speed", "control_heat"})
        if slow:
            shares = [share_reached(case, answer.kit, leg) for leg in case.outing.legs]
        if min(shares) <= 0.0:
            continue
        legs = tuple(_at(leg, share) for leg, share in zip(case.outing.legs, shares, strict=True))
        slower = _assessor(case, case.outing.model_copy(update={"legs": legs}))
        missed = dict(_missed(case, slower.assess(answer.kit)))
        if slow:
            missed["leg_speed"] = 1.0 - min(shares)
        yield frozenset(missed), sum(missed.values()), answer.kit


def _assessor(case: Case, outing: Outing) -> CheapAssessor:
    return CheapAssessor(outing, case.catalog)


def share_reached(case: Case, kit: Kit, leg: Leg, *, cool: bool = True) -> float:
    """The share of its speed that a kit can do on a leg, 1 at the most; 0 for next to nothing.

    ``cool``: its control no warmer in its box than it stands.
    """
    if _reaches(case, kit, leg, cool):
        return 1.0
    low, high = 0.0, 1.0
    for _ in range(BISECTIONS):
        middle = (low + high) / 2
        slower = leg.model_copy(update={"speed_m_s": leg.speed_m_s * middle})
        low, high = (middle, high) if _reaches(case, kit, slower, cool) else (low, middle)
    return low if low > SLOWEST else 0.0


def _reaches(case: Case, kit: Kit, leg: Leg, cool: bool) -> bool:
    if cool and case.outing.craft.control_box:
        alone = _assessor(case, case.outing.model_copy(update={"legs": (leg,)}))
        if "control_heat" in {limit.name for limit in alone.assess(kit).broken}:
            return False
    assessor = case.assessor
    chosen, grams = assessor.chosen(kit), assessor.assess(kit).totals.displacement_g
    runs = (assessor.run(kit, chosen, grams, way) for way in Way.of(leg))
    return not leg.driven or all(map(assessor.reaches, runs))


def _at(leg: Leg, share: float) -> Leg:
    safely = share if share == 1.0 else share * (1 - 1e-6)
    longer = safely if leg.by_distance else 1.0
    return leg.model_copy(
        update={"speed_m_s": leg.speed_m_s * safely, "duration_h": leg.duration_h / longer}
    )


def _missed(case: Case, assessment: Assessment) -> Iterator[tuple[str, float]]:
    """Each wish that is broken, and the share it is missed by."""
    hours = case.load_case.outing_hours
    for limit in assessment.broken:
        if limit.name == "top_speed":
            calm = Leg(name="top", speed_m_s=limit.needs, duration_h=1.0)
            yield limit.name, 1.0 - share_reached(case, assessment.kit, calm, cool=False)
        elif limit.name == "hours":
            yield limit.name, (hours - hours * assessment.hours_at_limit) / hours
        elif limit.name != "leg_speed":
            miss = -limit.room / limit.needs if limit.needs else inf
            yield limit.name, miss if np.isfinite(miss) else GIVEN_UP


SEEDS = (7000, *range(7002, 7012))
"""Cases of few kits; the others are in the sweep."""

FULL_SETTING = 7295
"""At the speed it can hold, a motor too weak for a leg draws less than at nominal voltage."""


def impossible(seed: int) -> bool:
    """Whether every kit breaks something."""
    return explainable(random_case(seed)) and all(broken for _, broken in broken_by_kit(seed))


def check_ways(seed: int) -> None:
    if not impossible(seed):
        return
    case = with_distances(random_case(seed))
    every = list(needs(case))
    sets = {limits for limits, _, _ in every}
    smallest = {s for s in sets if not any(other < s for other in sets)}
    ways = ways_out(case.search, "cost")
    assert {frozenset(way.limits) for way in ways} == smallest
    for way in ways:
        check_least(way, every)


def check_least(way: WayOut, every: list[Needs]) -> None:
    """No other kit needs less for the same wishes."""
    least = min(share for limits, share, _ in every if limits == frozenset(way.limits))
    assert way.relative == pytest.approx(least, rel=SAME, abs=SAME)
    assert way.relative == pytest.approx(sum(change.relative for change in way.changes))


def check_conflicts(seed: int) -> None:
    """Conflicts and the sets of ways out are those of the ledger of every kit."""
    if not impossible(seed):
        return
    search = random_case(seed).search
    ledger = Ledger.of(search, "cost")
    assert {frozenset(limits) for limits in conflicts(search, "cost")} == ledger.conflicts()
    assert {frozenset(way.limits) for way in ways_out(search, "cost")} == ledger.ways()


@pytest.mark.few(4)
@pytest.mark.parametrize("seed", [FULL_SETTING, *SEEDS])
def test_ways_out_are_all_there_are_with_the_least_amounts(seed: int) -> None:
    check_ways(seed)


@pytest.mark.few(4)
@pytest.mark.parametrize("seed", SEEDS)
def test_conflicts_and_ways_out_are_those_of_the_ledger(seed: int) -> None:
    check_conflicts(seed)


@pytest.mark.slow
def test_there_is_something_to_compare() -> None:
    assert sum(map(impossible, SEEDS)) >= 3


@pytest.mark.slow
@pytest.mark.parametrize("seed", sorted({*range(7000, 7700)} - {*SEEDS}))
def test_ways_out_and_conflicts_at_length(seed: int) -> None:
    check_ways(seed)
    check_conflicts(seed)
