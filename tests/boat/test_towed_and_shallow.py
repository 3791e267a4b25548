"""A boat that was towed, and legs in shallow water: boat and proof against arithmetic by hand."""

from math import inf, sqrt, tanh
from typing import Any

import numpy as np
import pytest

from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import Displacements, Resistance
from keelwatt.files.outing import Outing
from keelwatt.proof.craft import Craft
from oracle.one_of_each import OUTING, with_craft

TOWED = {"towed": ((1.0, 10.0), (2.0, 40.0)), "towed_displacement_kg": 125.0, "drag_factor": 1.0}
"""10 N at 1 m/s, growing as the square; 125 kg all-up."""

HEAVIER_KG = 216.0
"""(216 / 125) to the power 2/3 is 1.44."""


def both(outing: Outing, speed_m_s: float, kilograms: float, depth_m: float = inf) -> list[float]:
    """The water's resistance by the proof, by the boat itself, and by the boat's tables."""
    case, speed = LoadCase(outing), np.array([speed_m_s])
    depth = np.array([depth_m])
    tables = Displacements.between(case, 100.0, 260.0, 2.5)
    grams = np.array([round(1000 * kilograms)])
    return [
        Craft(outing).water_n(speed, kilograms, depth_m).item(),
        Resistance.exact(case, kilograms, 2.5).water_n(speed, depth).item(),
        tables.resistance(grams).water_n(speed, depth).item(),
    ]


@pytest.mark.parametrize(("speed", "expected"), [(0.0, 0.0), (1.5, 32.4), (3.0, 129.6)])
def test_as_it_was_towed_and_heavier(speed: float, expected: float) -> None:
    """10 * 1.5**2 * 1.44 = 32.4 N; nothing of shape or drag factor is left in it."""
    slim = {"waterline_beam_m": 0.6, "fullness": 8}
    for update in ({}, slim):
        found = both(with_craft(**TOWED, **update), speed, HEAVIER_KG)
        assert found == pytest.approx([expected] * 3)


def test_what_it_weighed_is_hull_and_aboard_where_the_file_is_silent() -> None:
    """30 kg of hull and 80 kg aboard: twice as heavy now, 2 to the power 2/3."""
    craft: dict[str, Any] = {**TOWED, "towed_displacement_kg": None}
    found = both(with_craft(**craft), 1.0, 220.0)
    assert found == pytest.approx([10.0 * 2 ** (2 / 3)] * 3)


def by_lackenby(deep_m_s: float, depth_m: float, section_m2: float) -> float:
    """The speed in the shallows."""
    blocked = 0.1242 * max(0.0, section_m2 / depth_m**2 - 0.05)
    return deep_m_s * (sqrt(tanh(9.80665 * depth_m / deep_m_s**2)) - blocked)


@pytest.mark.parametrize("craft", [{}, TOWED], ids=["by its shape", "as towed"])
@pytest.mark.parametrize(("deep", "depth"), [(1.2, 0.5), (1.6, 0.5), (2.1, 0.6), (1.0, 3.0)])
def test_in_the_shallows_it_drags_as_in_deep_water_at_more_speed(
    craft: dict[str, Any], deep: float, depth: float
) -> None:
    """A hull of p = 2 and 4 m: the section amidships is the volume over 4 m and 2/3."""
    outing = with_craft(**craft)
    section = HEAVIER_KG / LoadCase(outing).density_kg_m3 / (4.0 * 2 / 3)
    shallow = by_lackenby(deep, depth, section)
    assert shallow < deep or depth == 3.0
    expected = both(outing, deep, HEAVIER_KG)
    assert both(outing, shallow, HEAVIER_KG, depth) == pytest.approx(expected, rel=1e-9)


def test_beyond_the_speed_of_the_waters_waves_no_motor_drives_it() -> None:
    """In 0.4 m: sqrt(g h) is 1.981 m/s, of which sqrt(tanh 1) and the narrowed section leave 1.616.

    A millimetre a second more takes 100 N more.
    """
    section = HEAVIER_KG / LoadCase(OUTING).density_kg_m3 / (4.0 * 2 / 3)
    limit = sqrt(9.80665 * 0.4) * (sqrt(tanh(1.0)) - 0.1242 * (section / 0.16 - 0.05))
    assert limit == pytest.approx(1.616, abs=0.001)
    at_limit, beyond = (both(OUTING, limit + more, HEAVIER_KG, 0.4) for more in (0.0, 0.001))
    assert np.subtract(beyond, at_limit) == pytest.approx([100.0] * 3, rel=1e-6)
    assert Craft(OUTING).shallow_limit_m_s(HEAVIER_KG, 0.4) == pytest.approx(limit)
    assert float(LoadCase(OUTING).shallow_limit_m_s(0.4, HEAVIER_KG)) == pytest.approx(limit)
