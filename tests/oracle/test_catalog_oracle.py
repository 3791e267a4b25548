"""Every kit of catalog and outing, judged by the proof, against the kit the program chooses."""

from functools import cache

import pytest

from keelwatt.boat.facts import Facts
from keelwatt.choose.best import best
from keelwatt.choose.space import Space
from keelwatt.kits import candidates
from keelwatt.prove import Assessor, prove
from oracle.enumeration import Answer, Measure, best_by_enumeration, priced_kits
from oracle.random_cases import random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")
CASES = range(1000, 1220)
FEW_KITS = 16
"""With the true wave integral every displacement costs a tenth of a second."""


@cache
def by_enumeration(seed: int) -> dict[Measure, Answer | None]:
    case = random_case(seed)
    answers = priced_kits(case.outing, case.catalog)
    return {by: best_by_enumeration(case.holds, answers, by) for by in MEASURES}


def check(seed: int) -> None:
    case = random_case(seed)
    expected = by_enumeration(seed)
    for by in MEASURES:
        choice = best(Space(case.table), by)
        answer = expected[by]
        if answer is None:
            assert (choice.status, choice.kit) == ("impossible", None)
        else:
            assert choice.kit == answer.kit
            assert choice.measures == answer.measures
            proof = prove(case.assessor, answer.kit)
            assert proof.holds, (proof.assessment.broken, proof.failures)


@pytest.mark.parametrize("seed", CASES)
def test_the_program_chooses_the_kit_that_enumeration_finds(seed: int) -> None:
    check(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2000, 4000))
def test_the_program_chooses_the_kit_that_enumeration_finds_at_length(seed: int) -> None:
    check(seed)


def test_cases_are_neither_all_possible_nor_all_impossible() -> None:
    impossible = sum(by_enumeration(seed)["cost"] is None for seed in CASES)
    assert 0.15 <= impossible / len(CASES) <= 0.40


def test_limits_bind_often() -> None:
    """The kit that would be best with only the rules to keep is often not the best one."""
    held_back = 0
    for seed in CASES:
        case = random_case(seed)
        answer = by_enumeration(seed)["cost"]
        if answer is not None:
            cheapest = min(a.measures["cost"] for a in priced_kits(case.outing, case.catalog))
            held_back += answer.measures["cost"] > cheapest
    assert held_back >= 0.3 * len(CASES)


def check_on_true_water(seed: int) -> bool:
    """Whether the case is small enough to enumerate with the wave integral; checked if so."""
    case = random_case(seed)
    answers = priced_kits(case.outing, case.catalog)
    if not 0 < len({answer.measures["mass"] for answer in answers}) <= FEW_KITS:
        return False
    facts = Facts(case.outing)
    assessor = Assessor(facts, case.catalog)
    table = candidates(facts, case.catalog)
    holds = cache(lambda kit: assessor.assess(kit).holds)
    for by in MEASURES:
        choice = best(Space(table), by)
        answer = best_by_enumeration(holds, answers, by)
        assert choice.kit == (answer.kit if answer else None)
    return True


def test_the_same_on_true_water() -> None:
    assert sum(check_on_true_water(seed) for seed in range(5002, 5010)) >= 3


@pytest.mark.slow
def test_the_same_on_true_water_at_length() -> None:
    assert sum(check_on_true_water(seed) for seed in range(6000, 6200)) >= 50
