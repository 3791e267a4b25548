"""How a leg's speed control is set, in words."""

import pytest

from keelwatt import words
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
