"""Gear or a seat moved, against enumeration with trim or heel left out."""

from functools import lru_cache

import pytest

from explain.every_kit import advice_of
from keelwatt.choose.question import NOTHING, Question
from keelwatt.choose.sums import Measure
from keelwatt.explain.moving import ALONG, MOST_M, SPARE_M, STEP_M, Move, moves
from keelwatt.files.outing import Outing
from oracle.cheap_water import CheapAssessor
from oracle.enumeration import best_by_enumeration, priced_kits
from oracle.random_cases import MOST, Case, random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")
SEEDS = range(7002, 7022)


@pytest.fixture(autouse=True)
def _cheap_water(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("keelwatt.explain.moving.Assessor", CheapAssessor)


def moved(outing: Outing, move: Move, less_m: float = 0.0) -> Outing:
    """The outing with the load moved, perhaps not so far."""
    along = ALONG[move.limit]
    by_m = move.by_m - less_m if move.by_m > 0 else move.by_m + less_m
    aboard = tuple(
        load.model_copy(update={along: getattr(load, along) + by_m})
        if load.name == move.load
        else load
        for load in outing.aboard
    )
    return outing.model_copy(update={"aboard": aboard})


def holds(outing: Outing, case: Case, move: Move) -> bool:
    assessment = CheapAssessor(outing, case.catalog).assess(move.found.kit)
    return assessment.holds


@lru_cache(MOST)
def offered(seed: int) -> tuple[Case, tuple[Move, ...]]:
    case, by = random_case(seed), MEASURES[seed % 3]
    best = case.search.best(Question(by))
    below = best.value(by) if best else NOTHING
    return case, moves(case.search, by, below)


def check(seed: int) -> int:
    case, found = offered(seed)
    by = MEASURES[seed % 3]
    best = advice_of(case, by).choice.pick
    for limit in ALONG:
        kits = [
            answer
            for answer in priced_kits(case.outing, case.catalog)
            if best is None or answer.measures[by] < best.value(by)
        ]

        def but_for(kit: object, limit: str = limit) -> bool:
            assessment = case.assessor.assess(kit)  # type: ignore[arg-type]
            return {each.name for each in assessment.broken} <= {limit}

        wanted = best_by_enumeration(but_for, tuple(kits), by)
        those = [move for move in found if move.limit == limit]
        assert not those or wanted
        for move in those:
            assert wanted
            assert move.found.kit == wanted.kit
            assert not case.holds(move.found.kit)
            assert abs(move.by_m) <= MOST_M
            assert holds(moved(case.outing, move), case, move)
            if abs(move.by_m) > 2 * STEP_M:
                assert not holds(moved(case.outing, move, STEP_M + 2 * SPARE_M), case, move)
    return len(found)


@pytest.mark.few(4)
@pytest.mark.parametrize("seed", SEEDS)
def test_a_move_lets_in_the_best_kit_that_only_leans_too_far(seed: int) -> None:
    check(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", sorted({*range(7000, 7700)} - {*SEEDS}))
def test_a_move_lets_in_the_best_kit_that_only_leans_too_far_at_length(seed: int) -> None:
    check(seed)


def test_both_limits_are_mended_in_both_directions() -> None:
    every = [move for seed in SEEDS for move in offered(seed)[1]]
    assert {move.limit for move in every} == {*ALONG}
    assert {move.by_m > 0 for move in every} == {True, False}
