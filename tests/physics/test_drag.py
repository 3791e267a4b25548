"""The motor's shaft, towed lines, shallows, and the named shapes with a waterplane of their own."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics import hull
from keelwatt.physics.drag import (
    TowedLine,
    beyond_limit_n,
    deep_speed_m_s,
    shaft_and_pod_n,
    shallow_limit_m_s,
    shallow_speed_loss,
    towed_line,
    towed_resistance_n,
    within_towed_speeds,
)
from keelwatt.physics.shapes import (
    HULL_SHAPES,
    midship_area_m2,
    within_thin_ship_theory,
)
from keelwatt.physics.water import G


def test_shaft_and_pod() -> None:
    """d 28 mm, l 0.45 m, pod 90 mm, 1.31 m/s, 999.1 kg/m3: 12.96 + 1.09 + 0.16 N, computed."""
    at = {"speed_m_s": 1.31, "density_kg_m3": 999.1}
    tube = shaft_and_pod_n(wet_tube_m=0.45, pod_m=0.0, **at) - shaft_and_pod_n(
        wet_tube_m=0.0, pod_m=0.0, **at
    )
    pod = shaft_and_pod_n(wet_tube_m=0.0, tube_m=0.0, **at)
    spray = shaft_and_pod_n(wet_tube_m=0.0, pod_m=0.0, **at)
    assert [f"{part:.2f}" for part in (tube, pod, spray)] == ["12.96", "1.09", "0.16"]
    assert f"{shaft_and_pod_n(wet_tube_m=0.45, **at):.1f}" == "14.2"
    assert shaft_and_pod_n(wet_tube_m=-0.1, **at) == shaft_and_pod_n(wet_tube_m=0.0, **at)


@given(st.floats(1, 50), st.floats(1.5, 4), st.lists(st.floats(0.5, 3), min_size=2, max_size=6))
def test_a_towed_line_is_found_again(newton: float, exponent: float, speeds: list[float]) -> None:
    speeds = [*speeds, min(speeds) + 0.5]
    pulls = [newton * v**exponent for v in speeds]
    line = towed_line(speeds_m_s=speeds, pulls_n=pulls)
    assert line.exponent == pytest.approx(exponent, rel=1e-9)
    assert line.newton == pytest.approx(newton, rel=1e-8)
    assert (line.slowest_m_s, line.fastest_m_s) == (min(speeds), max(speeds))


@pytest.mark.parametrize(
    ("pulls_n", "exponent"), [([10.0, 12.0], 1.5), ([10.0, 400.0], 4.0), ([10.0, 40.0], 2.0)]
)
def test_a_towed_lines_exponent_is_held(pulls_n: list[float], exponent: float) -> None:
    """And the line still goes through the middle of the points."""
    line = towed_line(speeds_m_s=[1.0, 2.0], pulls_n=pulls_n)
    assert line.exponent == pytest.approx(exponent)
    middle = line.newton * np.sqrt(2) ** line.exponent
    assert middle == pytest.approx(np.sqrt(np.prod(pulls_n)))


def test_one_speed_gives_a_square() -> None:
    line = towed_line(speeds_m_s=[2.0, 2.0], pulls_n=[39.0, 41.0])
    assert line.exponent == 2.0
    assert line.newton == pytest.approx(np.sqrt(39 * 41) / 4)


@pytest.mark.parametrize(
    ("speeds", "pulls"), [([], []), ([1.0], [1.0, 2.0]), ([0.0], [1.0]), ([1.0], [-1.0])]
)
def test_no_line_without_points(speeds: list[float], pulls: list[float]) -> None:
    with pytest.raises(ValueError, match="as many pulls"):
        towed_line(speeds_m_s=speeds, pulls_n=pulls)


def test_a_heavier_boat_than_the_towed_one() -> None:
    line = TowedLine(20.0, 2.0, 1.0, 2.0)
    pull = towed_resistance_n(
        speed_m_s=1.5,
        line=line,
        displacement_kg=np.array([200.0, 400.0]),
        towed_displacement_kg=200.0,
    )
    np.testing.assert_allclose(pull, [45.0, 45.0 * 2 ** (2 / 3)])
    speeds = np.array([0.79, 0.81, 2.59, 2.61])
    assert np.asarray(within_towed_speeds(speed_m_s=speeds, line=line)).tolist() == [
        *(False, True, True, False)
    ]


def test_deep_water_costs_nothing() -> None:
    assert shallow_speed_loss(
        deep_speed_m_s=2.0, depth_m=30.0, midship_area_m2=0.1
    ) == pytest.approx(0.0, abs=1e-12)
    assert deep_speed_m_s(speed_m_s=2.0, depth_m=30.0, midship_area_m2=0.1) == pytest.approx(2.0)


@pytest.mark.parametrize(("depth_m", "area_m2"), [(0.6, 0.08), (0.4, 0.08), (0.4, 0.0)])
def test_shallow_losses(depth_m: float, area_m2: float) -> None:
    """At 1.5 m/s, computed: Lackenby (1963), by hand from exponentials."""
    loss = shallow_speed_loss(deep_speed_m_s=1.5, depth_m=depth_m, midship_area_m2=area_m2)
    x = 2 * G * depth_m / 1.5**2
    tanh = (np.exp(x) - 1) / (np.exp(x) + 1)
    by_hand = 0.1242 * max(area_m2 / depth_m**2 - 0.05, 0) + 1 - tanh**0.5
    assert loss == pytest.approx(by_hand, rel=1e-12)


@given(st.floats(0.1, 2.5), st.floats(0.3, 5), st.floats(0, 0.15))
def test_shallow_and_deep_are_inverse(deep: float, depth: float, area: float) -> None:
    """Up to the critical speed, where the shallows end; beyond it drag grows without bound."""
    at = {"depth_m": depth, "midship_area_m2": area}
    critical, limit = np.sqrt(G * depth), shallow_limit_m_s(**at)
    if deep < critical:
        shallow = deep * (1 - shallow_speed_loss(deep_speed_m_s=deep, **at))
        assert deep_speed_m_s(speed_m_s=shallow, **at) == pytest.approx(deep, rel=1e-6)
        assert beyond_limit_n(speed_m_s=shallow, **at) == 0.0
    assert deep_speed_m_s(speed_m_s=2 * critical, **at) == pytest.approx(critical, rel=1e-6)
    assert beyond_limit_n(speed_m_s=limit + 0.01, **at) == pytest.approx(1000.0)


@given(st.floats(0.05, 5), st.lists(st.floats(0, 0.5), min_size=2, max_size=2), st.floats(0, 5))
def test_a_fuller_section_or_less_water_slows_more(
    depth: float, areas: list[float], speed: float
) -> None:
    less, more = sorted(areas)
    slow, fast = (
        deep_speed_m_s(speed_m_s=speed, depth_m=depth, midship_area_m2=area)
        for area in (less, more)
    )
    limits = [shallow_limit_m_s(depth_m=depth, midship_area_m2=area) for area in (less, more)]
    assert limits[0] >= limits[1] >= 0.0
    if speed <= limits[1]:
        assert fast >= slow * (1 - 1e-9)
        deeper = deep_speed_m_s(speed_m_s=speed, depth_m=1.5 * depth, midship_area_m2=more)
        assert deeper <= fast * (1 + 1e-9)


def test_water_without_a_bottom() -> None:
    speeds = np.array([0.0, 1.3, 6.0])
    at = {"depth_m": np.inf, "midship_area_m2": 0.1}
    np.testing.assert_array_equal(deep_speed_m_s(speed_m_s=speeds, **at), speeds)
    assert not np.any(beyond_limit_n(speed_m_s=speeds, **at))
    assert deep_speed_m_s(speed_m_s=0.0, depth_m=0.4, midship_area_m2=0.1) == 0.0


def test_a_keel_on_the_ground_goes_nowhere() -> None:
    """A section so full for its depth that nothing is left of the critical speed."""
    assert shallow_limit_m_s(depth_m=0.1, midship_area_m2=0.08) == 0.0
    assert deep_speed_m_s(speed_m_s=1.0, depth_m=0.1, midship_area_m2=0.08) < 1e-6


def test_shapes() -> None:
    assert {name: shape[:3] for name, shape in HULL_SHAPES.items()} == {
        "slender": (2, 3, 2),
        "canoe": (2, 4, 3),
        "sit-on-top": (2, 6, 4),
        "flat-bottomed": (2, 8, 4),
    }
    assert all(s.waterplane_fineness >= s.fineness for s in HULL_SHAPES.values())
    assert [shape.drag_factor for shape in HULL_SHAPES.values()] == [1.1, 1.15, 1.3, 1.2]
    with pytest.raises(TypeError):
        HULL_SHAPES["canoe"] = HULL_SHAPES["slender"]  # type: ignore[index]


def test_a_full_waterplane_over_fine_ends() -> None:
    """The third exponent stiffens the boat; all of them without bound make a box."""
    length, beam, huge = 4.0, 0.8, 1e12
    fine, full = (
        hull.waterplane_transverse_m4(length_m=length, beam_m=beam, fineness=p) for p in (2, 4)
    )
    assert full / fine == pytest.approx(0.6564 / 0.4571, rel=2e-4)
    box = hull.waterplane_transverse_m4(length_m=length, beam_m=beam, fineness=huge)
    assert box == pytest.approx(length * beam**3 / 12)
    assert midship_area_m2(beam_m=beam, draft_m=0.1, fullness=huge) == pytest.approx(0.08)


@pytest.mark.parametrize(
    ("beam_m", "froude", "trusted"), [(1.0, 0.38, True), (1.0, 0.381, False), (1.001, 0.3, False)]
)
def test_where_theory_is_trusted(beam_m: float, froude: float, trusted: bool) -> None:
    assert within_thin_ship_theory(length_m=4.0, beam_m=beam_m, froude=froude) == trusted
