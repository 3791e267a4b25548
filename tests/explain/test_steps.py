"""Next steps and headrooms against enumeration on both sides of each."""

from math import inf

import pytest

from explain.stretched import best_of, leaning, stretched, with_distances
from keelwatt.choose.question import Question
from keelwatt.choose.sums import Measure
from keelwatt.explain.prices import Price, prices
from keelwatt.explain.stretch import Over
from keelwatt.files.kit import SEASON_UNITS_PER_CENT, Kit
from keelwatt.files.outing import Outing
from keelwatt.limits import LIMITS
from oracle.cheap_water import CheapAssessor
from oracle.enumeration import Answer
from oracle.random_cases import Case, random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")

NEAR = 1e-4
"""How close to a breakpoint its two sides are looked at."""

OVERS: dict[str, Over] = {
    "budget": "budget",
    "season": "season",
    "kit_mass": "kit_mass",
    "lift": "lift",
    "hours": "hours",
    "leg_speed": "speed",
    "top_speed": "top_speed",
    "recharge": "recharge",
    "trim": "trim",
    "heel": "heel",
    "turn_heel": "turn_heel",
}


SEEDS = (7000, 7001, 7002, 7005, 7006, 7007, 7009)
"""Cases of few kits; the others are in the sweep."""

DRIFTED = 7283
"""A leg given by its distance is drifted: another speed of the others does not shorten it."""

LEANING = (7026, 7003, 7004)
"""With a faster day, or a greater top speed, the motor turned across leans the boat too far."""


class Side:
    """The best kit with one limit set to an amount, a little eased or tightened."""

    def __init__(self, case: Case, price: Price, by: Measure) -> None:
        self.case, self.price, self.by = case, price, by

    def harder(self, amount: float) -> float:
        return amount * (1 + NEAR if LIMITS[self.price.name].grows else 1 - NEAR)

    def easier(self, amount: float) -> float:
        return amount * (1 - NEAR if LIMITS[self.price.name].grows else 1 + NEAR)

    def best(self, amount: float) -> Answer | None:
        return best_of(self.case, self.outing(amount), self.by)

    def holds(self, amount: float, kit: Kit) -> bool:
        return CheapAssessor(self.outing(amount), self.case.catalog).assess(kit).holds

    def outing(self, amount: float) -> Outing:
        return stretched(self.case.outing, OVERS[self.price.name], amount)


def check(seed: int) -> None:
    check_case(with_distances(random_case(seed)), MEASURES[seed % 3])


def check_case(case: Case, by: Measure) -> None:
    pick = case.search.best(Question(by))
    if pick is None:
        return
    for price in prices(case.search, by, pick):
        if price.wish:
            side = Side(case, price, by)
            check_headroom(side, pick.block.kit(pick.row))
            check_next_step(side, pick.value(by))


def check_headroom(side: Side, kit: Kit) -> None:
    """The kit stays as long as it can; then the next one takes over."""
    price, has = side.price, side.price.has
    assert has is not None
    if not 0.0 < has < 1e6:
        return
    eased = side.easier(has)
    if price.asked is not None and within(price, eased):
        kept = side.best(eased)
        assert kept is not None
        if price.name != "leg_speed":
            assert kept.kit == kit, price
    beyond = side.best(side.harder(has))
    if price.headroom is None:
        assert beyond is None, price
    elif holds_beyond(price, side.harder(has)):
        assert beyond is not None
        assert beyond.kit == price.headroom.kit, price


def ledger_units(value: float, by: Measure) -> int:
    return round(value * (SEASON_UNITS_PER_CENT if by == "season" else 1))


def within(price: Price, amount: float) -> bool:
    """Whether an amount asks no less than the outing does."""
    asked = price.asked or 0.0
    return amount >= asked if LIMITS[price.name].grows else amount <= asked


def holds_beyond(price: Price, amount: float) -> bool:
    """Whether the next kit has so much, and not only a hair more than the one before."""
    assert price.headroom is not None
    has = price.headroom.amount
    assert has is not None
    return has > amount if LIMITS[price.name].grows else has < amount


def check_next_step(side: Side, value: int) -> None:
    """Just loosened enough a better kit is best; a hair less and there is none."""
    price, step = side.price, side.price.next_step
    if step is None or step.amount is None or too_far(price, step.amount):
        return
    eased = side.easier(step.amount)
    assert side.holds(eased, step.kit), price
    loosened = side.best(eased)
    assert loosened is not None
    assert loosened.measures[side.by] <= ledger_units(step.value(side.by), side.by) < value
    before = side.harder(step.amount)
    if not within(price, before):
        kept = side.best(before)
        if price.name == "leg_speed":  # against the wind a slower day may be too long a one
            assert kept is None or kept.measures[side.by] >= value, price
        else:
            assert kept is not None
            assert kept.measures[side.by] == value, price


def too_far(price: Price, amount: float) -> bool:
    """Whether to ease trim or heel a hair more would take them beyond the loosest."""
    return amount * (1 + NEAR) > (LIMITS[price.name].loosest or inf)


@pytest.mark.few(3)
@pytest.mark.parametrize("seed", [DRIFTED, *SEEDS])
def test_next_steps_and_headrooms_are_those_of_enumeration(seed: int) -> None:
    check(seed)


@pytest.mark.few(2)
@pytest.mark.parametrize("seed", LEANING)
def test_so_they_are_where_a_faster_day_leans_the_boat_too_far(seed: int) -> None:
    by = MEASURES[seed % 3]
    check_case(leaning(with_distances(random_case(seed)), by), by)


@pytest.mark.slow
@pytest.mark.parametrize("seed", sorted({*range(7000, 7500)} - {*SEEDS}))
def test_next_steps_and_headrooms_are_those_of_enumeration_at_length(seed: int) -> None:
    check(seed)


@pytest.mark.slow
def test_there_is_something_to_compare() -> None:
    steps, headrooms = set(), set()
    for seed in range(7000, 7024):
        search, by = random_case(seed).search, MEASURES[seed % 3]
        pick = search.best(Question(by))
        for price in prices(search, by, pick) if pick else ():
            steps |= {price.name} if price.next_step else set()
            headrooms |= {price.name} if price.headroom else set()
    assert len(steps) >= 4
    assert len(headrooms) >= 7
