"""Curves over speed and along the day run through the numbers of the proof."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from keelwatt.explain.advise import Advice
from keelwatt.explain.curves import Curves, charge_left, speed_curves
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.outing import read_outing
from remembered import decide

ROOT = Path(__file__).parents[2]
EXAMPLES = ["bird-count-canoe", "harbour-dinghy", "reservoir-sampling"]


@pytest.fixture(scope="module", params=EXAMPLES)
def advice(request: pytest.FixtureRequest) -> Advice:
    outing = read_outing(ROOT / "examples" / request.param / "outing.toml")
    return decide(outing, read_catalog(ROOT / "catalog"))


@pytest.fixture(scope="module")
def curves(advice: Advice) -> Iterator[Curves]:
    assert advice.proof
    yield speed_curves(advice, advice.proof)


def test_each_leg_lies_on_the_curve_of_its_wind_and_stream(advice: Advice, curves: Curves) -> None:
    assert advice.proof
    by_air = {(curve.headwind_m_s, curve.stream_m_s): curve for curve in curves.curves}
    legs = advice.outing.legs
    for leg, proved, point in zip(legs, advice.proof.assessment.legs, curves.legs, strict=True):
        curve = by_air[leg.headwind_m_s, leg.current_m_s]
        here = int(np.flatnonzero(curve.speeds_m_s == point.speed_m_s)[0])
        assert curve.thrust_n[here] == pytest.approx(proved.thrust_n, rel=1e-9, abs=1e-9)
        assert curve.battery_a[here] == pytest.approx(proved.battery_a, rel=1e-6, abs=1e-9)
        assert (point.thrust_n, point.battery_a) == (proved.thrust_n, proved.battery_a)


def test_calm_water_comes_first_and_asks_less_than_any_wind_ahead(curves: Curves) -> None:
    calm, *others = curves.curves
    assert calm.calm
    for other in others:
        thrust = np.interp(other.speeds_m_s, calm.speeds_m_s, calm.thrust_n)
        if other.headwind_m_s > 0.0 and other.stream_m_s <= 0.0:
            assert np.all(other.thrust_n >= thrust - 1e-9)


def test_resistance_grows_with_speed(curves: Curves) -> None:
    for curve in curves.curves:
        assert np.all(np.diff(curve.speeds_m_s) > 0.0)
        assert np.all(np.diff(curve.thrust_n) >= -1e-9)


def test_the_current_ends_where_the_motor_does(advice: Advice, curves: Curves) -> None:
    assert advice.proof
    calm = curves.curves[0]
    reached = calm.speeds_m_s[calm.battery_a.size - 1]
    top = next(limit for limit in advice.proof.assessment.limits if limit.name == "top_speed")
    step = np.diff(calm.speeds_m_s).max()
    assert reached == pytest.approx(top.has, abs=2 * step)
    assert calm.battery_a.size < calm.speeds_m_s.size


def test_the_day_has_every_corner_and_passes_every_minute(advice: Advice) -> None:
    assert advice.proof
    corners = charge_left(advice.proof)
    assert corners[0] == (0.0, advice.proof.full_ah)
    assert len(corners) < len(advice.proof.minutes) / 4
    hours, left = zip(*corners, strict=True)
    for minute in advice.proof.minutes:
        assert np.interp(minute.at_h, hours, left) == pytest.approx(minute.left_ah, abs=1e-5)
    for end in advice.proof.leg_ends:
        assert np.interp(end.at_h, hours, left) == pytest.approx(end.left_ah, abs=1e-5)
