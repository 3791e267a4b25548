"""Cable: between the rows and columns of the table, and at its edges."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics.cable import (
    ampacity_a,
    awg_area_mm2,
    supply_current_a,
)

AREAS_MM2 = st.floats(0.1, 150)
INSULATIONS_C = st.floats(40, 250)
PLACES_C = st.floats(-10, 120)


@pytest.mark.parametrize(
    ("area_mm2", "ampacity"),
    [
        (0.75, 0.0),
        (1.5, 25.0),
        (4.0, 45.0),
        (6.0, 60.0),
        (10.0, 80.0),
        (16.0, 120.0),
        (200.0, 445.0),
    ],
)
def test_metric_cable_takes_the_gauge_below(area_mm2: float, ampacity: float) -> None:
    assert ampacity_a(area_mm2=area_mm2, insulation_c=105) == ampacity


def test_a_hair_below_a_gauge_is_that_gauge() -> None:
    area = awg_area_mm2(gauge=6)
    assert ampacity_a(area_mm2=area * (1 - 1e-9), insulation_c=105) == 120.0
    assert ampacity_a(area_mm2=area * (1 - 1e-4), insulation_c=105) == 80.0


@pytest.mark.parametrize(
    ("insulation_c", "ampacity"),
    [(59.9, 0.0), (60, 80.0), (70, 80.0), (79, 95.0), (110, 120.0), (200, 135.0), (260, 135.0)],
)
def test_insulation_takes_the_column_below(insulation_c: float, ampacity: float) -> None:
    area = awg_area_mm2(gauge=6)
    assert ampacity_a(area_mm2=area, insulation_c=insulation_c) == ampacity


@pytest.mark.parametrize(
    ("place_c", "share"),
    [(-5.0, 1.0), (30.0, 1.0), (48.75, 0.75**0.5), (86.25, 0.5), (105.0, 0.0), (110.0, 0.0)],
)
def test_warm_places(place_c: float, share: float) -> None:
    warm = ampacity_a(area_mm2=16.0, insulation_c=105, place_temperature_c=place_c)
    assert warm / 120.0 == pytest.approx(share, rel=1e-12)


@given(AREAS_MM2, INSULATIONS_C, PLACES_C, st.floats(0, 50))
def test_more_copper_better_insulation_and_cooler_places_never_carry_less(
    area_mm2: float, insulation_c: float, place_c: float, more: float
) -> None:
    def ampacity(area: float, insulation: float, place: float) -> float:
        return float(ampacity_a(area_mm2=area, insulation_c=insulation, place_temperature_c=place))

    carried = ampacity(area_mm2, insulation_c, place_c)
    assert 0 <= carried <= 510
    assert ampacity(area_mm2 + more, insulation_c, place_c) >= carried
    assert ampacity(area_mm2, insulation_c + more, place_c) >= carried
    assert ampacity(area_mm2, insulation_c, place_c - more) >= carried


def test_three_gauges_double_the_area_and_six_the_diameter() -> None:
    gauges = np.arange(-3.0, 19.0)
    area = np.asarray(awg_area_mm2(gauge=gauges))
    np.testing.assert_allclose(area[:-3] / area[3:], 2.0, rtol=0.01)
    np.testing.assert_allclose(area[:-6] / area[6:], 4.0, rtol=0.02)


@given(st.floats(0, 500), st.floats(10, 50), st.floats(0, 0.1))
def test_what_a_load_draws_through_a_cable_gives_it_its_power(
    watts: float, volts: float, ohms: float
) -> None:
    most = volts**2 / (4 * ohms) if ohms else np.inf
    asked = min(watts, most)
    amperes = supply_current_a(power_w=asked, supply_voltage_v=volts, resistance_ohm=ohms)
    assert (volts - amperes * ohms) * amperes == pytest.approx(asked, rel=1e-6, abs=1e-9)
    assert amperes * ohms <= volts / 2 * (1 + 1e-9)
