"""Days as they are drawn: about the plan, as wide as stated, and together where stated."""

from collections.abc import Iterator
from dataclasses import fields, replace
from math import log

import numpy as np
import pytest

from keelwatt.boat.arrays import Floats
from keelwatt.chance.spreads import DRAG_SPREAD, UNKNOWNS, Days, Spreads
from keelwatt.files.outing import Leg, Odds, Outing
from keelwatt.report.odds import assumptions
from oracle.one_of_each import MOTOR, OUTING, with_craft

N = 40_000
OFF = 4.0 / N**0.5
"""Four standard errors of a standard normal's mean."""

LEGS = (
    Leg(name="out", speed_m_s=1.0, duration_h=1.0, headwind_m_s=4.0, current_m_s=0.5),
    Leg(name="home", speed_m_s=1.0, duration_h=2.0, headwind_m_s=-4.0, current_m_s=-0.5),
)
ROUND = OUTING.model_copy(update={"legs": LEGS})


def drawn(outing: Outing = ROUND, seed: int = 1) -> Days:
    spreads = Spreads(outing)
    return spreads.days(spreads.normals(np.random.default_rng(seed), N))


def with_odds(**update: float) -> Outing:
    return ROUND.model_copy(update={"odds": Odds(**update)})


NONE = {
    "wind_spread": 0.0,
    "gust_spread_m_s": 0.0,
    "stream_spread": 0.0,
    "capacity_spread": 0.0,
    "temperature_spread_c": 0.0,
    "length_spread": 0.0,
}


def arrays(days: Days) -> Iterator[Floats]:
    yield from (getattr(days, field.name) for field in fields(days))


def test_the_middle_of_all_days_is_the_day_as_planned() -> None:
    planned, days = Spreads(ROUND).planned(), drawn()
    assert planned.headwind_m_s.tolist() == [[4.0, -4.0]]
    assert planned.current_m_s.tolist() == [[0.5, -0.5]]
    assert planned.drag_factor.tolist() == [ROUND.craft.drag_factor]
    assert planned.capacity.tolist() == [1.0]
    assert planned.battery_c.tolist() == [ROUND.water.temperature_c]
    for middle, values in zip(arrays(planned), arrays(days), strict=True):
        assert np.median(values, axis=0) == pytest.approx(np.squeeze(middle), rel=0.02, abs=OFF)


def test_shares_are_as_wide_as_stated() -> None:
    days, odds = drawn(), ROUND.odds
    for values, spread in (
        (days.drag_factor, DRAG_SPREAD),
        (days.capacity, odds.capacity_spread),
        (days.length[:, 0], odds.length_spread),
        (days.current_m_s[:, 0], odds.stream_spread),
    ):
        assert np.log(values).std() == pytest.approx(spread, rel=0.02)
    assert days.battery_c.std() == pytest.approx(odds.temperature_spread_c, rel=0.02)


def test_the_default_drag_is_wrong_by_a_third_at_two_standard_deviations() -> None:
    factor = drawn().drag_factor / ROUND.craft.drag_factor
    assert (factor > 4 / 3).mean() == pytest.approx(0.0228, abs=0.003)
    assert (factor < 3 / 4).mean() == pytest.approx(0.0228, abs=0.003)


def test_a_measured_drag_has_its_own_error() -> None:
    outing = with_craft(drag_factor_error=0.03)
    assert np.log(drawn(outing).drag_factor).std() == pytest.approx(0.03, rel=0.02)
    assert (drawn(with_craft(drag_factor_error=0.0)).drag_factor == 1.3).all()


def test_a_boat_that_was_towed_is_off_by_a_tenth_and_its_motor_by_as_much_as_before() -> None:
    outing = with_craft(towed=((1.0, 10.0),), drag_factor=1.0)
    factors = drawn(outing).drag_factor
    assert np.std(np.log(factors)) == pytest.approx(0.1, rel=0.02)
    assert np.median(factors) == pytest.approx(1.0, rel=0.01)
    assert Spreads(outing).thrust(MOTOR) == Spreads(OUTING).thrust(MOTOR)


def test_the_days_wind_blows_on_all_legs_and_gusts_on_each_by_itself() -> None:
    together = drawn(with_odds(**NONE | {"wind_spread": 0.3}))
    assert together.headwind_m_s[:, 0] == pytest.approx(-together.headwind_m_s[:, 1])
    apart = drawn(with_odds(**NONE | {"gust_spread_m_s": 0.7}))
    out, home = apart.headwind_m_s.T - [[4.0], [-4.0]]
    assert abs((out * home).mean()) < 0.7**2 * OFF
    assert apart.headwind_m_s.std(axis=0) == pytest.approx([0.7, 0.7], rel=0.02)


def test_nothing_else_hangs_together() -> None:
    days = drawn()
    columns = [days.drag_factor, days.capacity, days.battery_c, *days.length.T]
    columns += [np.exp(days.thrust)]
    columns += [days.headwind_m_s[:, 0], days.current_m_s[:, 0]]
    correlations = np.corrcoef(np.log(np.abs(columns)))
    assert np.abs(correlations - np.eye(len(columns))).max() < 1.5 * OFF


def test_without_spreads_every_day_is_the_planned_one() -> None:
    outing = with_odds(**NONE)
    craft = outing.craft.model_copy(update={"drag_factor_error": 0.0})
    days = drawn(outing.model_copy(update={"craft": craft}))
    planned = replace(Spreads(outing).planned(), thrust=days.thrust)
    for middle, values in zip(arrays(planned), arrays(days), strict=True):
        assert (values == middle).all()


def test_a_thrust_is_as_sure_as_it_was_measured() -> None:
    """20 % of a claim, 5 % once it was measured on a tether (from memory)."""
    claimed = MOTOR.model_copy(update={"thrust_is": "claimed"})
    assert Spreads(OUTING).thrust(claimed) == 0.2
    assert Spreads(OUTING).thrust(MOTOR) == 0.05
    assert Spreads(with_craft(drag_factor_error=0.1)).thrust(claimed) == 0.2
    assert Spreads(with_odds(thrust_spread=0.1)).thrust(claimed) == 0.1
    assert drawn().thrust.std() == pytest.approx(1.0, rel=0.02)


def test_a_logs_motor_has_its_thrust_in_the_drag_factor() -> None:
    """Another's is open by itself and by what was taken for the first's."""
    tuned = Spreads(with_craft(drag_factor_error=0.1, drag_factor_motor=MOTOR.id))
    claimed = MOTOR.model_copy(update={"thrust_is": "claimed"})
    assert (tuned.thrust(MOTOR), tuned.thrust(claimed)) == (0.0, 0.0)
    other = {"id": "other"}
    assert tuned.thrust(MOTOR.model_copy(update=other)) == pytest.approx(np.hypot(0.05, 0.2))
    assert tuned.thrust(claimed.model_copy(update=other)) == pytest.approx(0.2 * 2**0.5)
    assert dict(assumptions(tuned))["thrust"] == (
        "none for the log's motor, else 28% where it is claimed, 21% where it was measured"
    )


def test_the_same_seed_draws_the_same_days() -> None:
    pairs = (drawn(), drawn(), drawn(seed=2))
    for one, same, other in zip(*map(arrays, pairs), strict=True):
        assert (one == same).all()
        assert not (one == other).any()


def test_every_number_belongs_to_one_unknown() -> None:
    spreads = Spreads(ROUND)
    own = np.concatenate([spreads.columns[unknown] for unknown in UNKNOWNS])
    assert sorted(own.tolist()) == list(range(spreads.width)) == list(range(5 + 1 + 2 + 2))


def test_what_no_law_holds_for_counts_as_where_it_ends() -> None:
    cold = ROUND.model_copy(update={"water": ROUND.water.model_copy(update={"temperature_c": 0.0})})
    cold = cold.model_copy(update={"odds": Odds(temperature_spread_c=15.0)})
    assert drawn(cold).battery_c.min() == -10.0
    fast = LEGS[0].model_copy(update={"current_m_s": 2.9})
    assert drawn(ROUND.model_copy(update={"legs": (fast,)})).current_m_s.max() == 3.0


def test_the_default_is_half_of_the_logarithm_of_four_thirds() -> None:
    assert pytest.approx(log(4 / 3) / 2) == DRAG_SPREAD == Spreads(ROUND).drag
