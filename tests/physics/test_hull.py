"""The hull: shapes, properties and edges."""

from typing import TypedDict

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics import hull


class Form(TypedDict):
    length_m: float
    beam_m: float
    fineness: int
    fullness: int


FORMS = st.builds(
    Form,
    length_m=st.floats(2, 6),
    beam_m=st.floats(0.4, 1.2),
    fineness=st.integers(2, 8),
    fullness=st.integers(2, 10),
)
DRAFTS_M = st.floats(0.02, 0.5)
CANOE = Form(length_m=4.5, beam_m=0.8, fineness=2, fullness=4)
FRESH = {"density_kg_m3": 999.1, "viscosity_m2_s": 1.1386e-6}


@given(FORMS, DRAFTS_M)
def test_draft_gives_the_volume_back(form: Form, draft_m: float) -> None:
    volume = hull.displaced_volume_m3(draft_m=draft_m, **form)
    assert hull.draft_m(volume_m3=volume, **form) == pytest.approx(draft_m, rel=1e-12)


@given(FORMS, DRAFTS_M)
def test_hull_lies_within_its_box(form: Form, draft_m: float) -> None:
    length, beam = form["length_m"], form["beam_m"]
    box = length * beam * draft_m
    assert 4 / 9 * box <= hull.displaced_volume_m3(draft_m=draft_m, **form) * (1 + 1e-12) < box
    kb = hull.buoyancy_height_m(draft_m=draft_m, fullness=form["fullness"])
    assert draft_m / 2 < kb <= 5 / 8 * draft_m * (1 + 1e-12)
    surface = hull.wetted_surface_m2(draft_m=draft_m, **form)
    assert 2 * length * draft_m < surface
    assert surface < length * beam + 2 * length * draft_m + 2 * beam * draft_m


@given(FORMS, DRAFTS_M, st.floats(1.001, 2))
def test_wetted_surface_grows_with_draft(form: Form, draft_m: float, deeper: float) -> None:
    shallow = hull.wetted_surface_m2(draft_m=draft_m, **form)
    assert hull.wetted_surface_m2(draft_m=draft_m * deeper, **form) > shallow


@given(FORMS, DRAFTS_M, st.floats(0.5, 3))
def test_wetted_surface_scales_as_an_area(form: Form, draft_m: float, scale: float) -> None:
    bigger = form | {
        "length_m": scale * form["length_m"],
        "beam_m": scale * form["beam_m"],
    }
    small = hull.wetted_surface_m2(draft_m=draft_m, **form)
    big = hull.wetted_surface_m2(draft_m=scale * draft_m, **bigger)
    assert big == pytest.approx(scale**2 * small, rel=1e-12)


@given(st.floats(0, 1e5))
def test_friction_line_is_floored(reynolds: float) -> None:
    at_floor = hull.friction_coefficient(reynolds=1e5)
    assert hull.friction_coefficient(reynolds=reynolds) == at_floor
    assert at_floor == pytest.approx(0.075 / 9)


@given(st.floats(0, 3), st.floats(0.001, 1), st.floats(0.2, 6))
def test_friction_grows_with_speed(speed_m_s: float, faster_m_s: float, area_m2: float) -> None:
    def friction(speed: float) -> float:
        return float(
            hull.friction_n(speed_m_s=speed, length_m=4.5, wetted_surface_m2=area_m2, **FRESH)
        )

    assert friction(speed_m_s + faster_m_s) > friction(speed_m_s)


def test_no_friction_at_rest() -> None:
    assert hull.friction_n(speed_m_s=0.0, length_m=4.5, wetted_surface_m2=2.0, **FRESH) == 0.0


def test_form_factor_defaults_to_15_percent() -> None:
    bare = hull.friction_n(
        speed_m_s=1.0, length_m=4.5, wetted_surface_m2=2.0, form_factor=0.0, **FRESH
    )
    whole = hull.friction_n(speed_m_s=1.0, length_m=4.5, wetted_surface_m2=2.0, **FRESH)
    assert whole == pytest.approx(1.15 * bare)


def test_following_wind_is_not_credited() -> None:
    speeds = np.array([0.0, 1.0, 2.0])
    met = hull.air_resistance_n(ground_speed_m_s=speeds, headwind_m_s=-1.0, drag_area_m2=0.5)
    np.testing.assert_allclose(met, [0.0, 0.0, 0.5 * 1.225 * 0.5])


def test_wetted_surface_broadcasts() -> None:
    drafts = np.array([[0.05], [0.1]])
    beams = np.array([0.6, 0.7, 0.8])
    surface = hull.wetted_surface_m2(
        length_m=4.5, beam_m=beams, draft_m=drafts, fineness=2, fullness=4
    )
    assert np.shape(surface) == (2, 3)
    one = hull.wetted_surface_m2(draft_m=0.1, **CANOE)
    assert np.asarray(surface)[1, 2] == pytest.approx(one, rel=1e-14)
