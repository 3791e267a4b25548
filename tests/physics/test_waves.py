"""Wave resistance: properties, shapes, edges."""

import time
from collections.abc import Callable
from typing import Any, TypedDict

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelwatt.physics import ladder, michell
from keelwatt.physics.shapes import HULL_SHAPES, HullShape
from keelwatt.physics.water import G
from physics.laws import wave_resistance_n

Resistance = Callable[..., Any]


class Form(TypedDict):
    length_m: float
    beam_m: float
    fineness: int
    fullness: int


CANOE = Form(length_m=4.5, beam_m=0.8, fineness=2, fullness=4)
FORMS = st.builds(
    Form,
    length_m=st.floats(2, 6),
    beam_m=st.floats(0.3, 1.0),
    fineness=st.integers(2, 8),
    fullness=st.integers(2, 10),
)
DRAFTS_M = st.floats(0.03, 0.3)
FROUDES = st.floats(0.06, 1.0)
RHO = 1000.0


def alone_n(froude: float, draft_m: float, form: Form) -> float:
    speed = froude * np.sqrt(G * form["length_m"])
    return float(wave_resistance_n(speed_m_s=speed, draft_m=draft_m, density_kg_m3=RHO, **form))


def highest_n(froude: float, draft_m: float, form: Form) -> float:
    speed = froude * np.sqrt(G * form["length_m"])
    return float(
        ladder.running_maximum_n(speed_m_s=speed, draft_m=draft_m, density_kg_m3=RHO, **form)
    )


@given(FORMS, DRAFTS_M, FROUDES, st.floats(0.5, 2))
@settings(max_examples=20, deadline=None)
def test_grows_with_the_square_of_beam(
    form: Form, draft_m: float, froude: float, wider: float
) -> None:
    wide = Form(**{**form, "beam_m": wider * form["beam_m"]})
    expected = wider**2 * alone_n(froude, draft_m, form)
    assert alone_n(froude, draft_m, wide) == pytest.approx(expected, rel=1e-13)


@given(FORMS, DRAFTS_M, FROUDES, st.floats(0.5, 2))
@settings(max_examples=20, deadline=None)
def test_froudes_law_of_comparison(form: Form, draft_m: float, froude: float, scale: float) -> None:
    model = alone_n(froude, draft_m, form)
    bigger = Form(
        **{**form, "length_m": scale * form["length_m"], "beam_m": scale * form["beam_m"]}
    )
    assert alone_n(froude, scale * draft_m, bigger) == pytest.approx(scale**3 * model, rel=1e-9)


@given(FORMS, DRAFTS_M, FROUDES, st.floats(1e-6, 0.5))
@settings(max_examples=20, deadline=None)
def test_grows_with_draft(form: Form, draft_m: float, froude: float, deeper: float) -> None:
    shallow = alone_n(froude, draft_m, form)
    assert shallow > 0
    assert alone_n(froude, draft_m * (1 + deeper), form) > shallow
    resistance = highest_n(froude, draft_m, form)
    assert highest_n(froude, draft_m * (1 + deeper), form) > resistance


@given(FORMS, DRAFTS_M, st.floats(0, 1), st.floats(0, 0.05))
@settings(max_examples=25, deadline=None)
def test_running_maximum_never_falls(
    form: Form, draft_m: float, froude: float, faster: float
) -> None:
    slow = highest_n(froude, draft_m, form)
    assert 0 <= slow <= highest_n(froude + faster, draft_m, form)


@given(FORMS, DRAFTS_M, st.floats(0.06, 1))
@settings(max_examples=25, deadline=None)
def test_running_maximum_is_not_below_the_curve(form: Form, draft_m: float, froude: float) -> None:
    assert highest_n(froude, draft_m, form) >= alone_n(froude, draft_m, form)


@pytest.mark.parametrize("shape", HULL_SHAPES.values(), ids=HULL_SHAPES)
def test_running_maximum_grows_along_both_axes(shape: HullShape) -> None:
    form = Form(length_m=4.0, beam_m=0.8, fineness=shape.fineness, fullness=shape.fullness)
    speed = np.linspace(0, 0.6, 101) * np.sqrt(G * form["length_m"])
    draft = np.linspace(0.04, 0.2, 33)
    grid = ladder.running_maximum_n(speed_m_s=speed, draft_m=draft, density_kg_m3=RHO, **form)
    assert np.diff(grid, axis=0).min() >= 0
    assert np.diff(np.asarray(grid)[1:], axis=1).min() > 0


def test_hollows_exist_and_are_not_credited() -> None:
    """Between the humps near Froude numbers 0.30 and 0.5 theory falls; the maximum does not."""
    speed = np.arange(0.2, 0.5, 0.001) * np.sqrt(G * CANOE["length_m"])
    curve = wave_resistance_n(speed_m_s=speed, draft_m=0.12, density_kg_m3=RHO, **CANOE)
    kept = ladder.running_maximum_n(speed_m_s=speed, draft_m=0.12, density_kg_m3=RHO, **CANOE)
    assert np.diff(curve).min() < 0
    assert np.diff(kept).min() >= 0


@pytest.mark.parametrize("resistance", [wave_resistance_n, ladder.running_maximum_n])
class TestBoth:
    def test_shapes_are_outer(self, resistance: Resistance) -> None:
        speed, draft = np.array([0.0, 0.9, 1.6]), np.array([0.08, 0.12])
        form = {"density_kg_m3": RHO, **CANOE}
        grid = resistance(speed_m_s=speed, draft_m=draft, **form)
        assert grid.shape == (3, 2)
        row = resistance(speed_m_s=1.6, draft_m=draft, **form)
        column = resistance(speed_m_s=speed, draft_m=0.12, **form)
        assert row.shape == (2,)
        assert column.shape == (3,)
        one = resistance(speed_m_s=1.6, draft_m=0.12, **form)
        assert isinstance(one, float)
        np.testing.assert_allclose(grid[2], row, rtol=1e-13)
        np.testing.assert_allclose(grid[:, 1], column, rtol=1e-13)
        assert grid[2, 1] == pytest.approx(one, rel=1e-13)

    def test_nothing_at_rest_or_without_draft(self, resistance: Resistance) -> None:
        form = {"density_kg_m3": RHO, **CANOE}
        assert resistance(speed_m_s=0.0, draft_m=0.12, **form) == 0.0
        assert resistance(speed_m_s=2.0, draft_m=0.0, **form) == 0.0

    def test_grows_in_proportion_to_density(self, resistance: Resistance) -> None:
        fresh = resistance(speed_m_s=1.5, draft_m=0.12, density_kg_m3=1000.0, **CANOE)
        salt = resistance(speed_m_s=1.5, draft_m=0.12, density_kg_m3=1025.0, **CANOE)
        assert salt == pytest.approx(1.025 * fresh, rel=1e-14)

    def test_no_speeds_give_no_answers(self, resistance: Resistance) -> None:
        form = {"density_kg_m3": RHO, **CANOE}
        none = resistance(speed_m_s=np.array([]), draft_m=np.array([0.1, 0.2]), **form)
        assert none.shape == (0, 2)

    @pytest.mark.parametrize("speed_m_s", [-0.1, float("nan"), 3.01 * (G * 4.5) ** 0.5])
    def test_speeds_outside_are_refused(self, resistance: Resistance, speed_m_s: float) -> None:
        with pytest.raises(ValueError, match="Froude numbers must lie within 0 to 3"):
            resistance(speed_m_s=speed_m_s, draft_m=0.1, density_kg_m3=RHO, **CANOE)

    def test_the_fastest_speed_is_answered(self, resistance: Resistance) -> None:
        speed = np.nextafter(3 * np.sqrt(G * 4.5), 0)
        assert resistance(speed_m_s=speed, draft_m=0.1, density_kg_m3=RHO, **CANOE) > 0


def test_waves_below_froude_0_05_count_as_nothing() -> None:
    assert alone_n(0.0499, 0.12, CANOE) == 0.0
    assert alone_n(0.0501, 0.12, CANOE) > 0.0


def test_an_integral_that_does_not_settle_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(michell, "_MOST_DOUBLINGS", 1)
    with pytest.raises(ArithmeticError, match="did not settle"):
        alone_n(0.2001, 0.12, CANOE)


def test_a_full_ladder_is_quick() -> None:
    """160 speeds by 10 drafts take about 40 ms; ten times that is a fault."""
    speed = np.linspace(0.1, 0.5, 160) * np.sqrt(G * CANOE["length_m"])
    draft = np.linspace(0.08, 0.16, 10)
    spent = []
    for _ in range(3):
        start = time.perf_counter()
        ladder.running_maximum_n(speed_m_s=speed, draft_m=draft, density_kg_m3=RHO, **CANOE)
        spent.append(time.perf_counter() - start)
    assert min(spent) < 0.4
