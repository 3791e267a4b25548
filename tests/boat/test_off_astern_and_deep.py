"""Legs without the motor, places held astern, devices besides, shafts deep and shallow.

Reckoned by hand and asked of tables and proof alike, each so that the sign or the term turned round
fails. The parts are those of ``one_of_each``: thrust is the square of the wind.
"""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from keelwatt.boat.running import Running
from keelwatt.choose.best import choose
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Device, Leg, Mount, Outing
from keelwatt.kits import Types
from keelwatt.proof import LegResult, prove
from oracle.cheap_water import CheapLoadCase, CheapWater
from oracle.one_of_each import CATALOG, KIT, OUTING, with_craft, with_leg, with_part
from proof.reckoned import CHOPPED, assess, broken, limit

KITS = pytest.mark.parametrize("kit", [KIT, CHOPPED], ids=["switch", "chopper"])


def running(outing: Outing, kit: Kit = KIT, catalog: Catalog = CATALOG) -> Running:
    """The tables' side, at the kit's own displacement."""
    proof = CheapWater(outing, catalog)
    chosen, totals = proof.chosen(kit), proof.assess(kit).totals
    parts = chosen.battery, chosen.motor, chosen.controller
    return Running.of_kit(CheapLoadCase(outing), kit, parts, totals.displacement_kg)


def boat_a(outing: Outing, kit: Kit = KIT, catalog: Catalog = CATALOG) -> list[float]:
    run = running(outing, kit, catalog)
    amperes: list[float] = run.on_legs(run.legs.ground_m_s).battery_a[:, 0].tolist()
    return amperes


def proof_legs(outing: Outing, kit: Kit = KIT, catalog: Catalog = CATALOG) -> tuple[LegResult, ...]:
    return assess(kit, outing, catalog).legs


def both_a(outing: Outing, kit: Kit = KIT, catalog: Catalog = CATALOG) -> list[float]:
    """What either says of the one leg's current."""
    (found,), (leg,) = boat_a(outing, kit, catalog), proof_legs(outing, kit, catalog)
    return [found, leg.battery_a]


def twice(value: float, rel: float = 1e-6) -> Any:
    return pytest.approx([value, value], rel=rel, abs=1e-9)


ASTERN = [(3.0, 9 / 0.7), (4.0, 16 / 0.7), (6.0, 36 / 0.7)]
"""Wind from behind in m/s, and what it loads the motor with: 0.7 of its thrust astern."""


def between_steps_a(thrust_n: float) -> float:
    """By the five steps' thrusts and currents on 11.4 V."""
    thrusts, amperes = [0, 4, 16, 36, 64, 90.25], [0, 1.8, 4.2, 8.2, 13.8, 19.05]
    return float(np.interp(thrust_n, thrusts, amperes))


def chopped_a(thrust_n: float) -> float:
    """r = sqrt(T / 100), 12 r V and 1 + 20 r^2 A; / (0.9 * 0.95) / 12 V."""
    ratio = np.sqrt(thrust_n / 100)
    return float(ratio * (1 + 20 * ratio**2) / 0.855)


@pytest.mark.parametrize(("wind", "load_n"), ASTERN)
def test_a_place_is_held_astern_in_a_wind_from_behind(wind: float, load_n: float) -> None:
    """4 m/s: 22.86 N between the 16 and 36 N of steps 2 and 3: 4.2 + 6.86 / 20 * 4 = 5.571 A."""
    behind, ahead = with_leg(headwind_m_s=-wind), with_leg(headwind_m_s=wind)
    assert between_steps_a(16 / 0.7) == pytest.approx(5.571, abs=5e-4)
    assert both_a(behind) == twice(between_steps_a(load_n))
    assert both_a(ahead) == twice(between_steps_a(wind**2))
    assert both_a(behind, CHOPPED) == twice(chopped_a(load_n))
    assert both_a(ahead, CHOPPED) == twice(chopped_a(wind**2))
    (leg,) = proof_legs(behind)
    assert leg.thrust_n == pytest.approx(load_n)


@KITS
def test_a_place_is_held_in_a_stream_from_behind_as_against_one_but_harder(kit: Kit) -> None:
    """The pull is the stream's in either case, the motor's load 1 / 0.7 of it from behind."""
    behind, ahead = (
        with_leg(headwind_m_s=0.0, current_m_s=stream, speed_m_s=0.0) for stream in (-0.9, 0.9)
    )
    (astern,), (forward,) = proof_legs(behind, kit), proof_legs(ahead, kit)
    assert forward.thrust_n > 3.0
    assert (astern.through_m_s, forward.through_m_s) == (0.9, 0.9)
    assert astern.thrust_n == pytest.approx(forward.thrust_n / 0.7)
    assert both_a(behind, kit) == twice(astern.battery_a)
    assert both_a(ahead, kit) == twice(forward.battery_a)
    assert astern.battery_a > 1.1 * forward.battery_a


@KITS
def test_a_boat_under_way_makes_use_of_what_comes_from_behind(kit: Kit) -> None:
    still, wind, stream = (
        both_a(with_leg(speed_m_s=0.8, headwind_m_s=each, current_m_s=water), kit)
        for each, water in ((0.0, 0.0), (-0.5, 0.0), (0.0, -0.4))
    )
    assert max(wind) < min(still)
    assert max(stream) < min(still)


def test_a_wind_from_behind_too_strong_to_be_held_is_refused() -> None:
    """r 0.9183 ahead on a bank nearly empty, 84.3 N; astern 0.7 of it, 59.0 N, 7.68 m/s."""
    for wind, held in ((7.67, True), (7.70, False)):
        outing = with_leg(headwind_m_s=-wind, duration_h=0.1)
        assert ("leg_speed" not in broken(assess(KIT, outing))) is held
        run = running(outing)
        assert bool(run.on_legs(run.legs.ground_m_s).feasible[0, 0]) is held


@pytest.mark.parametrize(("wind", "astern"), [(1.0, False), (5.0, True)])
def test_the_harder_of_ahead_and_astern_is_held(wind: float, astern: bool) -> None:
    """A stream of 0.9 m/s against the boat, wind behind it, neither with any help of the other.

    Astern: 1.43 N, r 0.120, or 35.71 N, r 0.598; 12 r V. Ahead what the stream alone asks.
    """
    (against,) = proof_legs(with_leg(headwind_m_s=0.0, current_m_s=0.9), CHOPPED)
    outing = with_leg(headwind_m_s=-wind, current_m_s=0.9)
    (leg,) = proof_legs(outing, CHOPPED)
    astern_v = 12 * np.sqrt(wind**2 / 70)
    assert bool(astern_v > against.motor_v) is astern
    assert leg.motor_v == pytest.approx(max(against.motor_v, astern_v))
    assert both_a(outing, CHOPPED) == twice(
        chopped_a(wind**2 / 0.7) if astern else against.battery_a
    )


OFF = Leg(name="drift", motor="off", speed_m_s=0.0, duration_h=3.0, headwind_m_s=9.9)
"""In a wind that no motor here would hold."""
SOUNDER = Device(name="sounder", power_w=10.8, duration_h=8.0)
"""10.8 W / (0.9 * 12 V) = 1 A."""


@KITS
def test_with_the_motor_off_only_devices_draw(kit: Kit) -> None:
    """8 h of 1 A, and 5 h of the motor; however hard it blows while the motor is off."""
    outing = OUTING.model_copy(update={"legs": (*OUTING.legs, OFF), "devices": (SOUNDER,)})
    first, drift = proof_legs(outing, kit)
    assert (drift.battery_a, drift.motor_a, drift.charge_ah, drift.motor_v) == (0.0, 0.0, 0.0, 0.0)
    assert boat_a(outing, kit) == pytest.approx([first.battery_a, 0.0])
    run = running(outing, kit)
    assert run.on_legs(run.legs.ground_m_s).feasible.all()
    assessment = assess(kit, outing)
    assert "leg_speed" not in broken(assessment)
    worked_a = first.battery_a + 1.0
    used_ah = 5 * worked_a * max(1.0, worked_a / 5) ** 0.5 + 3 * 1.0
    assert assessment.used_ah == pytest.approx(used_ah)
    day_h, served_h = run.hours_at(run.legs.ground_m_s)
    assert (day_h[0], served_h[0]) == pytest.approx((8.0, 8.0 * 40 / used_ah))
    blown = outing.model_copy(
        update={"legs": (*OUTING.legs, OFF.model_copy(update={"motor": "on"}))}
    )
    assert "leg_speed" in broken(assess(kit, blown))


def test_a_day_without_its_motor_lasts_as_long_as_its_devices_let_it() -> None:
    outing = OUTING.model_copy(update={"legs": (OFF,)})
    assert assess(KIT, outing).used_ah == 0.0
    run = running(outing)
    assert run.hours_at(run.legs.ground_m_s)[1][0] == np.inf
    assert "hours" not in broken(assess(KIT, outing))


def test_devices_make_the_motors_own_amperes_dearer() -> None:
    """5 m/s: 6 A. Apart, 5 h of it count (6 / 5)^0.5, and 5 h of 1 A below the rated current once.

    Together 7 A count (7 / 5)^0.5.
    """
    outing = with_leg(headwind_m_s=5.0).model_copy(
        update={"devices": (SOUNDER.model_copy(update={"duration_h": 5.0}),)}
    )
    together_ah, apart_ah = 5 * 7 * 1.4**0.5, 5 * 6 * 1.2**0.5 + 5
    assert together_ah > apart_ah + 3.0
    assert assess(KIT, outing).used_ah == pytest.approx(together_ah)
    run = running(outing)
    assert run.hours_at(run.legs.ground_m_s)[1][0] == pytest.approx(5 * 40 / together_ah)
    assert prove(CheapWater(outing, CATALOG), KIT).minutes[-1].left_ah == pytest.approx(
        100 - together_ah
    )


def test_a_device_on_half_the_day_draws_half_as_much_all_day() -> None:
    """4 h of the 5 h day: 0.8 A on the mean of the leg, not 1 A for four of them."""
    outing = with_leg(headwind_m_s=5.0).model_copy(
        update={"devices": (SOUNDER.model_copy(update={"duration_h": 4.0}),)}
    )
    used_ah = 5 * 6.8 * (6.8 / 5) ** 0.5
    assert assess(KIT, outing).used_ah == pytest.approx(used_ah)
    run = running(outing)
    assert run.hours_at(run.legs.ground_m_s)[1][0] == pytest.approx(5 * 40 / used_ah)


FAT_M, POD_M = 0.05, 0.1
FAT = with_part("motors", tube_m=FAT_M, pod_m=POD_M)
LOW, HIGH = (Mount(name="transom", x_m=-2.0, y_m=0.0, z_m=z) for z in (0.2, 0.5))


def mounted(*mounts: Mount, speed_m_s: float = 1.2) -> Outing:
    leg = with_leg(speed_m_s=speed_m_s, headwind_m_s=0.0)
    craft = OUTING.craft.model_copy(update={"mounts": mounts, "wind_area_m2": 0.0})
    craft = craft.model_copy(update={"cable_run_m": {("stern", m.name): 2.0 for m in mounts}})
    return leg.model_copy(update={"craft": craft})


def draft_m(displacement_kg: float) -> float:
    """Volume over 4 * 0.9 * (2/3)^2 m2; water of 25 degC: 997.05 kg/m3 (ITTC)."""
    return displacement_kg / 997.05 / (4 * 0.9 * 4 / 9)


def drag_n(mount: Mount, displacement_kg: float, speed_m_s: float = 1.2) -> float:
    """Hoerner: 1.2 on the wet tube, 0.2 on the pod's disc, 0.24 on the tube's diameter squared."""
    wet_m = draft_m(displacement_kg) - (mount.z_m - 0.76)
    area = 1.2 * FAT_M * wet_m + 0.2 * np.pi / 4 * POD_M**2 + 0.24 * FAT_M**2
    return float(0.5 * 997.05 * speed_m_s**2 * area)


@KITS
@pytest.mark.parametrize("mount", [LOW, HIGH], ids=["low", "high"])
def test_shaft_and_pod_are_pulled_through_the_water_as_deep_as_they_hang(
    kit: Kit, mount: Mount
) -> None:
    """0.76 m of shaft from 0.5 m above the keel: 0.26 m below it, and the draft besides."""
    outing = mounted(mount)
    proof = assess(kit, outing, FAT)
    (fat,), (bare,) = proof.legs, proof_legs(outing, kit)
    expected = drag_n(mount, proof.totals.displacement_kg)
    assert fat.thrust_n - bare.thrust_n == pytest.approx(expected, rel=1e-4)
    fat_run, run = running(outing, kit, FAT), running(outing, kit)
    found = [each.on_legs(each.legs.ground_m_s).thrust_n[0, 0] for each in (fat_run, run)]
    assert found[0] - found[1] == pytest.approx(expected, rel=1e-4)


def test_turned_across_a_motor_leans_the_boat_by_its_own_drag_too() -> None:
    """Loaded to the plate, 230 kg: half the draft and 0.26 m are the arm. The stiffness is 83.862
    kg m of the proof's own test, and the motor's 5 kg stand 0.1 m higher than there.
    """
    outing = mounted(HIGH, speed_m_s=0.8)
    leaning_kg_m = drag_n(HIGH, 230.0, 0.8) * (draft_m(230.0) / 2 + 0.26) / 9.80665

    def turned(catalog: Catalog) -> list[float]:
        search = Search(CheapLoadCase(outing), replace(catalog, controllers=()))
        pick = search.best(Question("cost"))
        assert pick is not None
        proved = limit("turn_heel", assess(pick.block.kit(pick.row), outing, catalog)).has
        of_tables = pick.block.angle_rad("turn_heel", np.array([pick.row]))[0]
        return [float(np.tan(lean)) for lean in (np.radians(proved), of_tables)]

    steps = [fat - bare for fat, bare in zip(turned(FAT), turned(CATALOG), strict=True)]
    assert steps == twice(leaning_kg_m / (83.862 - 5.6 * 0.1), rel=1e-4)


def test_a_higher_mount_wets_less_shaft_and_takes_less() -> None:
    """0.3 m less of tube at 1.2 m/s: 0.5 * 997.05 * 1.44 * 1.2 * 0.05 * 0.3 = 12.92 N."""
    low, high = (mounted(mount) for mount in (LOW, HIGH))
    (low_leg,), (high_leg,) = proof_legs(low, KIT, FAT), proof_legs(high, KIT, FAT)
    assert low_leg.thrust_n - high_leg.thrust_n == pytest.approx(12.92, abs=5e-3)
    assert low_leg.battery_a > 1.2 * high_leg.battery_a
    assert both_a(low, KIT, FAT) == twice(low_leg.battery_a)
    assert both_a(high, KIT, FAT) == twice(high_leg.battery_a)


def test_a_heavier_boat_wets_more_shaft() -> None:
    """100 kg more: 0.0627 m deeper, 2.7 N of tube."""
    outing = mounted(HIGH)
    deep = outing.model_copy(
        update={"aboard": (outing.aboard[0].model_copy(update={"mass_kg": 180.0}),)}
    )
    proofs = [assess(KIT, each, FAT) for each in (outing, deep)]
    bare = [proof_legs(each)[0].thrust_n for each in (outing, deep)]
    more = [proof.legs[0].thrust_n - light for proof, light in zip(proofs, bare, strict=True)]
    kilograms = [proof.totals.displacement_kg for proof in proofs]
    assert more == pytest.approx([drag_n(HIGH, kg) for kg in kilograms], rel=1e-4)
    assert more[1] - more[0] == pytest.approx(2.70, abs=5e-3)
    assert both_a(deep, KIT, FAT) == twice(proofs[1].legs[0].battery_a)


def test_a_shaft_that_ends_above_the_water_drags_by_its_pod_alone() -> None:
    """Hung 1.2 m above the keel: no length below zero, which would push."""
    outing = mounted(Mount(name="transom", x_m=-2.0, y_m=0.0, z_m=1.2))
    area = 0.2 * np.pi / 4 * POD_M**2 + 0.24 * FAT_M**2
    (fat,), (bare,) = proof_legs(outing, KIT, FAT), proof_legs(outing)
    assert fat.thrust_n - bare.thrust_n == pytest.approx(0.5 * 997.05 * 1.44 * area, rel=1e-4)
    assert both_a(outing, KIT, FAT) == twice(fat.battery_a)


def test_two_mounts_of_two_heights_are_two_types_of_drive() -> None:
    """The tables tell them apart, and each goes with its own mount alone."""
    stern, side = LOW, HIGH.model_copy(update={"name": "side"})
    types = Types(CheapLoadCase(mounted(stern, side)), replace(FAT, controllers=()))
    assert types.drive["hung_m"].tolist() == [0.2, 0.5]
    assert types.hangs.tolist() == [[True, False], [False, True]]
    grams = np.array([140_000, 140_000])
    run = types.day.running(np.zeros(2, dtype=int), np.arange(2), grams)
    thrust_n = run.on_legs(run.legs.ground_m_s).thrust_n[0]
    assert thrust_n[0] - thrust_n[1] == pytest.approx(12.92, abs=5e-3)
    same = Types(
        CheapLoadCase(mounted(stern, stern.model_copy(update={"name": "port"}))),
        replace(FAT, controllers=()),
    )
    assert same.hangs.tolist() == [[True, True]]


def test_the_kit_hangs_its_motor_where_that_costs_the_least_charge() -> None:
    """Of two mounts alike but for their height only the high one lets the bank last the day."""
    stern, side = LOW, HIGH.model_copy(update={"name": "side"})
    outing = mounted(stern, side)
    catalog = replace(FAT, controllers=())
    hours = {
        kit.mount: assess(kit, outing, catalog).hours_at_limit * 5.0
        for kit in (KIT, replace(KIT, mount="side"))
    }
    between = sum(hours.values()) / 2
    assert hours["side"] > between > hours["transom"]
    longer = outing.model_copy(
        update={"legs": (outing.legs[0].model_copy(update={"duration_h": between}),)}
    )
    choice = choose(Search(CheapLoadCase(longer), catalog), "cost")
    assert choice.kit is not None
    assert choice.kit.mount == "side"


def test_a_waterplane_fuller_than_the_ends_steadies_the_boat() -> None:
    """I_T / (B^3 L / 12): 0.4571 at 2, 0.5786 at 3, 0.6564 at 4; I_L as p / (p + 3)."""
    shares = {2: 0.4571, 3: 0.5786, 4: 0.6564}
    box_m4 = 0.9**3 * 4 / 12
    for fineness, share in shares.items():
        case = CheapLoadCase(with_craft(waterplane_fineness=fineness))
        stiffness = case.waterplane_stiffness_kg_m / case.density_kg_m3
        assert stiffness == pytest.approx(share * box_m4, rel=2e-4)
        lengthwise = 0.9 * 4**3 * fineness / (12 * (fineness + 3))
        assert case.trim_stiffness_kg_m / case.density_kg_m3 == pytest.approx(lengthwise)
        limits = {one.name: one.has for one in assess(KIT, case.outing).limits}
        trim = np.degrees(np.arctan(31.2 / (case.density_kg_m3 * lengthwise)))
        assert limits["trim"] == pytest.approx(trim, rel=1e-6)
        rising = 110.758 - 83.862
        standing = case.density_kg_m3 * share * box_m4 - rising
        assert limits["stability"] == pytest.approx(standing / 135.6, rel=5e-4)
