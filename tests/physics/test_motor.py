"""The motor and its control at no load, at rated load and at the steps."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics.motor import chopper_current_a, current_a, power_w, step_ratio
from keelwatt.physics.propeller import shaft_ratio

FRACTIONS = st.floats(0, 1)
MOTOR = {"max_current_a": 30.0, "no_load_a": 1.2}


def test_rated_and_no_load_points() -> None:
    assert current_a(shaft_ratio=1.0, speed_fraction=0.0, **MOTOR) == pytest.approx(30.0)
    assert current_a(shaft_ratio=0.0, speed_fraction=0.0, **MOTOR) == pytest.approx(1.2)


@given(st.floats(0.05, 1), FRACTIONS)
def test_current_is_the_torque_curve(ratio: float, slip_advance: float) -> None:
    """k_q as stated, times the square of shaft speed."""
    s = slip_advance
    expected = 1.2 + 28.8 * ratio**2 * (1 - 0.85 * s + 0.18 * s * (1 - s))
    current = current_a(shaft_ratio=ratio, speed_fraction=s * ratio, **MOTOR)
    assert current == pytest.approx(expected, rel=1e-12)


@given(FRACTIONS, FRACTIONS, st.floats(1e-6, 0.5))
def test_more_thrust_needs_more_power(thrust: float, speed: float, more: float) -> None:
    def electric_w(fraction: float) -> float:
        ratio = shaft_ratio(thrust_fraction=fraction, speed_fraction=speed)
        current = current_a(shaft_ratio=ratio, speed_fraction=speed, **MOTOR)
        return float(power_w(shaft_ratio=ratio, voltage_v=12.0, current_a=current))

    assert electric_w(thrust + more) > electric_w(thrust) >= 0


@pytest.mark.parametrize(
    ("ratio", "steps", "expected"),
    [
        (0.0, 5, 0.0),
        (1e-6, 5, 0.2),
        (0.2, 5, 0.2),
        (0.6, 5, 0.6),
        (0.1 + 0.2, 10, 0.3),
        (0.6000001, 5, 0.8),
        (1.0, 5, 1.0),
        (1.0, 1, 1.0),
        (0.3, 1, 1.0),
    ],
)
def test_lowest_step_that_is_fast_enough(ratio: float, steps: int, expected: float) -> None:
    assert step_ratio(shaft_ratio=ratio, steps=steps) == expected


def test_no_step_above_full_speed() -> None:
    ratios = np.array([0.99, 1.0, 1.001, 7.0])
    steps = np.asarray(step_ratio(shaft_ratio=ratios, steps=5))
    assert steps[:2].tolist() == [1.0, 1.0]
    assert np.isnan(steps[2:]).all()
    assert math.isnan(step_ratio(shaft_ratio=1.001, steps=5))


@given(FRACTIONS, st.integers(1, 12))
def test_a_step_is_never_too_slow_nor_one_too_fast(ratio: float, steps: int) -> None:
    step = step_ratio(shaft_ratio=ratio, steps=steps)
    assert step >= ratio - 1e-9
    assert step - 1 / steps < ratio or step == 0


def test_a_control_without_steps_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one step"):
        step_ratio(shaft_ratio=0.5, steps=0)
    with pytest.raises(ValueError, match="at least one step"):
        step_ratio(shaft_ratio=0.5, steps=np.array([5, 0], dtype=np.float64))


@given(st.floats(0.05, 1))
def test_at_equal_speed_a_chopper_draws_the_speeds_share(ratio: float) -> None:
    """Without losses: the well-known waste of stepped control at low speed (common practice)."""
    stepped = current_a(shaft_ratio=ratio, speed_fraction=0.0, **MOTOR)
    power = power_w(shaft_ratio=ratio, voltage_v=12.0, current_a=stepped)
    chopped = chopper_current_a(
        motor_power_w=power, efficiency=1.0, drop_fraction=0.0, bank_voltage_v=12.0
    )
    assert chopped == pytest.approx(ratio * stepped)
