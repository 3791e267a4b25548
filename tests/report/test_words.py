"""How a leg's speed control is set, and how long it takes, in words."""

from math import inf

import pytest

from keelwatt import words
from keelwatt.limits import Limit
from keelwatt.proof.model import LegResult


def leg(
    battery_a: float = 20.0,
    throttle: float | None = None,
    steps: tuple[int, int, float] | None = None,
) -> LegResult:
    running = dict.fromkeys(
        ("speed_m_s", "through_m_s", "thrust_n", "shaft_ratio", "motor_v", "motor_a", "hours"), 1.0
    )
    return LegResult(
        name="out", battery_a=battery_a, charge_ah=1.0, throttle=throttle, steps=steps, **running
    )


@pytest.mark.parametrize(
    ("set_", "long", "short"),
    [
        (leg(battery_a=0.0), "motor off", "off"),
        (leg(battery_a=0.0, throttle=0.5), "motor off", "off"),
        (leg(throttle=0.46), "46 % throttle", "46 %"),
        (leg(), "full throttle, too slow", "full"),
        (leg(steps=(2, 3, 0.4)), "between steps 2 and 3", "2-3"),
        (leg(steps=(0, 1, 0.4)), "step 1 and off in turn", "1, off"),
        (leg(steps=(2, 3, 1.0)), "step 3", "3"),
    ],
)
def test_how_the_control_is_set(set_: LegResult, long: str, short: str) -> None:
    assert (words.setting(set_), words.setting_in_short(set_)) == (long, short)


@pytest.mark.parametrize(
    ("minutes", "told"),
    [(0, "0 min"), (59, "59 min"), (60, "1 h"), (61, "1 h 01"), (119.6, "2 h")],
)
def test_how_long_it_takes(minutes: float, told: str) -> None:
    assert words.duration(minutes / 60) == told


@pytest.mark.parametrize(
    ("value", "unit", "up", "down"),
    [
        (0.5008, "h", "31 min", "30 min"),
        (inf, "h", "no end", "no end"),
        (10.001, "money", "10.01", "10.00"),
        (12.3412, "kg", "12.35 kg", "12.34 kg"),
        (0.1234, "share", "12.4%", "12.3%"),
        (2.001, "trim", "2.01 deg", "2.00 deg"),
        (1.0, "m/s", "3.60 km/h", "3.60 km/h"),
    ],
)
def test_an_amount_is_rounded_to_the_side_asked_for(
    value: float, unit: str, up: str, down: str
) -> None:
    assert (words.safely(value, unit, up=True), words.safely(value, unit, up=False)) == (up, down)


@pytest.mark.parametrize(
    ("value", "told"),
    [(1234.0, "1234"), (100.0, "100"), (10.0, "10.0"), (-1.0, "-1.00"), (0.0, "0.00"),
     (inf, "no end")],
)  # fmt: skip
def test_a_number_has_three_digits_and_two_decimals_at_the_most(value: float, told: str) -> None:
    assert words.number(value) == told


@pytest.mark.parametrize(
    ("has", "told"), [(851.0, "short by 1.00"), (850.0, "none"), (849.0, "1.00")]
)
def test_room_under_a_bound(has: float, told: str) -> None:
    assert words.room(Limit("budget", "at most", 850.0, has, "money")) == told
