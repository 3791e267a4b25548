"""Sums, legs and wishes of kits reckoned by hand; the arithmetic stands in each test.

The outing of ``one_of_each``: thrust is the square of the wind, 100 N at full throttle, so the
shaft turns at a tenth of the wind's figure in m/s.
"""

from dataclasses import replace

import pytest

from keelwatt.files.kit import Kit
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
    """The charger stays ashore: price, no mass. Its inlet is aboard.

    0.45 m of red and as much of black, each cut from a metre at 2.50; 0.1 kg/m. No part of the
    catalog is a fuse for 8 A, or an inlet: 50 and 80 g from memory, and no price.
    """
    totals = assess(replace(CHOPPED, charger="charger")).totals
    assert totals.mass_g == 25600 + 500 + 2 * 45 + 50 + 80
    assert totals.price_cents == 33500 + 5000 + 6000 + 2 * 250
    assert totals.beside_bank_g == 220


def test_what_is_owned_is_not_paid_for() -> None:
    parts = Parts(own=("battery", "cable", "charger"), own_pieces={"battery": 1})
    outing = OUTING.model_copy(update={"parts": parts})
    totals = assess(replace(KIT, charger="charger"), outing).totals
    assert totals.price_cents == 10000 + 1000 + 1500
    assert totals.season_units == 125000
    strings = 2 * 1000
    both = assess(replace(KIT, parallel=2), outing).totals
    assert both.price_cents == 20000 + 12500 + strings


def test_joining_two_in_parallel_by_hand() -> None:
    """Two batteries of 30 by 17 cm side by side are 30 by 34 cm.

    Their leads are 0.15 m and half of 64 cm and 10 cm, 0.42 m: red and black come to 2 m and
    1.14 m, 4 m each at 2.50 and 314 g each. Two string fuses of 40 A more; two bars
    for 80 A, unpriced, 200 g each.
    """
    wide = OUTING.craft.compartments[0].model_copy(update={"width_m": 0.5})
    craft = OUTING.craft.model_copy(update={"compartments": (wide,)})
    outing = OUTING.model_copy(update={"craft": craft})
    assessment = assess(replace(KIT, parallel=2), outing)
    totals = assessment.totals
    assert totals.price_cents == 40000 + 10000 + 3 * 1000 + 1500 + 2 * 4 * 250
    assert totals.mass_g == 40000 + 5000 + 3 * 100 + 100 + 2 * 314 + 2 * 200
    assert assessment.bill
    assert assessment.bill.price_cents == totals.price_cents
    assert assessment.bill.unpriced == ("Covered bus bar for 4 lugs, at least 80 A",)
    typical = outing.model_copy(
        update={"policy": outing.policy.model_copy(update={"typical_prices": True})}
    )
    bill = assess(replace(KIT, parallel=2), typical).bill
    assert bill
    assert (bill.price_cents, bill.typical_cents) == (totals.price_cents + 3000, 3000)
    assert bill.unpriced == ()


def test_a_stepped_leg() -> None:
    """4 m/s: 16 N, r 0.4, the second step of five; 1 + 20 * 0.16 = 4.2 A for 5 h."""
    (leg,) = assess().legs
    assert leg.thrust_n == pytest.approx(16.0)
    assert leg.shaft_ratio == pytest.approx(0.4)
    assert leg.motor_a == leg.battery_a == pytest.approx(4.2)
    assert leg.charge_ah == pytest.approx(21.0)


def test_between_two_steps_both_run_in_turn() -> None:
    """5 m/s: 25 N, 9/20 of the way from the 16 N of step 2 to the 36 N of step 3.

    4.2 + 9/20 * (8.2 - 4.2) = 6 A, and Peukert's (6 * 20 / 100)^0.5; r 0.5 would do with 6 A too,
    and with no more than 6 V.
    """
    (leg,) = assess(outing=with_leg(headwind_m_s=5.0)).legs
    assert leg.shaft_ratio == pytest.approx(0.5)
    assert leg.motor_v == pytest.approx(6.0)
    assert leg.battery_a == leg.motor_a == pytest.approx(6.0)
    assert leg.charge_ah == pytest.approx(5 * 6 * 1.2**0.5)
    assert leg.throttle is None
    assert leg.steps is not None
    assert leg.steps[:2] == (2, 3)
    assert leg.steps[2] == pytest.approx(9 / 20)


def test_below_the_lowest_step_the_switch_goes_off_and_on() -> None:
    """1 m/s: 1 N, a quarter of the 4 N of step 1, so a quarter of its 1.8 A."""
    (leg,) = assess(outing=with_leg(headwind_m_s=1.0)).legs
    assert leg.steps is not None
    assert leg.steps[:2] == (0, 1)
    assert leg.steps[2] == pytest.approx(0.25)
    assert leg.battery_a == pytest.approx(0.45)


def test_a_chopped_leg() -> None:
    """0.4 * 12 V * 4.2 A = 20.16 W; / (0.9 * 0.95) = 23.579 W; / 12 V = 1.9649 A.

    4.8 V of the 11.4 V that the cable leaves: throttle 0.42.
    """
    (leg,) = assess(CHOPPED).legs
    assert leg.throttle == pytest.approx(4.8 / 11.4)
    assert leg.steps is None
    assert leg.motor_a == pytest.approx(4.2)
    assert leg.battery_a == pytest.approx(20.16 / 0.855 / 12)
    assert leg.charge_ah == pytest.approx(5 * 1.9649, abs=5e-4)


def test_two_strings_share_the_current() -> None:
    """7 m/s: 49 N, 13/28 of the way from 36 N, 8.2 A to 64 N, 13.8 A: 10.8 A.

    5.4 A a string, (5.4 * 20 / 100)^0.5.
    """
    catalog = with_part("batteries", max_parallel=2)
    outing = with_leg(headwind_m_s=7.0, duration_h=1.0)
    assessment = assess(replace(KIT, parallel=2), outing, catalog)
    assert assessment.legs[0].charge_ah == pytest.approx(2 * 5.4 * 1.08**0.5)
    assert assessment.usable_ah == pytest.approx(80.0)


def test_hours() -> None:
    """100 Ah * 0.5 * (1 - 0.2) = 40 Ah over 21 Ah, times 5 h."""
    hours = limit("hours", assess())
    assert (hours.needs, hours.sense) == (5.0, "at least")
    assert hours.has == pytest.approx(5 * 40 / 21)
    assert assess().hours_at_limit == pytest.approx(40 / 21)
    assert broken(assess(outing=with_leg(duration_h=9.6))) == ["hours"]


def test_devices_take_their_share() -> None:
    """10.8 W / (0.9 * 12 V) = 1 A for 3 h; 0.6 A over the leg's 5 h, with 4.2 A below the rate."""
    device = Device(name="sounder", power_w=10.8, duration_h=3.0)
    assessment = assess(outing=OUTING.model_copy(update={"devices": (device,)}))
    assert assessment.device_ah == pytest.approx(3.0)
    assert assessment.used_ah == pytest.approx(24.0)
    assert limit("bank_current", assessment).needs == pytest.approx(23.5 + 1.0)


def test_devices_and_motor_draw_together() -> None:
    """6 A of motor and 1 A of sounder for 5 h: 5 * 7 * (7 * 20 / 100)^0.5, 8.5 Ah of it for 1 A.

    6 h of it: the last hour alone, below the rated current.
    """
    windy = with_leg(headwind_m_s=5.0)
    for hours, alone_ah in ((5.0, 0.0), (6.0, 1.0)):
        device = Device(name="sounder", power_w=10.8, duration_h=hours)
        assessment = assess(outing=windy.model_copy(update={"devices": (device,)}))
        assert assessment.used_ah == pytest.approx(5 * 7 * 1.4**0.5 + alone_ah)
        assert assessment.device_ah == pytest.approx(5 * 7 * 1.4**0.5 - 5 * 6 * 1.2**0.5 + alone_ah)


@pytest.mark.parametrize("kit", [KIT, CHOPPED])
@pytest.mark.parametrize("wind", [0.0, -4.0])
def test_where_no_thrust_is_asked_the_motor_is_off(kit: Kit, wind: float) -> None:
    """Drifting with a stream of 0.5 m/s, the wind at most as fast."""
    drifting = with_leg(speed_m_s=0.5, current_m_s=-0.5, headwind_m_s=wind - 0.5)
    (leg,) = assess(kit, drifting).legs
    assert (leg.thrust_n, leg.shaft_ratio, leg.motor_v) == (0.0, 0.0, 0.0)
    assert (leg.motor_a, leg.battery_a, leg.charge_ah) == (0.0, 0.0, 0.0)
    assert (leg.throttle, leg.steps) == (None, None)


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
    """Of 11.6 V near the day's end (from memory) the drop leaves 11.02 V: r 0.9183."""
    assert "leg_speed" not in broken(assess(outing=with_leg(headwind_m_s=9.18)))
    assert "leg_speed" in broken(assess(outing=with_leg(headwind_m_s=9.19)))


def test_a_chopper_may_not_draw_more_than_its_harness_carries() -> None:
    """Full, the bank has 12.7 V: r 1.0583, 1 + 20 r^2 = 23.40 A, 23.5 A in tenths.

    Chopper of 0.7: 9 m/s: r 0.9, 17.2 A, 0.9 * 17.2 / (0.7 * 0.95) = 23.28 A; 9.1 m/s: r 0.91,
    17.562 A, 24.03 A. On the switch the current is the motor's.
    """
    poor = with_part("controllers", efficiency=0.7)
    for wind, within in ((9.0, True), (9.1, False)):
        strong = with_leg(headwind_m_s=wind)
        assert ("leg_speed" not in broken(assess(CHOPPED, strong, poor))) is within
        assert "leg_speed" not in broken(assess(KIT, strong, poor))


def test_top_speed_is_through_calm_water_and_still_air() -> None:
    """The leg's wind of 9 m/s leaves the top speed alone; 3 m/s is the no-thrust speed."""
    windy = with_leg(headwind_m_s=9.0)
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


@pytest.mark.parametrize("seed", range(11))
def test_the_top_speed_shown_is_where_the_proof_begins_to_refuse(seed: int) -> None:
    """A speed a two-thousandth lower is kept as a limit, one as much higher is not."""
    case = random_case(seed)
    kit = next(sound_kits(case.outing, case.catalog))
    top = case.load_case.outing.limits.model_copy(update={"top_speed_m_s": 1.0})
    at_one = Assessor(case.outing.model_copy(update={"limits": top}), case.catalog)
    reached = limit("top_speed", at_one.assess(kit)).has
    for share, kept in ((1 - 1 / 2000, True), (1 + 1 / 2000, False)):
        limits = top.model_copy(update={"top_speed_m_s": share * reached})
        outing = case.outing.model_copy(update={"limits": limits})
        shown = limit("top_speed", Assessor(outing, case.catalog).assess(kit))
        assert shown.holds is kept
