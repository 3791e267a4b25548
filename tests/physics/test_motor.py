"""The motor and its chopper at no load, at rated load and under way."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics.motor import (
    chopper_current_a,
    current_fraction,
    rated_current_a,
    voltage_fraction,
)
from keelwatt.physics.propeller import shaft_ratio

FRACTIONS = st.floats(0, 1)
IDLE = 0.04


def test_what_is_a_tenth_already_is_rounded_up_to_no_other() -> None:
    for current_a in (35.0, 3 * 0.1, 0.7 * 10):
        assert rated_current_a(current_a=current_a) == pytest.approx(current_a)


def test_rated_and_no_load_points() -> None:
    full = current_fraction(shaft_ratio=1.0, speed_fraction=0.0, no_load_fraction=IDLE)
    assert full == pytest.approx(1.0)
    still = current_fraction(shaft_ratio=0.0, speed_fraction=0.0, no_load_fraction=IDLE)
    assert still == pytest.approx(IDLE)


@given(st.floats(0.05, 1.3), FRACTIONS)
def test_current_is_the_torque_curve(ratio: float, slip_advance: float) -> None:
    """k_q as stated, times the square of shaft speed."""
    s = slip_advance
    expected = IDLE + 0.96 * ratio**2 * (1 - 0.85 * s + 0.18 * s * (1 - s))
    current = current_fraction(shaft_ratio=ratio, speed_fraction=s * ratio, no_load_fraction=IDLE)
    assert current == pytest.approx(expected, rel=1e-12)


def electric(ratio: float, speed: float) -> float:
    """Power over that at full throttle, tethered."""
    current = current_fraction(shaft_ratio=ratio, speed_fraction=speed, no_load_fraction=IDLE)
    volts = voltage_fraction(shaft_ratio=ratio, current_fraction=current, winding_fraction=0.2)
    return float(volts * current)


@given(FRACTIONS, FRACTIONS, st.floats(1e-6, 0.5))
def test_more_thrust_needs_more_power(thrust: float, speed: float, more: float) -> None:
    less_w, more_w = (
        electric(float(shaft_ratio(thrust_fraction=each, speed_fraction=speed)), speed)
        for each in (thrust, thrust + more)
    )
    assert more_w > less_w >= 0


@given(st.floats(0.05, 1))
def test_a_chopper_without_losses_draws_the_voltages_share(ratio: float) -> None:
    """The well-known waste of a switch at low speed (common practice)."""
    current = current_fraction(shaft_ratio=ratio, speed_fraction=0.0, no_load_fraction=IDLE)
    volts = voltage_fraction(shaft_ratio=ratio, current_fraction=current, winding_fraction=0.2)
    chopped = chopper_current_a(
        motor_power_w=12.0 * volts * 30.0 * current,
        efficiency=1.0,
        drop_fraction=0.0,
        bank_voltage_v=12.0,
    )
    assert chopped == pytest.approx(volts * 30.0 * current)
