"""What a log tells of resistance over thrust, on boats that the proof alone knows."""

from dataclasses import replace

import numpy as np
import pytest

from keelwatt.errors import InputError
from keelwatt.tuning.tune import Tuning, tune
from samples import assert_says
from tuning.proof_logs import Boat, proved_log, random_boat

HALF, DOUBLE = 0.425, 1.7
"""Shares of a claim: half of the 85 % planned, and twice that."""

CONTROLS = pytest.mark.parametrize("stepped", [False, True], ids=["chopper", "stepped"])


def fitted(boat: Boat, *, settings: bool = False) -> Tuning:
    log = proved_log(boat, settings=settings)
    return tune(boat.outing, boat.claimed, boat.kit, log)


@pytest.mark.few(2)
@CONTROLS
@pytest.mark.parametrize(("thrust", "drag"), [(HALF, 1.0), (DOUBLE, 3.0)])
def test_the_ratio_is_within_its_interval(stepped: bool, thrust: float, drag: float) -> None:
    """With a hull that drags three times as much: no drag factor makes up for a thrust doubled.

    The no-thrust speed is as in the catalog: what a claim is off by does not move it.
    """
    boat = random_boat(7, stepped=stepped, thrust=thrust, drag=drag)
    boat = replace(boat, no_thrust_m_s=2.9)
    log = proved_log(boat, winds_m_s=(0.0, 0.0, 0.0))
    found = tune(boat.outing, boat.claimed, boat.kit, log).fit.drag_factor
    told = boat.told(np.array([row.speed_m_s for row in log.rows.values()]))
    assert found.low <= told.min() <= told.max() <= found.high
    assert found.high - found.low < 0.5 * found.value


@CONTROLS
def test_a_propeller_that_pulls_less_is_within_it_where_settings_are_known(stepped: bool) -> None:
    """Its no-thrust speed is less too, and is found."""
    boat = random_boat(8, stepped=stepped, thrust=0.62)
    result = fitted(boat, settings=True)
    told = boat.told(np.array([row.water_speed_m_s for row in result.rows]))
    assert result.together
    assert result.motor_is_off
    speed = result.together.no_thrust_speed_m_s
    assert speed
    assert speed.low <= boat.drive.plan.no_thrust_speed_m_s <= speed.high
    low, high = result.fit.drag_factor.low, result.fit.drag_factor.high
    assert low <= told.min() <= told.max() <= high


def assert_hours(seed: int, *, stepped: bool, thrust: float) -> None:
    boat = random_boat(seed, stepped=stepped, thrust=thrust)
    result = fitted(boat, settings=bool(seed % 2))
    true = boat.true().assess(boat.kit).hours_at_limit
    before, after = (p.assessment.hours_at_limit for p in (result.before, result.after))
    assert abs(before / true - 1.0) > 0.15
    assert after == pytest.approx(true, rel=0.05 if thrust < 1.0 else 0.07)


@pytest.mark.few(2)
@CONTROLS
@pytest.mark.parametrize("seed", range(3))
def test_a_tuned_outing_has_the_hours_of_the_boat(seed: int, stepped: bool) -> None:
    """Only the thrust is wrong, and only the drag factor is changed: the ratio is what matters."""
    assert_hours(seed, stepped=stepped, thrust=0.62)


@CONTROLS
def test_so_it_has_where_the_motor_pulls_more(stepped: bool) -> None:
    """As one of the four motors of the published tank test did: 1.14 of its claim."""
    assert_hours(3, stepped=stepped, thrust=1.14)


@pytest.mark.slow
@CONTROLS
@pytest.mark.parametrize("thrust", [0.54, 0.62, 0.64, 1.14])
@pytest.mark.parametrize("seed", range(100, 106))
def test_hours_at_length(seed: int, thrust: float, stepped: bool) -> None:
    assert_hours(seed, stepped=stepped, thrust=thrust)


def test_a_thrust_beyond_what_a_drag_factor_makes_up_for() -> None:
    boat = random_boat(1, stepped=False, thrust=DOUBLE)
    with pytest.raises(InputError) as caught:
        fitted(boat)
    (problem,) = caught.value.problems
    assert_says(problem, "the current is far less.*the motor.s thrust")


def test_far_ratios_are_accepted_with_a_warning() -> None:
    result = fitted(random_boat(0, stepped=True, thrust=HALF))
    assert result.drag_factor > 3.0
    assert 1.5 < result.ratio < 3.0
    (warning,) = result.warnings
    assert warning.warning
    assert_says(warning, "a wrong unit of speed would give too.*are they knots or mph")
    assert not fitted(random_boat(0, stepped=True, thrust=0.85)).warnings


@pytest.mark.few(4)
@CONTROLS
@pytest.mark.parametrize("header", [1.852, 1.609, 1 / 1.852, 1 / 1.609])
def test_a_wrong_unit_is_refused_or_warned_about(header: float, stepped: bool) -> None:
    """Knots or mph under km/h, or the other way round."""
    boat = random_boat(2, stepped=stepped, thrust=0.85)
    log = proved_log(boat)
    rows = {
        n: row.model_copy(update={"speed_m_s": row.speed_m_s / header})
        for n, row in log.rows.items()
    }
    try:
        (problem,) = tune(boat.outing, boat.claimed, boat.kit, replace(log, rows=rows)).warnings
    except InputError as error:
        (problem,) = error.problems
    assert_says(problem, "check the units of speed .are they knots or mph")
