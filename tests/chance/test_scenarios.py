"""The chance as a W_max against every kit counted on every day by the proof."""

from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from chance.days_apart import UNDERWAY, CheapBoat, days, only
from chance.drawn_days import DrawnCase
from keelwatt.boat.arrays import Ints
from keelwatt.chance.scenarios import Scenarios, drawn_outing
from keelwatt.chance.spreads import Spreads
from keelwatt.choose.best import choose
from keelwatt.choose.search import Search
from keelwatt.files.outing import Device, Leg, Odds
from keelwatt.kits import DEMANDS, NEVER, Pairs
from oracle.cheap_water import CheapLoadCase
from oracle.enumeration import Answer, Measure, best_by_enumeration, priced_kits
from oracle.ledger import every_couple
from oracle.ledger import w_max_g as w_max_of
from oracle.one_of_each import CATALOG, OUTING
from oracle.random_cases import random_case

COUNT = 9
NEEDED = (5, 8, 9)
CASES = range(3003, 3008)
MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")


@cache
def drawn(seed: int) -> DrawnCase:
    """A random case on which a day may turn out far from planned."""
    case = random_case(seed)
    craft = case.outing.craft.model_copy(update={"drag_factor_error": 0.3})
    odds = Odds(wind_spread=0.5, gust_spread_m_s=2.0, capacity_spread=0.2, length_spread=0.2)
    outing = case.outing.model_copy(update={"craft": craft, "odds": odds})
    return DrawnCase(replace(case, outing=outing), COUNT)


@cache
def counted(seed: int) -> tuple[tuple[Answer, int], ...]:
    """Kits that hold as planned, each with the days it meets."""
    of = drawn(seed)
    answers = priced_kits(of.case.outing, of.case.catalog)
    return tuple((a, of.met(a.kit)) for a in answers if of.case.holds(a.kit))


def demanding(of: DrawnCase, needed: int) -> Search:
    """Kits that meet so many of the days."""
    scenarios = Scenarios.of(of.case.search.types, of.days)

    def stricter(pairs: Pairs) -> Pairs:
        return scenarios.demanding(pairs, needed)

    return Search(of.case.load_case, of.case.catalog, stricter=stricter)


def check(seed: int) -> int:
    """How often the answer differed from that for the day as planned."""
    of, moved = drawn(seed), 0
    met = {answer.kit: count for answer, count in counted(seed)}
    answers = tuple(answer for answer, _ in counted(seed))
    for needed in NEEDED:
        search = demanding(of, needed)
        for by in MEASURES:
            enough = tuple(answer for answer in answers if met[answer.kit] >= needed)
            expected = best_by_enumeration(lambda _: True, enough, by)
            choice = choose(search, by)
            assert choice.kit == (expected.kit if expected else None)
            planned = best_by_enumeration(lambda _: True, answers, by)
            moved += bool(planned and choice.kit != planned.kit)
    return moved


@pytest.mark.slow
def test_the_choice_is_that_of_counting_every_kit() -> None:
    moved = [check(seed) for seed in CASES]
    assert sum(map(bool, moved)) >= len(CASES) / 4


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3008, 3500))
def test_the_choice_is_that_of_counting_every_kit_at_length(seed: int) -> None:
    check(seed)


def w_max_g(of: DrawnCase, needed: int | None) -> dict[str, Ints]:
    """What every couple may weigh, for the day as planned alone if none is needed."""
    search = of.case.search if needed is None else demanding(of, needed)
    return w_max_of(search, every_couple(of.case.search))


@pytest.mark.slow
def test_more_days_never_allow_more_mass() -> None:
    for seed in CASES[:8]:
        of = drawn(seed)
        planned = w_max_g(of, None)
        for less, more in pairwise([w_max_g(of, needed) for needed in range(COUNT + 1)]):
            assert (more["hours"] <= less["hours"]).all()
            for demand in ("leg_speed", "top_speed"):
                assert (more[demand] == planned[demand]).all()


def test_of_days_that_differ_in_thrust_alone_the_weakest_comes_first() -> None:
    outing = only(UNDERWAY, thrust_spread=0.2)
    thrust = np.array([0.5, -2.0, 0.1, -0.1, 2.0])
    types = Search(CheapLoadCase(outing), CATALOG).types
    scenarios = Scenarios.of(types, days(outing, thrust=thrust))
    assert scenarios.thrust.tolist() == sorted(thrust.tolist())


def test_no_days_at_all_leave_the_day_as_planned() -> None:
    """Asked for none, every couple keeps its W_max, but for those that fail the plan altogether."""
    for seed in CASES[:8]:
        of = drawn(seed)
        before, after = w_max_g(of, None), w_max_g(of, 0)
        planned = np.minimum.reduce([before[demand] for demand in DEMANDS])
        joint = np.minimum.reduce([after[demand] for demand in DEMANDS])
        assert (joint == planned).all()
        assert (after["hours"][planned == NEVER] == NEVER).all()


def test_the_simulation_agrees_day_by_day() -> None:
    """The kit chosen for all but one day meets as many when those very days are simulated."""
    checked = 0
    for seed in CASES:
        of = drawn(seed)
        kit = choose(demanding(of, COUNT - 1), "cost").kit
        if kit is not None:
            run = CheapBoat(of.case.assessor, kit).run(of.days)
            assert int(run.as_planned.sum()) == of.met(kit) >= COUNT - 1
            checked += 1
    assert checked >= len(CASES) / 4


def test_a_drawn_day_is_an_outing() -> None:
    device = Device(name="logger", power_w=9.0, duration_h=3.0)
    legs = (*OUTING.legs, Leg(name="home", speed_m_s=1.0, duration_h=1.0, current_m_s=0.2))
    outing = OUTING.model_copy(update={"legs": legs, "devices": (device,)})
    spreads = Spreads(outing)
    days = spreads.days(spreads.normals(np.random.default_rng(1), 2))
    day = drawn_outing(outing, days, 1)
    assert day.craft.drag_factor == days.drag_factor[1]
    assert [leg.headwind_m_s for leg in day.legs] == days.headwind_m_s[1].tolist()
    assert [leg.current_m_s for leg in day.legs] == days.current_m_s[1].tolist()
    hours = [leg.duration_h for leg in day.legs]
    assert hours == pytest.approx(np.array([5.0, 1.0]) * days.length[1])
    assert day.devices[0].duration_h == pytest.approx(3.0 * sum(hours) / 6.0)
    assert drawn_outing(outing, spreads.planned(), 0).legs == outing.legs
