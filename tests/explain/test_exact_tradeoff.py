"""Fronts and the best kits that differ, against every kit that the proof lets pass."""

import pytest

from explain.every_kit import advice_of, broken_by_kit
from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import Advice
from keelwatt.explain.changed import changed
from keelwatt.explain.tradeoff import (
    FRONT_COLUMNS,
    best_kits,
    tradeoff,
)
from oracle.enumeration import THEN, Answer
from oracle.random_cases import random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")

SEEDS = range(7000, 7020)


def decided(seed: int) -> Advice:
    return advice_of(random_case(seed), MEASURES[seed % 3])


def ranked(seed: int) -> list[Answer]:
    """Every kit that holds, from the best; of equals the first in the catalog."""
    by = MEASURES[seed % 3]
    held = (answer for answer, broken in broken_by_kit(seed) if not broken)
    return sorted(held, key=lambda answer: (answer.measures[by], answer.measures[THEN[by]]))


def check_front(seed: int) -> None:
    held = ranked(seed)
    points = {(a.measures["cost"], a.measures["mass"]) for a in held}
    front = sorted(
        (cost, mass)
        for cost, mass in points
        if not any(c <= cost and m <= mass and (c, m) != (cost, mass) for c, m in points)
    )
    result = tradeoff(decided(seed))
    assert [(p.found.cost_cents, p.found.mass_g) for p in result.points] == front
    firsts = {(a.measures["cost"], a.measures["mass"]): a.kit for a in reversed(held)}
    assert [p.found.kit for p in result.points] == [firsts[point] for point in front]
    kits = [p.found.kit for p in result.points]
    steps = zip(result.points[1:], kits, kits[1:], strict=False)
    assert all(p.changes == changed(before, after) for p, before, after in steps)
    assert list(result.frame().columns) == list(FRONT_COLUMNS)
    assert len(result.frame()) == len(front)


def check_best_kits(seed: int) -> None:
    by, held = MEASURES[seed % 3], ranked(seed)
    couples = {
        (k.battery, k.series, k.parallel, k.compartment, k.motor, k.mount): a
        for a in reversed(held)
        for k in [a.kit]
    }
    wanted = [a for a in held if a in couples.values()]
    runners = best_kits(decided(seed))
    assert [r.found.kit for r in runners] == [a.kit for a in wanted]
    assert best_kits(decided(seed), 3) == runners[:3]
    least = wanted[0].measures[by] if wanted else 0
    near = [a.kit for a in wanted if a.measures[by] <= least * 1.05]
    assert [r.found.kit for r in best_kits(decided(seed), within=0.05)] == near
    for runner, answer in zip(runners, wanted, strict=True):
        assert runner.behind == pytest.approx(answer.measures[by] / least - 1.0 if least else 0.0)


@pytest.mark.few(4)
@pytest.mark.parametrize("seed", SEEDS)
def test_the_front_and_the_best_kits_are_those_of_enumeration(seed: int) -> None:
    check_front(seed)
    check_best_kits(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(7020, 7500))
def test_the_front_and_the_best_kits_are_those_of_enumeration_at_length(seed: int) -> None:
    check_front(seed)
    check_best_kits(seed)


def test_there_is_something_to_compare() -> None:
    sizes = [len(tradeoff(decided(seed)).points) for seed in SEEDS]
    assert sum(size > 1 for size in sizes) >= 5
    assert sizes.count(0) >= 3
