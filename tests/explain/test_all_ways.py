"""All ways out with their least amounts, and all conflicts, found again kit by kit.

A way out is looked for kit by kit: which wishes the proof finds broken, the legs run as fast as the
kit can, its top speed as great as it reaches, and by what share each wish is missed. A kit whose
motor, turned across, leans the boat too far may do with a lower top speed instead.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf, radians
from random import Random

import numpy as np
import pytest

from explain.every_kit import Broken, broken_by_kit, broken_of, explainable
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


def needs(case: Case, every: Broken) -> Iterator[Needs]:
    """Of every kit that breaks wishes only, and none beyond what may be loosened."""
    for answer, broken in every:
        if not broken <= {*WISHES, "control_heat"}:
            continue
        shares = [1.0] * len(case.outing.legs)
        slow = bool(broken & {"leg_speed", "control_heat"})
        if slow:
            shares = [share_reached(case, answer.kit, leg) for leg in case.outing.legs]
        if min(shares) <= 0.0:
            continue
        legs = tuple(_at(leg, share) for leg, share in zip(case.outing.legs, shares, strict=True))
        left = Left(case, answer.kit, legs)
        top = left.top_share() if "top_speed" in broken else 1.0
        missed = dict(_missed(case, left.assessment(top)))
        if slow:
            missed["leg_speed"] = 1.0 - min(shares)
        if "top_speed" in broken:
            missed["top_speed"] = 1.0 - top
        if left.beyond(top) & {"trim", "heel"}:
            continue
        if "turn_heel" not in left.beyond(top):
            yield frozenset(missed), sum(missed.values()), answer.kit
        if "turn_heel" in missed and (lower := left.upright_share(top)):
            del missed["turn_heel"]
            missed["top_speed"] = 1.0 - lower
            yield frozenset(missed), sum(missed.values()), answer.kit


@dataclass(frozen=True)
class Left:
    """A kit on the legs it is left with, at shares of the top speed. With the motor across the legs
    count as they are asked for."""

    case: Case
    kit: Kit
    legs: tuple[Leg, ...]

    def assessment(self, share: float, **limits: float | None) -> Assessment:
        outing, top_m_s = self.case.outing, self.case.outing.limits.top_speed_m_s
        if top_m_s is not None:
            limits["top_speed_m_s"] = top_m_s * share * (1.0 if share == 1.0 else 1 - 1e-6)
        update = {"legs": self.legs, "limits": outing.limits.model_copy(update=limits)}
        slower = _assessor(self.case, outing.model_copy(update=update)).assess(self.kit)
        update["legs"] = outing.legs
        asked = _assessor(self.case, outing.model_copy(update=update)).assess(self.kit)
        across = tuple(limit for limit in asked.limits if limit.name == "turn_heel")
        rest = (limit for limit in slower.limits if limit.name != "turn_heel")
        return replace(slower, limits=(*rest, *across))

    def top_share(self) -> float:
        """What the kit reaches of the top speed."""
        top_m_s = self.case.outing.limits.top_speed_m_s
        calm = Leg(name="top", speed_m_s=top_m_s or 0.0, duration_h=1.0)
        return share_reached(self.case, self.kit, calm, cool=False)

    def beyond(self, share: float) -> frozenset[str]:
        """The wishes broken even at their loosest."""
        bound = [declared for declared in LIMITS.values() if declared.name in TILTS]
        loosest = {declared.field: declared.loosest_si for declared in bound}
        return frozenset(each.name for each in self.assessment(share, **loosest).broken) & {*TILTS}

    def upright_share(self, most: float) -> float:
        """The greatest share of the top speed at which the motor leans the boat no further than
        asked; 0 where there is none."""
        if self.case.outing.limits.top_speed_m_s is None or not self.upright(1e-9):
            return 0.0
        low, high = 1e-9, most
        for _ in range(BISECTIONS):
            middle = (low + high) / 2
            low, high = (middle, high) if self.upright(middle) else (low, middle)
        return low

    def upright(self, share: float) -> bool:
        return "turn_heel" not in {limit.name for limit in self.assessment(share).broken}


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
    """Each wish but the speeds that is broken, and the share it is missed by."""
    hours = case.load_case.outing_hours
    for limit in assessment.broken:
        if limit.name == "hours":
            yield limit.name, (hours - hours * assessment.hours_at_limit) / hours
        elif limit.name not in ("leg_speed", "top_speed"):
            miss = -limit.room / limit.needs if limit.needs else inf
            yield limit.name, miss if np.isfinite(miss) else GIVEN_UP


TOO_WARM = 7109
"""A control in a place warmer than it stands, on legs that are loosened."""

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
    check_all_ways(with_distances(random_case(seed)), broken_by_kit(seed))


def check_all_ways(case: Case, broken: Broken) -> None:
    every = list(needs(case, broken))
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


def tipped(seed: int) -> Case:
    """With a top speed that few kits reach, and motors that lean the boat too far at it."""
    case, rng = random_case(seed), Random(f"tipped {seed}")
    limits = {
        "top_speed_m_s": rng.choice([1.5, 2.5, 4.0]),
        "turn_heel_rad": radians(rng.choice([0.3, 1.0, 3.0, 8.0])),
    }
    if rng.random() < 0.5:
        limits["budget_cents"] = round(0.7 * (case.outing.limits.budget_cents or 80_000))
    outing = case.outing.model_copy(update={"limits": case.outing.limits.model_copy(update=limits)})
    return Case(seed, outing, case.catalog)


def check_tipped(seed: int) -> set[str]:
    """The wishes of the ways out."""
    case = tipped(seed)
    if not explainable(case):
        return set()
    broken = broken_of(case)
    if not all(of for _, of in broken):
        return set()
    check_all_ways(case, broken)
    ways = {frozenset(way.limits) for way in ways_out(case.search, "cost")}
    assert ways == Ledger.of(case.search, "cost").ways()
    return set().union(*ways)


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


@pytest.mark.few(4)
@pytest.mark.parametrize("seed", [TOO_WARM, *SEEDS])
def test_at_a_lower_top_speed_a_motor_leans_the_boat_less(seed: int) -> None:
    check_tipped(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", sorted({*range(7000, 7300)} - {*SEEDS, TOO_WARM}))
def test_at_a_lower_top_speed_a_motor_leans_the_boat_less_at_length(seed: int) -> None:
    check_tipped(seed)


@pytest.mark.slow
def test_some_ways_lower_the_top_speed_and_some_loosen_the_heel() -> None:
    told = [check_tipped(seed) for seed in SEEDS]
    assert sum("top_speed" in each for each in told) >= 3
    assert any("turn_heel" in each for each in told)


@pytest.mark.slow
def test_there_is_something_to_compare() -> None:
    assert sum(map(impossible, SEEDS)) >= 3


@pytest.mark.slow
@pytest.mark.parametrize("seed", sorted({*range(7000, 7700)} - {*SEEDS}))
def test_ways_out_and_conflicts_at_length(seed: int) -> None:
    check_ways(seed)
    check_conflicts(seed)
