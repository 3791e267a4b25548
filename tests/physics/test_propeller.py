"""The propeller at bollard, at no thrust and between."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics.propeller import momentum_thrust_n, shaft_ratio, thrust_fraction

FRACTIONS = st.floats(0, 1.5)
POWERS_W = st.floats(1, 5000)
DIAMETERS_M = st.floats(0.1, 0.6)


def test_bollard_and_no_thrust_points() -> None:
    assert thrust_fraction(shaft_ratio=1.0, speed_fraction=0.0) == 1.0
    assert thrust_fraction(shaft_ratio=1.0, speed_fraction=1.0) == 0.0
    assert thrust_fraction(shaft_ratio=0.5, speed_fraction=0.0) == 0.25
    assert thrust_fraction(shaft_ratio=0.5, speed_fraction=0.6) < 0
    assert shaft_ratio(thrust_fraction=1.0, speed_fraction=0.0) == pytest.approx(1.0)
    assert shaft_ratio(thrust_fraction=0.0, speed_fraction=1.0) == pytest.approx(1.0)
    assert shaft_ratio(thrust_fraction=0.0, speed_fraction=0.0) == 0.0


@given(FRACTIONS, FRACTIONS)
def test_shaft_ratio_gives_the_thrust_back(thrust: float, speed: float) -> None:
    ratio = shaft_ratio(thrust_fraction=thrust, speed_fraction=speed)
    back = thrust_fraction(shaft_ratio=ratio, speed_fraction=speed)
    assert back == pytest.approx(thrust, rel=1e-12, abs=1e-14)


@given(FRACTIONS, FRACTIONS, st.floats(1e-6, 1))
def test_more_thrust_or_more_speed_needs_more_turns(
    thrust: float, speed: float, more: float
) -> None:
    ratio = shaft_ratio(thrust_fraction=thrust, speed_fraction=speed)
    assert shaft_ratio(thrust_fraction=thrust + more, speed_fraction=speed) > ratio
    assert shaft_ratio(thrust_fraction=thrust, speed_fraction=speed + more) > ratio


@given(POWERS_W, DIAMETERS_M, st.floats(1.01, 4))
def test_momentum_thrust_grows_as_two_thirds_powers(
    power_w: float, diameter_m: float, more: float
) -> None:
    thrust = momentum_thrust_n(power_w=power_w, diameter_m=diameter_m)
    stronger = momentum_thrust_n(power_w=more * power_w, diameter_m=diameter_m)
    larger = momentum_thrust_n(power_w=power_w, diameter_m=more * diameter_m)
    assert stronger == pytest.approx(more ** (2 / 3) * thrust)
    assert larger == pytest.approx(more ** (2 / 3) * thrust)
