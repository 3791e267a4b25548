"""Every kit of catalog and outing, judged by the proof, against the kit the program chooses."""

from collections import Counter
from functools import cache, lru_cache

import pytest

from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.best import choose
from keelwatt.choose.search import Search
from keelwatt.files.kit import Kit
from keelwatt.proof import Assessor, prove
from oracle.enumeration import Answer, Measure, best_by_enumeration, priced_kits
from oracle.random_cases import MOST, WIDE, Case, random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")
CASES = range(1030, 1060)
WIDE_CASES = (WIDE, WIDE + 11, *range(WIDE + 20, WIDE + 40), WIDE + 81)
SWEEP = (*range(1000, 4000), *range(WIDE, WIDE + 81), *range(WIDE + 1000, WIDE + 2000))
FEW_KITS = 48
"""With the true wave integral every displacement costs a tenth of a second."""


@lru_cache(MOST)
def by_enumeration(seed: int) -> dict[Measure, Answer | None]:
    case = random_case(seed)
    answers = priced_kits(case.outing, case.catalog)
    return {by: best_by_enumeration(case.holds, answers, by) for by in MEASURES}


def check(seed: int) -> None:
    case = random_case(seed)
    expected = by_enumeration(seed)
    for by in MEASURES:
        choice = choose(case.search, by)
        answer = expected[by]
        if answer is None:
            assert (choice.status, choice.kit) == ("impossible", None)
        else:
            assert choice.kit == answer.kit
            assert choice.measures == answer.measures
            proof = prove(case.assessor, answer.kit)
            assert proof.holds, (proof.assessment.broken, proof.failures)


@pytest.mark.few(8)
@pytest.mark.parametrize("seed", [*CASES, *WIDE_CASES])
def test_the_program_chooses_the_kit_that_enumeration_finds(seed: int) -> None:
    check(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", sorted({*SWEEP} - {*CASES, *WIDE_CASES}))
def test_the_program_chooses_the_kit_that_enumeration_finds_at_length(seed: int) -> None:
    check(seed)


@pytest.mark.slow
def test_cases_are_neither_all_possible_nor_all_impossible() -> None:
    impossible = sum(by_enumeration(seed)["cost"] is None for seed in CASES)
    assert 0.15 <= impossible / len(CASES) <= 0.55


@pytest.mark.slow
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


def at_odds(case: Case, kit: Kit) -> set[str]:
    """What of the wide shelves this kit, or what its shelf might have tempted to, shows."""
    chosen = case.assessor.chosen(kit)
    bank_v, motor_v = kit.series * chosen.battery.voltage_v, chosen.motor.system_v
    weak = [fuse for fuse in case.catalog.fuses if fuse.max_voltage_v < bank_v]
    loads = [box.max_load_kg for box in case.outing.craft.compartments]
    bank_kg = kit.units * chosen.battery.mass_kg
    return {
        f"{motor_v} V",
        "bank below the motor" if bank_v < motor_v else "",
        "bank above the motor" if bank_v > motor_v else "",
        "fuse below the bank" if weak else "",
        "load at its bound" if any(load and load - bank_kg < 1e-3 for load in loads) else "",
        f"fuse of {chosen.fuse.max_voltage_v:g} V",
    } - {""}


def heavy_control_would_do(case: Case) -> bool:
    """Whether some kit that holds has a controller heavier than its motor."""
    for answer in priced_kits(case.outing, case.catalog):
        chosen = case.assessor.chosen(answer.kit)
        heavy = chosen.controller and chosen.controller.mass_kg > chosen.motor.mass_kg
        if heavy and case.holds(answer.kit):
            return True
    return False


@pytest.mark.slow
def test_wide_cases_hold_what_small_ones_leave_out() -> None:
    counts: Counter[str] = Counter()
    for seed in WIDE_CASES:
        if answer := by_enumeration(seed)["cost"]:
            counts.update(at_odds(random_case(seed), answer.kit))
    wanted = ["24 V", "36 V", "48 V", "bank below the motor", "bank above the motor"]
    wanted += ["fuse below the bank", "load at its bound"]
    wanted += ["fuse of 32 V", "fuse of 58 V", "fuse of 80 V"]
    assert [what for what in wanted if not counts[what]] == [], counts
    assert any(heavy_control_would_do(random_case(seed)) for seed in WIDE_CASES)


def check_on_true_water(seed: int) -> bool:
    """Whether the case is small enough to enumerate with the wave integral; checked if so."""
    case = random_case(seed)
    answers = priced_kits(case.outing, case.catalog)
    if not 0 < len({answer.measures["mass"] for answer in answers}) <= FEW_KITS:
        return False
    load_case = LoadCase(case.outing)
    assessor = Assessor(case.outing, case.catalog)
    search = Search(load_case, case.catalog)
    holds = cache(lambda kit: assessor.assess(kit).holds)
    for by in MEASURES:
        choice = choose(search, by)
        answer = best_by_enumeration(holds, answers, by)
        assert choice.kit == (answer.kit if answer else None)
    return True


def test_the_same_on_true_water() -> None:
    assert sum(check_on_true_water(seed) for seed in range(5002, 5010)) >= 3


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6000, 6200))
def test_the_same_on_true_water_at_length(seed: int) -> None:
    check_on_true_water(seed)
