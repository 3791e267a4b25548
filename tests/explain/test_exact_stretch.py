"""Staircases against enumeration: at both ends of every step its kit is the best there is."""

from collections.abc import Iterator
from dataclasses import replace
from math import inf

import pytest

from explain.answers import FILE, example, shipped
from explain.every_kit import advice_of
from explain.stretched import best_of, leaning, stretched, with_distances
from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import decide
from keelwatt.explain.stretch import Over, Step, Stretch, stretch
from keelwatt.files.outing import outing_from_text
from keelwatt.limits import OVERS
from oracle.random_cases import Case, random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")

NEAR = 1e-4
"""How close to a breakpoint its two sides are looked at: ten times what the tables add to the
resistance to stay on the safe side."""

SEEDS = (8000, 8004, 8006, 8008)
"""Cases of few kits; the others are in the sweep."""

LEANING = (8011, 8001, 8003, 8007)
"""With a faster day their motors, turned across, lean the boat too far."""

TIPPING = 8873
"""At the wished top speed its kits lean four times as far as any answer may, with none of it not at
all."""

UNANSWERED = 8049
"""A block of couples without a kit that answers comes up on the way."""

ISLAND = 8525
"""Here charge crosses what the bank holds three times within one piece of a range of speeds, 0.05 %
wide. With coarser waves a kit's twin, later in the catalog, took the middle: pieces may still hide
so narrow a range elsewhere."""


def overs(seed: int) -> Iterator[Over]:
    """Three wishes a case, each as often as the others."""
    moves = any(leg.speed_m_s for leg in random_case(seed).outing.legs)
    for shift in (0, 4, 8):
        over = [*OVERS][(seed + shift) % len(OVERS)]
        if moves or over != "speed":
            yield over


def inside(result: Stretch, step: Step) -> list[float]:
    """Amounts just inside a step."""
    start, end = step.start, step.end
    if end == inf:
        end = 2 * start or 1.0
    low = start * (1 + NEAR) if start else min(end * 0.5, 1e-3)
    high = end * (1 - NEAR)
    if result.over == "budget":
        low, high = start + 0.005, end - 0.005
    return [low, high] if low < high else []


def check(seed: int, over: Over) -> int:
    return check_case(with_distances(random_case(seed)), MEASURES[seed % 3], over)


def check_case(case: Case, by: Measure, over: Over) -> int:
    result = stretch(advice_of(case, by), over)
    assert result.steps[0].start == result.low
    assert result.steps[-1].end == result.high
    assert not result.partial
    looked_at = 0
    for step in result.steps:
        for amount in inside(result, step):
            answer = best_of(case, stretched(case.outing, over, amount), by)
            told = f"seed {case.seed}, {over} {amount} in {step}"
            assert (step.found and step.found.kit) == (answer and answer.kit), told
            looked_at += 1
            if step.found and answer:
                found = step.found
                assert answer.measures == {
                    "cost": found.cost_cents,
                    "mass": found.mass_g,
                    "season": found.season_units,
                }
    return looked_at


@pytest.mark.few(2)
@pytest.mark.parametrize("seed", SEEDS)
def test_every_step_is_best_at_both_its_ends(seed: int) -> None:
    for over in overs(seed):
        check(seed, over)


@pytest.mark.few(2)
@pytest.mark.parametrize("seed", LEANING)
@pytest.mark.parametrize("over", ["speed", "top_speed"])
def test_a_faster_day_leans_a_boat_further(seed: int, over: Over) -> None:
    by = MEASURES[seed % 3]
    check_case(leaning(with_distances(random_case(seed)), by), by, over)


@pytest.mark.slow
@pytest.mark.parametrize("seed", sorted({*range(8000, 9100)} - {*SEEDS, ISLAND, TIPPING}))
def test_every_step_is_best_at_both_its_ends_at_length(seed: int) -> None:
    for over in overs(seed):
        check(seed, over)


def test_a_boat_that_tips_at_the_wished_top_speed_may_serve_a_lower_one() -> None:
    assert check(TIPPING, "top_speed") > 0


def test_a_block_without_an_answer_is_passed_over() -> None:
    assert check(UNANSWERED, "top_speed") > 0


@pytest.mark.slow
def test_a_narrow_range_of_speeds_is_found() -> None:
    for over in overs(ISLAND):
        check(ISLAND, over)


def test_couples_whose_least_price_rises_on_the_way_come_later(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The sooner the battery must be full, the dearer the charger: few couples at a time."""
    outing = outing_from_text(example("reservoir-sampling"), FILE)
    alike = stretch(decide(outing, shipped()), "recharge").steps
    monkeypatch.setattr("keelwatt.choose.search.FIRST_COUPLES", 20)
    monkeypatch.setattr("keelwatt.choose.search.SIZES", (4, 8))
    monkeypatch.setattr("keelwatt.choose.search.GROWTH", 2)
    steps = stretch(decide(outing, shipped()), "recharge").steps
    assert [(step.start, step.end, step.found) for step in steps] == [
        (step.start, step.end, step.found) for step in alike
    ]


def test_a_couple_whose_price_rises_beyond_all_there_was_is_not_lost(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A lead bank with a charger for nothing; all that recharges sooner costs 1,000 more."""
    catalog, free = shipped(), "charger-12v-5a-lead"
    batteries = {each.id: each for each in catalog.batteries}
    lead, lithium = (
        batteries[id_].model_copy(update={"max_parallel": most})
        for id_, most in (("flooded-12v-75ah", 2), ("lfp-12v-80ah", 1))
    )
    chargers = tuple(
        each.model_copy(update={"price_cents": 0 if each.id == free else 100_000})
        for each in catalog.chargers
    )
    few = replace(catalog, batteries=(lead, lithium), motors=catalog.motors[1:2], chargers=chargers)
    outing = outing_from_text(example("reservoir-sampling"), FILE)
    unbound = dict.fromkeys(("budget_cents", "kit_mass_kg", "top_speed_m_s"))
    limits = outing.limits.model_copy(update={**unbound, "recharge_within_h": 30.0, "reserve": 0.2})
    outing = outing.model_copy(update={"limits": limits})
    monkeypatch.setattr("keelwatt.choose.search.SIZES", (1,))
    steps = stretch(decide(outing, few), "recharge").climbs
    assert [step.found.kit.battery for step in steps if step.found] == [
        *[lithium.id] * 3,
        *[lead.id] * 4,
    ]
    assert steps[-1].found and steps[-1].found.kit.charger == free
