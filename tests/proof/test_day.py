"""The simulated day against closed form: charge per leg is hours times current, and Peukert."""

from dataclasses import replace
from itertools import pairwise

import pytest

from keelwatt.files.kit import Kit
from keelwatt.files.outing import Device, Leg, Outing
from keelwatt.physics.cable import resistance_ohm_m
from keelwatt.proof import Proof, prove
from oracle.cheap_water import CheapWater
from oracle.one_of_each import CABLE, CATALOG, KIT, OUTING, with_leg, with_limits

CHOPPED = replace(KIT, controller="controller")
OHM_M = 2 * float(resistance_ohm_m(area_mm2=CABLE.area_mm2))
"""Both conductors of a metre of run."""
CONTACTS_OHM = 0.003
"""From memory."""


def proof(kit: Kit = KIT, outing: Outing = OUTING) -> Proof:
    return prove(CheapWater(outing, CATALOG), kit)


def with_day(*legs: Leg, devices: tuple[Device, ...] = ()) -> Outing:
    return OUTING.model_copy(update={"legs": legs, "devices": devices})


def hold(name: str, wind_m_s: float, hours: float) -> Leg:
    return Leg(name=name, speed_m_s=0.0, duration_h=hours, headwind_m_s=wind_m_s)


def test_a_stepped_day() -> None:
    """4.2 A for 5 h from 100 Ah, 60 Ah of which must stay; 4.2 A through 2 m of cable."""
    day = proof()
    (end,) = day.leg_ends
    assert (day.full_ah, day.keep_ah) == pytest.approx((100.0, 60.0))
    assert end.leg == "hold"
    assert end.at_h == pytest.approx(5.0)
    assert end.left_ah == pytest.approx(100 - 21)
    assert end.left_share == pytest.approx(0.79)
    assert end.battery_a == pytest.approx(4.2)
    assert end.drop_v == pytest.approx(4.2 * (2 * OHM_M + CONTACTS_OHM))
    assert len(day.minutes) == 300
    assert day.holds
    assert day.failures == ()


def test_legs_one_after_the_other() -> None:
    """7 m/s: 49 N between 36 and 64 N, 8.2 and 13.8 A: 10.8 A, 2.16 times the rated current.

    4 m/s: 4.2 A, below it.
    """
    day = proof(outing=with_day(hold("out", 7.0, 0.5), hold("home", 4.0, 2.0)))
    first, second = day.leg_ends
    assert first.left_ah == pytest.approx(100 - 0.5 * 10.8 * 2.16**0.5)
    assert second.left_ah == pytest.approx(first.left_ah - 2 * 4.2)
    assert second.at_h == pytest.approx(2.5)
    assert day.holds


def test_a_leg_that_ends_within_a_minute() -> None:
    """0.51 h are 30 minutes and 36 seconds: 31 steps, the last the shortest."""
    day = proof(outing=with_leg(duration_h=0.51))
    assert len(day.minutes) == 31
    assert day.minutes[-1].at_h == pytest.approx(0.51)
    assert day.minutes[-1].left_ah == pytest.approx(100 - 0.51 * 4.2)


def test_a_chopper_holds_the_power() -> None:
    """P = 0.4 * 12 * 4.2 / 0.9 = 22.4 W = (12 V - I * R) * I."""
    (end,) = proof(CHOPPED).leg_ends
    assert end.battery_a * (12.0 - end.drop_v) == pytest.approx(22.4)
    assert end.drop_v == pytest.approx(end.battery_a * (2 * OHM_M + CONTACTS_OHM))
    assert end.left_ah == pytest.approx(100 - 5 * end.battery_a)


def test_a_chopper_with_all_of_the_allowed_drop_draws_what_was_assessed() -> None:
    """A run on which the leg's own current drops 5 % of 12 V."""
    (assessed,) = CheapWater(OUTING, CATALOG).assess(CHOPPED).legs
    run_m = (0.6 / assessed.battery_a - CONTACTS_OHM) / OHM_M
    (end,) = proof(replace(CHOPPED, run_m=run_m)).leg_ends
    assert end.drop_v == pytest.approx(0.6)
    assert end.battery_a == pytest.approx(assessed.battery_a)


@pytest.mark.parametrize("run_m", [0.5, 2.0, 5.9])
def test_a_chopper_within_the_allowed_drop_draws_no_more_than_assessed(run_m: float) -> None:
    day = proof(replace(CHOPPED, run_m=run_m))
    assert day.leg_ends[0].battery_a < day.assessment.legs[0].battery_a
    assert day.leg_ends[0].left_ah > day.full_ah - day.assessment.used_ah


def test_devices_run_from_the_start_of_the_day_and_on_after_the_legs() -> None:
    """10.8 W are 1 A: 3 h within the leg; 2.16 W are 0.2 A: 8 h, 3 of them ashore.

    On the mean of the leg they add 0.8 A to the motor's 4.2 A: no more than the rated 5 A.
    """
    devices = (
        Device(name="sounder", power_w=10.8, duration_h=3.0),
        Device(name="logger", power_w=2.16, duration_h=8.0),
    )
    day = proof(outing=OUTING.model_copy(update={"devices": devices}))
    leg, after = day.leg_ends
    assert leg.left_ah == pytest.approx(100 - 21 - 3 * 1.0 - 5 * 0.2)
    assert after.at_h == pytest.approx(8.0)
    assert (after.battery_a, after.drop_v) == (0.0, 0.0)
    assert after.left_ah == pytest.approx(leg.left_ah - 3 * 0.2)
    assert after.left_ah == pytest.approx(day.full_ah - day.assessment.used_ah)


def test_the_bank_never_gains() -> None:
    left = [minute.left_ah for minute in proof().minutes]
    assert all(later < earlier for earlier, later in pairwise(left))


def test_a_bank_too_small_is_reported_with_the_minute() -> None:
    """40 Ah at 4.2 A last 9.5238 h: 9 h 31.4 min, so the 572nd minute is the first too many."""
    day = proof(outing=with_leg(duration_h=12.0))
    assert not day.holds
    (failure,) = day.failures
    assert failure.startswith("9.53 h into the day, on 'hold', the bank is down to 60.0 Ah")
    assert "reserve 60.0 Ah" in failure


def test_a_leg_beyond_what_the_cable_leaves_is_reported() -> None:
    """9.9 m/s: 0.99 of 12 V. Full setting: 19.05 A at 0.95; 12 m of run drop 0.98 V of 11.6 V."""
    outing = with_leg(headwind_m_s=9.9, duration_h=0.2)
    day = proof(replace(KIT, run_m=12.0), outing)
    assert day.failures == (
        "leg 'hold' asks for 11.9 V at the motor; near the end of the day, after the wiring's "
        "drop, it has 10.6 V",
    )


def test_a_kit_that_breaks_a_limit_does_not_hold_though_its_day_goes_well() -> None:
    day = proof(outing=with_limits(budget_cents=100))
    assert day.failures == ()
    assert not day.holds
