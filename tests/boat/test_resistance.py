"""The interpolated resistance against the wave integral itself."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import SAFE_SIDE, Displacements
from keelwatt.files.outing import Leg, Outing
from keelwatt.proof.craft import Craft
from oracle.one_of_each import OUTING, with_craft

MOST_OVER = 2 * SAFE_SIDE


@st.composite
def outings(draw: st.DrawFn) -> Outing:
    """Hulls of every shape and size a person paddles or rows, and three speeds in calm water."""
    craft = with_craft(
        fineness=draw(st.sampled_from([2, 3, 4, 8])),
        fullness=draw(st.sampled_from([2, 3, 4, 6, 8, 10])),
        waterline_length_m=draw(st.floats(2.5, 6.5)),
        waterline_beam_m=draw(st.floats(0.5, 1.6)),
        hull_mass_kg=draw(st.floats(12.0, 120.0)),
        wind_area_m2=0.0,
    )
    speeds = draw(st.lists(st.floats(0.2, 2.6), min_size=3, max_size=3))
    return craft.model_copy(
        update={
            "legs": tuple(
                Leg(name=str(n), speed_m_s=speed, duration_h=1.0) for n, speed in enumerate(speeds)
            )
        }
    )


def check(outing: Outing, load: float, times: list[float]) -> None:
    load_case = LoadCase(outing)
    low_kg, high_kg = load_case.bare_kg, load_case.bare_kg * load
    drag = Displacements.between(load_case, low_kg, high_kg, fastest_m_s=2.5)
    kilograms = low_kg + np.array([0.0, *times, 1.0]) * (high_kg - low_kg)
    grams = np.clip(np.round(1000 * kilograms), np.ceil(1000 * low_kg), 1000 * high_kg)
    boats = drag.resistance(grams.astype(np.int64))
    found = boats.water_n(load_case.water_speeds_m_s[:, None])
    craft = Craft(outing)
    exact = np.transpose([craft.water_n(load_case.water_speeds_m_s, kg / 1000) for kg in grams])
    over = found / exact - 1.0
    assert over.min() >= 0.0
    assert over.max() <= MOST_OVER


@settings(max_examples=12, deadline=None, derandomize=True)
@given(outings(), st.floats(1.02, 12.0), st.lists(st.floats(0.0, 1.0), min_size=3, max_size=3))
def test_never_below_the_exact_resistance_and_hardly_above(
    outing: Outing, load: float, times: list[float]
) -> None:
    check(outing, load, times)


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(outings(), st.floats(1.02, 12.0), st.lists(st.floats(0.0, 1.0), min_size=3, max_size=3))
def test_never_below_the_exact_resistance_and_hardly_above_at_length(
    outing: Outing, load: float, times: list[float]
) -> None:
    check(outing, load, times)


@pytest.mark.parametrize("load", [1.2, 2.0, 4.0])
def test_shares_of_the_nodes_carry_every_polynomial_below_their_number(load: float) -> None:
    """The definition of interpolation: Berrut and Trefethen, SIAM Review 46 (2004)."""
    case = LoadCase(OUTING)
    low_kg, high_kg = case.bare_kg, case.bare_kg * load
    drag = Displacements.between(case, low_kg, high_kg, fastest_m_s=2.0)
    count = len(drag.wetted_m2)
    angles = (2 * np.arange(count) + 1) * np.pi / (2 * count)
    at = np.array([-0.97, 0.13, 0.6])
    shares = drag._shares(low_kg + (at + 1.0) / 2.0 * (high_kg - low_kg))
    for power in range(count):
        nodes = np.sort(np.cos(angles)) ** power
        assert nodes @ shares == pytest.approx(at**power, abs=1e-11)
