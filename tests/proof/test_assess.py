"""Sums, legs and wishes of kits reckoned by hand; the arithmetic stands in each test.

The outing of ``one_of_each``: thrust is the square of the wind, 100 N at full throttle, so the
shaft turns at a tenth of the wind's figure in m/s.
"""

from dataclasses import replace

import pytest

from keelwatt.files.outing import Device, Parts
from keelwatt.proof import Assessor
from oracle.enumeration import sound_kits
from oracle.one_of_each import KIT, OUTING, with_leg, with_limits, with_part
from oracle.random_cases import random_case
from proof.reckoned import CHOPPED, assess, broken, limit


def test_sums() -> None:
    """20 + 5 kg, two conductors of 2 m at 0.1 kg/m, 0.1 + 0.1 kg; 110 kg of craft and paddler.

    200 + 100 + 4 m * 2.50 + 10 + 15; a fifth of 200 and a tenth of 135 a season.
    """
    totals = assess().totals
    assert totals.mass_g == 20000 + 5000 + 400 + 100 + 100
    assert totals.displacement_g == 110000 + 25600
    assert totals.price_cents == 20000 + 10000 + 1000 + 1000 + 1500
    assert totals.season_cents == 4000 + 1350
    assert totals.displacement_kg == pytest.approx(135.6)


def test_sums_with_controller_and_charger() -> None:
    """The charger stays ashore: price, no mass."""
    totals = assess(replace(CHOPPED, charger="charger")).totals
    assert totals.mass_g == 25600 + 500
    assert totals.price_cents == 33500 + 5000 + 6000


def test_what_is_owned_is_not_paid_for() -> None:
    parts = Parts(own=("battery", "cable", "charger"), own_pieces={"battery": 1})
    outing = OUTING.model_copy(update={"parts": parts})
    totals = assess(replace(KIT, charger="charger"), outing).totals
    assert totals.price_cents == 10000 + 1000 + 1500
    assert totals.season_units == 125000
    assert assess(replace(KIT, parallel=2), outing).totals.price_cents == 20000 + 12500


def test_a_stepped_leg() -> None:
    """4 m/s: 16 N, r 0.4, the second step of five; 1 + 20 * 0.16 = 4.2 A for 5 h."""
    (leg,) = assess().legs
    assert leg.thrust_n == pytest.approx(16.0)
    assert leg.shaft_ratio == pytest.approx(0.4)
    assert leg.motor_a == leg.battery_a == pytest.approx(4.2)
    assert leg.charge_ah == pytest.approx(21.0)


def test_between_two_steps_the_faster_one_runs() -> None:
    """4.1 m/s: r 0.41, step 0.6; 1 + 20 * 0.36 = 8.2 A, and Peukert's (8.2 * 20 / 100)^0.5."""
    (leg,) = assess(outing=with_leg(headwind_m_s=4.1)).legs
    assert leg.battery_a == pytest.approx(8.2)
    assert leg.charge_ah == pytest.approx(5 * 8.2 * 1.64**0.5)


def test_a_chopped_leg() -> None:
    """0.4 * 12 V * 4.2 A = 20.16 W; / (0.9 * 0.95) = 23.579 W; / 12 V = 1.9649 A."""
    (leg,) = assess(CHOPPED).legs
    assert leg.motor_a == pytest.approx(4.2)
    assert leg.battery_a == pytest.approx(20.16 / 0.855 / 12)
    assert leg.charge_ah == pytest.approx(5 * 1.9649, abs=5e-4)


def test_two_strings_share_the_current() -> None:
    """7 m/s: r 0.7, step 0.8, 1 + 20 * 0.64 = 13.8 A: 6.9 A a string, (6.9 * 20 / 100)^0.5."""
    catalog = with_part("batteries", max_parallel=2)
    outing = with_leg(headwind_m_s=7.0, duration_h=1.0)
    assessment = assess(replace(KIT, parallel=2), outing, catalog)
    assert assessment.legs[0].charge_ah == pytest.approx(2 * 6.9 * 1.38**0.5)
    assert assessment.usable_ah == pytest.approx(80.0)


def test_hours() -> None:
    """100 Ah * 0.5 * (1 - 0.2) = 40 Ah over 21 Ah, times 5 h."""
    hours = limit("hours", assess())
    assert (hours.needs, hours.sense) == (5.0, "at least")
    assert hours.has == pytest.approx(5 * 40 / 21)
    assert assess().hours_at_limit == pytest.approx(40 / 21)
    assert broken(assess(outing=with_leg(duration_h=9.6))) == ["hours"]


def test_devices_take_their_share() -> None:
    """10.8 W / (0.9 * 12 V) = 1 A for 3 h."""
    device = Device(name="sounder", power_w=10.8, duration_h=3.0)
    assessment = assess(outing=OUTING.model_copy(update={"devices": (device,)}))
    assert assessment.device_ah == pytest.approx(3.0)
    assert assessment.used_ah == pytest.approx(24.0)
    assert limit("bank_current", assessment).needs == pytest.approx(21.0 + 1.0)


def test_a_following_wind_and_no_water_speed_ask_for_nothing_but_idling() -> None:
    """Thrust 0: the control is off, the motor still takes its no-load current (safe side)."""
    (leg,) = assess(outing=with_leg(headwind_m_s=-4.0)).legs
    assert (leg.thrust_n, leg.shaft_ratio) == (0.0, 0.0)
    assert leg.battery_a == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("update", "name", "needs", "has"),
    [
        ({"budget_cents": 33500}, "budget", 335.0, 335.0),
        ({"budget_cents": 33499}, "budget", 334.99, 335.0),
        ({"season_cents": 5350}, "season", 53.5, 53.5),
        ({"season_cents": 5349}, "season", 53.49, 53.5),
        ({"kit_mass_kg": 25.6}, "kit_mass", 25.6, 25.6),
        ({"kit_mass_kg": 25.5999}, "kit_mass", 25.599, 25.6),
        ({"lift_kg": 20.0}, "lift", 20.0, 20.0),
        ({"lift_kg": 19.999}, "lift", 19.999, 20.0),
    ],
)
def test_money_and_mass_to_the_cent_and_the_gram(
    update: dict[str, float], name: str, needs: float, has: float
) -> None:
    assessment = assess(outing=with_limits(**update))
    found = limit(name, assessment)
    assert (found.needs, found.has) == pytest.approx((needs, has))
    assert broken(assessment) == ([name] if has > needs else [])


def test_leg_speed() -> None:
    """9.4 m/s: r 0.94 of the 0.95 left by the drop; 9.6 m/s: 0.96."""
    assert "leg_speed" not in broken(assess(outing=with_leg(headwind_m_s=9.4)))
    assert "leg_speed" in broken(assess(outing=with_leg(headwind_m_s=9.6)))


def test_a_chopper_may_not_draw_more_than_its_harness_carries() -> None:
    """9.49 m/s: r 0.949, I 19.012 A, 0.949 * 12 * 19.012 / 0.855 / 12 = 21.10 A of 21 A.

    9.4 m/s: r 0.94, I 18.672 A, 20.53 A. Stepped, the current never passes 21 A.
    """
    strong = with_leg(headwind_m_s=9.49)
    assert "leg_speed" in broken(assess(CHOPPED, strong))
    assert "leg_speed" not in broken(assess(KIT, strong))
    assert "leg_speed" not in broken(assess(CHOPPED, with_leg(headwind_m_s=9.4)))


def test_top_speed_is_through_calm_water_and_still_air() -> None:
    """The leg's wind of 9.4 m/s leaves the top speed alone; 3 m/s is the no-thrust speed."""
    windy = with_leg(headwind_m_s=9.4)
    slow, fast = (
        windy.model_copy(update={"limits": with_limits(top_speed_m_s=top).limits})
        for top in (1.0, 3.0)
    )
    top = limit("top_speed", assess(outing=slow))
    assert top.holds
    assert 1.0 < top.has < 3.0
    assert "top_speed" in broken(assess(outing=fast))
    assert limit("top_speed", assess(outing=fast)).has == pytest.approx(top.has)


def test_recharge() -> None:
    """40 Ah / (0.9 * 8 A) = 5.556 h and 6 h of slow end."""
    kit = replace(KIT, charger="charger")
    told = limit("recharge", assess(kit, with_limits(recharge_within_h=11.6)))
    assert told.has == pytest.approx(5 / 0.9 + 6)
    assert broken(assess(kit, with_limits(recharge_within_h=11.5))) == ["recharge"]
    assert broken(assess(KIT, with_limits(recharge_within_h=99.0))) == ["recharge"]


@pytest.mark.parametrize("seed", range(12))
def test_the_top_speed_shown_is_where_the_proof_begins_to_refuse(seed: int) -> None:
    """A speed a thousandth lower is kept as a limit, one as much higher is not: rungs are finer."""
    case = random_case(seed)
    kit = next(sound_kits(case.outing, case.catalog))
    top = case.load_case.outing.limits.model_copy(update={"top_speed_m_s": 1.0})
    at_one = Assessor(case.outing.model_copy(update={"limits": top}), case.catalog)
    reached = limit("top_speed", at_one.assess(kit)).has
    for share, kept in ((1 - 1 / 1000, True), (1 + 1 / 1000, False)):
        limits = top.model_copy(update={"top_speed_m_s": share * reached})
        outing = case.outing.model_copy(update={"limits": limits})
        shown = limit("top_speed", Assessor(outing, case.catalog).assess(kit))
        assert shown.holds is kept
