"""The motor behind its winding: full throttle on any bank, and voltage both ways."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics.motor import (
    current_fraction,
    shaft_ratio_at_voltage,
    voltage_fraction,
)
from keelwatt.physics.propeller import (
    doubtful_thrust,
    momentum_thrust_n,
    no_thrust_speed_m_s,
    planned_thrust_n,
    shaft_ratio,
    thrust_fraction,
)


@pytest.mark.parametrize(
    ("bank_v", "ratio", "current"),
    [
        (12.8, "1.0558", "1.110"),
        (13.2, "1.0833", "1.167"),
        (14.4, "1.1645", "1.342"),
        (16.0, "1.2697", "1.588"),
        (12.0, "1.0000", "1.000"),
    ],
)
def test_tethered_at_full_throttle(bank_v: float, ratio: str, current: str) -> None:
    """a = 0.2, i0 = 0.04, on 12 V nominal, computed."""
    turning = shaft_ratio_at_voltage(
        voltage_fraction=bank_v / 12,
        speed_fraction=0.0,
        no_load_fraction=0.04,
        winding_fraction=0.2,
    )
    assert f"{turning:.4f}" == ratio
    drawn = current_fraction(shaft_ratio=turning, speed_fraction=0.0, no_load_fraction=0.04)
    assert f"{drawn:.3f}" == current


IDLE = st.floats(0, 0.15)
WINDING = st.floats(0, 0.5)
SERIES = st.floats(0, 3)


@given(st.floats(0, 1.6), st.floats(0, 1.5), IDLE, WINDING, SERIES)
def test_voltage_and_shaft_speed_are_inverse(
    speed: float, ahead: float, idle: float, winding: float, series: float
) -> None:
    """From a free wheel on, and below it, where only the no-load current flows."""
    for turning in (speed + ahead, 0.5 * speed):
        current = current_fraction(shaft_ratio=turning, speed_fraction=speed, no_load_fraction=idle)
        volts = voltage_fraction(
            shaft_ratio=turning,
            current_fraction=current,
            winding_fraction=winding,
            series_fraction=series,
        )
        back = shaft_ratio_at_voltage(
            voltage_fraction=volts,
            speed_fraction=speed,
            no_load_fraction=idle,
            winding_fraction=winding,
            series_fraction=series,
        )
        assert back == pytest.approx(turning, abs=1e-9)


@given(st.floats(0, 1.5), st.floats(0, 1.5), IDLE, WINDING)
def test_needs_grow_with_thrust_and_speed(
    thrust: float, speed: float, idle: float, winding: float
) -> None:
    """Current, voltage and so power: never less at more thrust or a higher speed."""

    def needs(thrust: float, speed: float) -> tuple[float, float]:
        turning = shaft_ratio(thrust_fraction=thrust, speed_fraction=speed)
        current = current_fraction(shaft_ratio=turning, speed_fraction=speed, no_load_fraction=idle)
        volts = voltage_fraction(
            shaft_ratio=turning, current_fraction=current, winding_fraction=winding
        )
        return float(current), float(volts)

    for more in (needs(thrust + 0.01, speed), needs(thrust, speed + 0.01)):
        for less, greater in zip(needs(thrust, speed), more, strict=True):
            assert less <= greater + 1e-12


def test_a_higher_bank_drives_faster_and_never_backwards() -> None:
    volts = np.linspace(0, 1.5, 301)
    turning = np.asarray(
        shaft_ratio_at_voltage(
            voltage_fraction=volts, speed_fraction=0.4, no_load_fraction=0.04, winding_fraction=0.2
        )
    )
    assert turning[0] == 0.0
    assert np.all(np.diff(turning) >= 0)
    thrust = np.asarray(thrust_fraction(shaft_ratio=turning, speed_fraction=0.4))
    assert thrust[0] < 0 < thrust[-1]


def test_current_never_falls_below_no_load() -> None:
    windmilling = current_fraction(shaft_ratio=0.1, speed_fraction=0.9, no_load_fraction=0.04)
    assert windmilling == 0.04


def test_a_blank_no_thrust_speed() -> None:
    """130 N, 0.21 m: 2.537 m/s, computed."""
    assert f"{no_thrust_speed_m_s(static_thrust_n=130.0, diameter_m=0.21):.3f}" == "2.537"


def test_claims() -> None:
    ceiling = momentum_thrust_n(power_w=360.0, diameter_m=0.21)
    assert not doubtful_thrust(static_thrust_n=130.0, ceiling_n=ceiling)
    assert doubtful_thrust(static_thrust_n=0.71 * ceiling, ceiling_n=ceiling)
    thrust = planned_thrust_n(
        static_thrust_n=np.array([100.0, 100.0]), measured=np.array([True, False])
    )
    np.testing.assert_allclose(thrust, [100.0, 85.0])
