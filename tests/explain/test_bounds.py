"""Ends of a stretch as users write them, and ranges that are none."""

from dataclasses import replace
from math import inf

import pytest

from explain.every_kit import advice_of
from keelwatt.errors import InputError
from keelwatt.explain.advise import Advice
from keelwatt.explain.bounds import bound, share
from keelwatt.explain.stretch import Over, stretch
from keelwatt.files.outing import Leg
from oracle.random_cases import random_case


def advice() -> Advice:
    case = random_case(7002)
    return advice_of(case, "cost")


@pytest.mark.parametrize(
    ("over", "text", "amount"),
    [
        ("hours", "2 h 30 min", 2.5),
        ("recharge", "90 min", 1.5),
        ("budget", "1,250.50", 1250.5),
        ("season", "80", 80.0),
        ("kit_mass", "10 lb", 4.5359237),
        ("lift", "20 kg", 20.0),
        ("reserve", "30 %", 0.3),
        ("payload_margin", "5 kg", 5.0),
        ("top_speed", "3.6 km/h", 1.0),
        ("trim", "1.5 deg", 1.5),
        ("speed", "120 %", 1.2),
    ],
)
def test_amounts_in_the_wishs_own_unit(over: Over, text: str, amount: float) -> None:
    assert bound(random_case(7002).outing, over, "--to", text) == pytest.approx(amount)


def test_nothing_given_is_nothing_bound() -> None:
    assert bound(random_case(7002).outing, "hours", "--to", None) is None
    assert share("--within", None) is None


def test_a_speed_is_that_of_the_fastest_leg() -> None:
    legs = (
        Leg(name="out", speed_m_s=1.0, duration_h=1.0),
        Leg(name="home", speed_m_s=2.0, duration_h=1.0),
    )
    outing = random_case(7002).outing.model_copy(update={"legs": legs})
    assert bound(outing, "speed", "--to", "3 m/s") == pytest.approx(1.5)


@pytest.mark.parametrize(
    ("over", "text"), [("hours", "5 kg"), ("budget", "cheap"), ("speed", "x%"), ("trim", "1")]
)
def test_what_is_no_amount_is_told_with_its_option(over: Over, text: str) -> None:
    with pytest.raises(InputError) as raised:
        bound(random_case(7002).outing, over, "--from", text)
    (problem,) = raised.value.problems
    assert (problem.file, problem.value) == ("--from", text)
    assert problem.remedy


def test_a_negative_share_is_told() -> None:
    with pytest.raises(InputError):
        share("--within", "-2 %")


@pytest.mark.parametrize(
    ("over", "low", "high", "says"),
    [
        ("hours", 6.0, 2.0, "the lesser first"),
        ("hours", -1.0, 2.0, "the lesser first"),
        ("hours", 2.0, 2.0, "the lesser first"),
        ("reserve", 0.05, 0.5, "10 % or more"),
        ("trim", 0.0, 9.0, "3 deg or less"),
        ("heel", 0.0, 9.0, "5 deg or less"),
        ("speed", 0.0, 1.0, "above 0"),
    ],
)
def test_ranges_that_are_none(over: Over, low: float, high: float, says: str) -> None:
    with pytest.raises(InputError) as raised:
        stretch(advice(), over, low, high)
    (problem,) = raised.value.problems
    assert says in problem.remedy


def test_speed_needs_a_leg_that_moves() -> None:
    case = random_case(7002)
    still = tuple(leg.model_copy(update={"speed_m_s": 0.0}) for leg in case.outing.legs)
    outing = case.outing.model_copy(update={"legs": still})
    standing = replace(advice_of(case, "cost"), outing=outing)
    with pytest.raises(InputError):
        stretch(standing, "speed")
    with pytest.raises(InputError):
        bound(outing, "speed", "--to", "3 m/s")


def test_a_range_may_be_open() -> None:
    result = stretch(advice(), "budget")
    assert (result.low, result.high) == (0.0, inf)
    assert result.at(1e9) == result.steps[-1]
    assert result.at(-1.0) is None
