"""The interpolated resistance against the wave integral itself."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelwatt.boat.drag import SAFE_SIDE, Drag
from keelwatt.boat.facts import Facts
from keelwatt.files.outing import Leg, Outing
from oracle.one_of_each import with_craft

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
    facts = Facts(outing)
    low_kg, high_kg = facts.bare_kg, facts.bare_kg * load
    drag = Drag.of(facts, low_kg, high_kg, fastest_m_s=2.5)
    displacements = low_kg + np.array([0.0, *times, 1.0]) * (high_kg - low_kg)
    found = drag.thrusts_n(displacements)
    exact = facts.water_resistance_n(facts.water_speeds_m_s, displacements)
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


def test_air_and_the_top_speed_come_with_the_water() -> None:
    """4.9 N of air on the leg at 2 m/s against 2 m/s of wind; none of it at the top speed's."""
    outing = with_craft(wind_area_m2=0.5)
    leg = Leg(name="out", speed_m_s=2.0, duration_h=1.0, headwind_m_s=2.0)
    limits = outing.limits.model_copy(update={"top_speed_m_s": 2.0})
    facts = Facts(outing.model_copy(update={"legs": (leg,), "limits": limits}))
    kg = 1.2 * facts.bare_kg
    drag = Drag.of(facts, facts.bare_kg, 1.5 * facts.bare_kg, fastest_m_s=2.5)
    against_wind, in_calm = drag.thrusts_n(np.array([kg]))[:, 0]
    assert against_wind - in_calm == pytest.approx(0.5 * 1.225 * 0.5 * (4.0**2 - 2.0**2))
    air = 0.5 * 1.225 * 0.5 * 2.0**2
    water = float(facts.water_resistance_n(np.array([2.0]), kg)[0])
    assert in_calm == pytest.approx(water + air, rel=MOST_OVER)
