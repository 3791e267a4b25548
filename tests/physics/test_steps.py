"""A stepped control: each step against scipy's root of the definition, means, and order."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import brentq

from keelwatt.physics.alternation import alternating_current_a, between_steps
from keelwatt.physics.motor import chopper_current_a, current_fraction, voltage_fraction
from keelwatt.physics.propeller import shaft_ratio
from keelwatt.physics.steps import (
    Running,
    StepMotor,
    series_resistance_ohm,
    step_currents_a,
    step_running_on_ladder,
    step_shaft_ratio,
)
from physics.laws import step_running

Array = NDArray[np.float64]

# 130 N, 30 A, no load 1.2 A, 12 V, a fifth lost in the winding; R = 14 V**2. All computed.
MOTOR = StepMotor(130.0, 2.53700, 30.0, 1.2, 12.0, 0.2)
DRAG_N_S2_M2 = 14.0
STEPS = 5
CURRENTS_A = step_currents_a(max_current_a=30.0, steps=STEPS)
SERIES_OHM = np.asarray(
    series_resistance_ohm(
        step_current_a=CURRENTS_A,
        max_current_a=30.0,
        no_load_a=1.2,
        nominal_voltage_v=12.0,
        winding_fraction=0.2,
    )
)


def drag_n(speed_m_s: Array) -> Array:
    return DRAG_N_S2_M2 * speed_m_s**2


def running(supply_v: float) -> Running:
    return step_running(
        motor=MOTOR, series_ohm=SERIES_OHM, supply_voltage_v=supply_v, resistance_n=drag_n
    )


def rounded(values: Array, digits: int) -> list[str]:
    return [f"{value:.{digits}f}" for value in values]


def test_tethered_steps() -> None:
    assert rounded(CURRENTS_A / 30, 3) == ["0.280", "0.385", "0.529", "0.727", "1.000"]
    assert rounded(SERIES_OHM, 4) == ["0.7771", "0.4609", "0.2443", "0.0976", "0.0000"]
    turning = step_shaft_ratio(step_current_a=CURRENTS_A, max_current_a=30.0, no_load_a=1.2)
    thrust = 130.0 * np.asarray(turning) ** 2
    assert rounded(thrust, 2) == ["32.50", "46.71", "66.24", "93.09", "130.00"]


@pytest.mark.parametrize(
    ("supply_v", "speeds", "currents"),
    [
        (12.0, "1.1704 1.3645 1.5680 1.7759 1.9801", "6.652 8.611 10.986 13.754 16.807"),
        (12.8, "1.2293 1.4346 1.6519 1.8764 2.0999", "7.215 9.392 12.061 15.215 18.752"),
    ],
)
def test_steps_on_the_water(supply_v: float, speeds: str, currents: str) -> None:
    speed, current = running(supply_v)
    assert rounded(speed, 4) == speeds.split()
    assert rounded(current, 3) == currents.split()


@pytest.mark.parametrize(
    ("speed_m_s", "stepped", "chopped"),
    [
        (0.3, "1.705", "0.238"),
        (1.0, "5.684", "2.634"),
        (1.3, "7.960", "5.305"),
        (1.6, "11.41", "9.51"),
    ],
)
def test_mean_currents(speed_m_s: float, stepped: str, chopped: str) -> None:
    speeds, currents = running(12.0)
    mean = alternating_current_a(wished=speed_m_s, reached=speeds, current_a=currents)
    digits = len(stepped.split(".")[1])
    assert f"{mean:.{digits}f}" == stepped
    speed = speed_m_s / 2.537
    turning = shaft_ratio(thrust_fraction=14 * speed_m_s**2 / 130, speed_fraction=speed)
    current = current_fraction(shaft_ratio=turning, speed_fraction=speed, no_load_fraction=0.04)
    volts = 12.0 * voltage_fraction(
        shaft_ratio=turning, current_fraction=current, winding_fraction=0.2
    )
    power = volts * 30.0 * current
    at = {"efficiency": 0.95, "drop_fraction": 0.0, "bank_voltage_v": 12.0}
    bank = chopper_current_a(motor_power_w=power, **at)
    assert f"{bank:.{digits}f}" == chopped


def test_a_chopper_halves_the_charge_at_trolling_speed_and_saves_little_at_full_speed() -> None:
    speeds, currents = running(12.0)
    at = {"efficiency": 0.95, "drop_fraction": 0.0, "bank_voltage_v": 12.0}
    assert currents[-1] < chopper_current_a(motor_power_w=12.0 * currents[-1], **at)
    assert alternating_current_a(wished=1.0, reached=speeds, current_a=currents) > 2 * 2.634


@pytest.mark.parametrize("supply_v", [8.0, 12.0, 14.4])
@pytest.mark.parametrize("step", range(STEPS))
def test_a_step_by_scipy(supply_v: float, step: int) -> None:
    """Both unknowns, shaft speed and boat speed, by nested roots of the definitions."""

    def volts(turning: float, speed: float) -> float:
        v = speed / 2.537
        amps = 30 * (0.04 + 0.96 * (turning**2 - 0.67 * turning * v - 0.18 * v**2))
        return float(12 * (0.8 * turning + 0.2 * amps / 30) + amps * SERIES_OHM[step])

    def spare(speed: float) -> float:
        turning = brentq(
            lambda r: volts(r, speed) - supply_v, 0.34 * speed / 2.537, 3.0, xtol=1e-14
        )
        v = speed / 2.537
        return float(130 * (turning - v) * (turning + 0.22 * v) - 14 * speed**2)

    expected = brentq(spare, 0.0, 0.85 * supply_v / 12 * 2.537, xtol=1e-13)
    assert running(supply_v).speed_m_s[step] == pytest.approx(expected, rel=1e-9)


def test_a_step_too_weak_for_the_wind_stands_still() -> None:
    speed, current = step_running(
        motor=MOTOR,
        series_ohm=SERIES_OHM,
        supply_voltage_v=12.0,
        resistance_n=lambda v: 40.0 + 14 * v**2,
    )
    assert speed[0] == 0.0
    assert current[0] == pytest.approx(8.4, rel=1e-9)
    assert np.all(speed[1:] > 0)


MOTORS = st.builds(
    StepMotor,
    st.floats(80, 400),
    st.floats(1.8, 5.0),
    st.floats(15, 60),
    st.floats(0.1, 2.0),
    st.sampled_from([12.0, 24.0, 36.0, 48.0]),
    st.floats(0.0, 0.3),
)
DRAGS = st.tuples(st.floats(0, 5), st.floats(3, 40), st.floats(1.5, 4))
VOLTS = st.floats(0.9, 1.2)
NUMBERS = st.integers(1, 8)


def water(still_n: float, newton: float, power: float) -> Callable[[Array], Array]:
    return lambda speed: still_n + newton * speed**power


def resistances(motor: StepMotor, steps: int) -> Array:
    ohm = series_resistance_ohm(
        step_current_a=step_currents_a(max_current_a=motor.max_current_a, steps=steps),
        max_current_a=motor.max_current_a,
        no_load_a=motor.no_load_a,
        nominal_voltage_v=motor.nominal_voltage_v,
        winding_fraction=motor.winding_fraction,
    )
    return np.asarray(ohm)


@given(MOTORS, DRAGS, VOLTS, NUMBERS, st.tuples(st.floats(1, 2), st.floats(0, 1), st.floats(0, 1)))
@settings(max_examples=60, deadline=None)
def test_current_never_falls_with_speed_or_drag(
    motor: StepMotor,
    drag: tuple[float, float, float],
    volts: float,
    steps: int,
    asked: tuple[float, float, float],
) -> None:
    (still, newton, power), (heavier, wish, other) = drag, asked
    supply, series = volts * float(motor.nominal_voltage_v), resistances(motor, steps)

    def run(more: float) -> Running:
        return step_running(
            motor=motor,
            series_ohm=series,
            supply_voltage_v=supply,
            resistance_n=water(more * still, more * newton, power),
        )

    light, heavy = run(1.0), run(heavier)
    for found in (light, heavy):
        assert np.all(np.diff(found.speed_m_s) >= 0)
        assert np.all(np.diff(found.current_a) >= -1e-9)
    assert np.all(heavy.speed_m_s <= light.speed_m_s + 1e-9)
    slow, fast = sorted((wish * heavy.speed_m_s[-1], other * heavy.speed_m_s[-1]))

    def mean(speed: float, found: Running) -> float:
        return float(
            alternating_current_a(wished=speed, reached=found.speed_m_s, current_a=found.current_a)
        )

    assert mean(slow, light) <= mean(fast, light) + 1e-6
    assert mean(slow, light) <= mean(slow, heavy) + 1e-6
    assert mean(fast, light) <= mean(fast, heavy) + 1e-6


@given(MOTORS, DRAGS, VOLTS, NUMBERS)
@settings(max_examples=40, deadline=None)
def test_the_ladder_finds_the_same(
    motor: StepMotor, drag: tuple[float, float, float], volts: float, steps: int
) -> None:
    series, supply = resistances(motor, steps), volts * float(motor.nominal_voltage_v)
    resistance = water(*drag)
    exact = step_running(
        motor=motor, series_ohm=series, supply_voltage_v=supply, resistance_n=resistance
    )
    speeds = np.linspace(0, 1.8 * float(motor.no_thrust_speed_m_s), 4001)
    ladder = step_running_on_ladder(
        motor=motor,
        series_ohm=series,
        supply_voltage_v=supply,
        speeds_m_s=speeds,
        resistance_n=resistance(speeds),
    )
    np.testing.assert_allclose(ladder.speed_m_s, exact.speed_m_s, atol=2e-5)
    moving = exact.speed_m_s > speeds[1]
    np.testing.assert_allclose(ladder.current_a[moving], exact.current_a[moving], rtol=2e-4)


def test_many_drives_banks_and_displacements_at_once() -> None:
    """Shape (drives, banks, displacements, steps), each as if alone; off the ladder is nan."""
    motor = StepMotor(
        np.array([130.0, 200.0])[:, None, None],
        np.array([2.537, 3.0])[:, None, None],
        np.array([30.0, 50.0])[:, None, None],
        np.array([1.2, 2.0])[:, None, None],
        12.0,
        0.2,
    )
    series = np.stack(
        [
            resistances(StepMotor(130.0, 2.537, 30.0, 1.2, 12.0, 0.2), 5),
            resistances(StepMotor(200.0, 3.0, 50.0, 2.0, 12.0, 0.2), 5),
        ]
    )[:, None, None]
    supply = np.array([11.0, 12.0, 13.3])[:, None]
    speeds = np.linspace(0, 2.4, 400)
    factor = np.array([12.0, 14.0, 16.0, 30.0])
    found = step_running_on_ladder(
        motor=motor,
        series_ohm=series,
        supply_voltage_v=supply,
        speeds_m_s=speeds,
        resistance_n=factor[:, None] * speeds**2,
    )
    assert found.speed_m_s.shape == found.current_a.shape == (2, 3, 4, 5)
    alone = step_running_on_ladder(
        motor=StepMotor(200.0, 3.0, 50.0, 2.0, 12.0, 0.2),
        series_ohm=series[1, 0, 0],
        supply_voltage_v=13.3,
        speeds_m_s=speeds,
        resistance_n=30.0 * speeds**2,
    )
    np.testing.assert_allclose(found.speed_m_s[1, 2, 3], alone.speed_m_s, rtol=1e-13)
    assert np.isnan(found.speed_m_s[1, 2, 0, -1])
    assert np.all(np.diff(found.speed_m_s[0], axis=0) > 0)


def test_between_steps_names_what_is_alternated() -> None:
    reached = np.array([1.0, 1.2, 1.4])
    wished = np.array([0.0, 0.5, 1.0, 1.1, 1.2, 1.4, 1.41])
    lower, upper, share = between_steps(wished=wished, reached=reached)
    assert lower.tolist() == [0, 0, 0, 1, 1, 2, 3]
    assert upper.tolist() == [1, 1, 1, 2, 2, 3, 3]
    np.testing.assert_allclose(share, [0, 0.5, 1, 0.5, 1, 1, np.nan], atol=1e-12)


def test_equal_steps_and_drifting() -> None:
    """Two steps alike, and a boat that drifts astern in the wind with its motor off."""
    twins = between_steps(wished=1.0, reached=np.array([1.0, 1.0]))
    assert [float(part) for part in twins] == [0.0, 1.0, 1.0]
    still = alternating_current_a(
        wished=0.0, reached=np.array([1.0]), current_a=np.array([8.0]), off=-1.0
    )
    assert still == pytest.approx(4.0)


def test_holding_a_place_alternates_thrusts() -> None:
    """Tethered, by thrust: half the lowest step's thrust takes half its current."""
    turning = step_shaft_ratio(step_current_a=CURRENTS_A, max_current_a=30.0, no_load_a=1.2)
    thrust = 130.0 * np.asarray(turning) ** 2
    half = alternating_current_a(wished=thrust[0] / 2, reached=thrust, current_a=CURRENTS_A)
    assert half == pytest.approx(4.2)
    nothing = alternating_current_a(wished=0.0, reached=thrust, current_a=CURRENTS_A)
    assert nothing == 0.0


def test_a_control_without_steps_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one step"):
        step_currents_a(max_current_a=30.0, steps=0)


def test_a_single_step_is_full_throttle() -> None:
    assert step_currents_a(max_current_a=30.0, steps=1).tolist() == [30.0]
