"""Rules of the wiring and the charger at their bounds, by hand: what tables let into a choice.

The parts are those of ``one_of_each``: a motor of 23.5 A on the full bank, 8 AWG that carries 80 A
at 105 degC (33 CFR 183.425, table 5), a battery of 12 V and 40 Ah for the day.
"""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from keelwatt.choose.best import choose
from keelwatt.choose.search import Search
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Box, Outing
from keelwatt.kits import Ground, Types
from keelwatt.kits.pairs import lightest_g
from keelwatt.proof import prove
from oracle.cheap_water import CheapLoadCase, CheapWater
from oracle.one_of_each import (
    BATTERY,
    CABLE,
    CATALOG,
    CHARGER,
    CONNECTOR,
    FUSE,
    KIT,
    MOTOR,
    OUTING,
    with_craft,
    with_leg,
    with_limits,
    with_part,
)
from proof.reckoned import CHOPPED, assess, broken, limit

CHARGED = replace(KIT, charger="charger")


def chosen(catalog: Catalog, outing: Outing = OUTING) -> Kit | None:
    return choose(Search(CheapLoadCase(outing), catalog), "cost").kit


@pytest.mark.parametrize(
    ("kind", "update", "rule"),
    [
        ("fuses", {"rating_a": 80.0}, None),
        ("fuses", {"rating_a": 79.0}, None),
        ("fuses", {"rating_a": 80.1}, "ampacity"),
        ("fuses", {"rating_a": 25.85}, None),
        ("fuses", {"rating_a": 25.8}, "protection"),
        ("fuses", {"max_voltage_v": 14.4}, None),
        ("fuses", {"max_voltage_v": 14.3}, "fuse_voltage"),
        ("fuses", {"interrupts_a": 2000.0}, None),
        ("fuses", {"interrupts_a": 1999.0}, "interrupting"),
        ("connectors", {"current_a": 23.5}, None),
        ("connectors", {"current_a": 23.4}, "connector_rating"),
        ("cables", {"size": "6.0 mm2"}, None),
        ("cables", {"size": "5.2 mm2"}, "connector_size"),
        ("cables", {"size": "13.4 mm2"}, "connector_size"),
    ],
)
def test_a_bound_itself_is_kept_and_beyond_it_there_is_no_kit(
    kind: str, update: dict[str, Any], rule: str | None
) -> None:
    """Fuses from 1.1 * 23.5 A to 80 A; 2000 A of fault; 10 AWG is 5.26 mm2, 6 AWG 13.30 mm2.

    Lead-acid of 12 V is charged at 14.4 V.
    """
    catalog = with_part(kind, **update)
    assert (chosen(catalog) is not None) is (rule is None)
    assert broken(assess(catalog=catalog)) == ([rule] if rule else [])


def test_a_cheaper_fuse_too_small_is_not_taken_where_a_larger_is_sold() -> None:
    """25.8 A for a motor that asks for 1.1 * 23.5 A."""
    small = FUSE.model_copy(update={"id": "small", "rating_a": 25.8, "price_cents": 1})
    kit = chosen(replace(CATALOG, fuses=(small, FUSE)))
    assert kit is not None
    assert kit.fuse == "fuse"


def test_a_cheaper_cable_too_thin_for_the_current_is_not_taken() -> None:
    """14 AWG of 60 degC carries 20 A, below 23.5 A; at 150 % a fuse of 30 A may guard it."""
    thin = CABLE.model_copy(
        update={"id": "thin", "size": "14 AWG", "insulation_c": 60.0, "price_cents_m": 1}
    )
    catalog = replace(
        CATALOG,
        cables=(thin, CABLE),
        fuses=(FUSE.model_copy(update={"rating_a": 30.0}),),
        connectors=(CONNECTOR.model_copy(update={"smallest": "16 AWG"}),),
    )
    policy = OUTING.policy.model_copy(update={"fuse_over_ampacity": 1.5})
    outing = with_limits(voltage_drop=0.1).model_copy(update={"policy": policy})
    assert broken(assess(replace(KIT, cable="thin"), outing, catalog)) == ["ampacity"]
    kit = chosen(catalog, outing)
    assert kit is not None
    assert kit.cable == "cable"


@pytest.mark.parametrize(
    ("fuse_v", "series", "holds"),
    [(32.0, 2, True), (32.0, 3, False), (58.5, 4, True), (58.0, 4, False), (80.0, 4, True)],
)
def test_a_fuse_stands_the_bank_on_its_charger_not_the_class(
    fuse_v: float, series: int, holds: bool
) -> None:
    """LFP of 12.8 V is charged at 14.6 V (3.65 V a cell): 29.2, 43.8 and 58.4 V."""
    outing, catalog = long_bank(series, fuse={"max_voltage_v": fuse_v})
    assert (chosen(catalog, outing) is not None) is holds
    kit = replace(KIT, series=series)
    assert ("fuse_voltage" not in broken(assess(kit, outing, catalog))) is holds


def long_bank(
    series: int, fuse: dict[str, Any], cable: dict[str, Any] | None = None, over: float = 1.0
) -> tuple[Outing, Catalog]:
    """Batteries of 12.8 V in series, a motor for them, and a policy on fuses."""
    battery = {"chemistry": "lfp", "voltage_v": 12.8, "max_series": 4, "mass_kg": 5.0}
    catalog = replace(
        CATALOG,
        batteries=(BATTERY.model_copy(update=battery),),
        motors=(MOTOR.model_copy(update={"system_v": 12 * series}),),
        cables=(CABLE.model_copy(update=cable or {}),),
        fuses=(FUSE.model_copy(update={"max_voltage_v": 80.0} | fuse),),
    )
    (box,) = OUTING.craft.compartments
    outing = with_craft(compartments=(box.model_copy(update={"length_m": 1.4}),))
    policy = outing.policy.model_copy(update={"fuse_over_ampacity": over})
    return outing.model_copy(update={"policy": policy}), catalog


@pytest.mark.parametrize(
    ("series", "over", "rating_a", "holds"),
    [
        (3, 1.5, 180.0, True),
        (3, 1.5, 180.5, False),
        (4, 1.5, 125.0, True),
        (4, 1.5, 126.0, False),
        (4, 1.03, 123.6, True),
        (4, 1.03, 124.0, False),
        (4, 1.0, 120.0, True),
        (4, 1.0, 125.0, False),
    ],
)
def test_from_50_volts_a_fuse_has_less_leave(
    series: int, over: float, rating_a: float, holds: bool
) -> None:
    """6 AWG of 105 degC carries 120 A; 43.8 V of charging leave it the policy's half more.

    58.4 V leave it the next standard size, 125 A, at the most (33 CFR 183.455(c)(2)).
    """
    outing, catalog = long_bank(series, {"rating_a": rating_a}, {"size": "6 AWG"}, over)
    assert (chosen(catalog, outing) is not None) is holds
    kit = replace(KIT, series=series)
    assert ("ampacity" not in broken(assess(kit, outing, catalog))) is holds


@pytest.mark.parametrize(("current_a", "holds"), [(35.8, True), (35.9, False)])
def test_full_throttle_never_passes_the_ampacity_whatever_the_policy(
    current_a: float, holds: bool
) -> None:
    """10 AWG of 60 degC carries 40 A; the policy would let a fuse of 60 A guard it.

    On 12.7 V: 1 + 34.8 * (12.7 / 12)^2 = 39.98, counted as 40.0 A; 34.9 for 34.8 make 40.1 A.
    """
    cable = CABLE.model_copy(update={"size": "10 AWG", "insulation_c": 60})
    motor = MOTOR.model_copy(update={"current_a": current_a})
    catalog = replace(with_part("fuses", rating_a=50.0), cables=(cable,), motors=(motor,))
    policy = OUTING.policy.model_copy(update={"fuse_over_ampacity": 1.5})
    wide = with_limits(voltage_drop=0.1).model_copy(
        update={"policy": policy, "legs": with_leg(duration_h=1.0).legs}
    )
    assert (chosen(catalog, wide) is not None) is holds
    assert broken(assess(outing=wide, catalog=catalog)) == ([] if holds else ["ampacity"])


@pytest.mark.parametrize(
    ("charger_a", "hours", "enough"),
    [
        (8.0, 11.556, True),
        (7.99, 11.556, False),
        (7.6, 11.84, False),
        (7.6, 11.85, True),
        (400.0, 6.0, False),
        (400.0, 6.112, True),
    ],
)
def test_a_charger_a_little_too_weak_is_no_charger(
    charger_a: float, hours: float, enough: bool
) -> None:
    """40 Ah at 0.9 * 8 A are 5.556 h, at 0.9 * 7.6 A 5.848 h; the slow end takes 6 h besides.

    Its inlet takes a metre each of red and black; fuse and inlet have no price here, nor has
    copper for 400 A.
    """
    outing, catalog = (
        with_limits(recharge_within_h=hours),
        with_part("chargers", current_a=charger_a),
    )
    assert chosen(catalog, outing) == (CHARGED if enough else None)
    assert ("recharge" not in broken(assess(CHARGED, outing, catalog))) is enough
    ground = Ground(Types(CheapLoadCase(outing), catalog))
    least = ground.charger_cents(outing.limits.recharge_within_h)
    assert (least.tolist() == [6000 + 2 * 250 * (charger_a < 50)]) is enough


def test_of_two_chargers_the_weak_one_is_left_though_cheaper() -> None:
    weak = CHARGER.model_copy(update={"id": "weak", "current_a": 7.6, "price_cents": 1000})
    catalog = replace(CATALOG, chargers=(weak, CHARGER))
    assert chosen(catalog, with_limits(recharge_within_h=11.6)) == CHARGED


def test_the_days_currents_are_the_motors() -> None:
    """4 m/s of wind: r 0.4, 1 + 20 * 0.16 = 4.2 A; chopped 0.4 * 12 * 4.2 / 0.855 / 12 A.

    40 Ah last 9.5238 h and 20.357 h, in the tables as in the proof.
    """
    types, couples = Types(CheapLoadCase(OUTING), CATALOG), (np.array([0, 0]), np.array([0, 1]))
    day = types.day.has(*couples, lightest_g(types, *couples))
    assert day["hours"] == pytest.approx([40 / 4.2, 40 / (0.4 * 4.2 / 0.855)])
    for kit, amperes in ((KIT, 4.2), (CHOPPED, 0.4 * 4.2 / 0.855)):
        assessment = assess(kit)
        assert assessment.legs[0].battery_a == pytest.approx(amperes)
        assert limit("hours", assessment).has == pytest.approx(40 / amperes)


def test_the_day_minute_by_minute_draws_no_more_than_that() -> None:
    """Five hours of 4.2 A from 100 Ah."""
    day = prove(CheapWater(OUTING, CATALOG), KIT)
    assert day.minutes[-1].left_ah == pytest.approx(79.0)
    assert {round(minute.battery_a, 9) for minute in day.minutes} == {4.2}


def test_the_least_wiring_is_that_of_the_shortest_run_the_most_that_of_the_longest() -> None:
    """2 * 1 m or 2 * 3 m of cable at 2.50 and 0.1 kg a metre; fuse and connector 25.00, 0.2 kg."""
    (box,) = OUTING.craft.compartments
    far = box.model_copy(update={"name": "bow"})
    runs = {("stern", "transom"): 1.0, ("bow", "transom"): 3.0}
    outing = with_craft(compartments=(box, far), cable_run_m=runs)
    types = Types(CheapLoadCase(outing), CATALOG)
    wiring, harnesses = types.least_wiring, types.harnesses
    assert harnesses.rated_a.tolist() == [[23.5]]
    assert wiring.least("cost", harnesses)[0].tolist() == [500 + 2500]
    assert wiring.least("mass", harnesses)[0].tolist() == [200 + 200]
    assert wiring.heaviest_g == 600 + 200
    assert wiring.least_sum("cost").tolist() == [500 + 2500]
    assert wiring.least_sum("mass").tolist() == [200 + 200]


@pytest.mark.parametrize(
    ("kind", "update", "milliohm"),
    [
        ("cables", {}, 4 * 2.1419 + 3),
        ("cables", {"tinned": True}, 4 * 2.1419 + 3),
        ("cables", {"size": "10 mm2"}, 4 * 1.0393 * 1.91 + 3),
        ("cables", {"size": "10 mm2", "tinned": True}, 4 * 1.0393 * 1.95 + 3),
        ("motors", {"lead_m": 1.0}, 4 * 2.1419 + 2 * 5.4157 + 3),
        ("motors", {"lead_m": 1.0, "lead_size": "10 AWG"}, 4 * 2.1419 + 2 * 3.4060 + 3),
        ("motors", {"lead_m": 0.5, "lead_size": "6 mm2"}, 4 * 2.1419 + 1.0393 * 3.30 + 3),
    ],
)
def test_the_drop_is_that_of_cable_lead_and_contacts(
    kind: str, update: dict[str, Any], milliohm: float
) -> None:
    """21 A over 2 m of cable there and back, the lead, and 3 milliohm of contacts.

    Gauges by ASTM B258 and IEC 60028 at 30 degC: 8 AWG 2.1419 milliohm a metre, 10 AWG 3.4060,
    12 AWG 5.4157, which at 75 degC is the thinnest for 21 A; mm2 by IEC 60228, class 5, and the
    3.93 % of 10 K.
    """
    catalog, drop_v = with_part(kind, **update), 21.0 * milliohm / 1000
    for share, enough in ((1.0005, True), (0.9995, False)):
        outing = with_limits(voltage_drop=share * drop_v / 12.0)
        assert (chosen(catalog, outing) is not None) is enough
        assessment = assess(outing=outing, catalog=catalog)
        assert ("voltage_drop" not in broken(assessment)) is enough
        assert limit("voltage_drop", assessment).has == pytest.approx(drop_v, rel=1e-4)


def test_tinned_strands_are_weighed_against_plain_ones_of_a_size() -> None:
    """Plain 10 mm2 loses 0.2297 V and is dearer, tinned 0.2332 V."""
    plain = CABLE.model_copy(update={"id": "plain", "size": "10 mm2", "price_cents_m": 300})
    tinned = plain.model_copy(update={"id": "tinned", "tinned": True, "price_cents_m": 200})
    catalog = replace(CATALOG, cables=(tinned, plain))
    for drop_v, cable in ((0.234, "tinned"), (0.233, "plain"), (0.229, None)):
        kit = chosen(catalog, with_limits(voltage_drop=drop_v / 12.0))
        assert (kit.cable if kit else None) == cable


HEAVY_CABLE = {"mass_kg_m": 2.5}
"""Two conductors of 2 m: 10 kg, and 0.2 kg of fuse and connector."""


@pytest.mark.parametrize(
    ("box_x", "mount_x", "moment_kg_m"),
    [(-1.0, -2.0, 50.4), (-2.0, -1.0, 65.4), (1.0, -2.0, 30.4)],
)
def test_wiring_counts_at_the_worse_end_of_its_run(
    box_x: float, mount_x: float, moment_kg_m: float
) -> None:
    """20 kg of battery, 5 kg of motor, and 10.2 kg at 2 m whichever end that is.

    997.05 kg/m3 (ITTC) * 1.92 m4 by the tangent of the trim; a step less and there is no kit.
    """
    (box,), (mount,) = OUTING.craft.compartments, OUTING.craft.mounts
    outing = with_craft(
        compartments=(box.model_copy(update={"x_m": box_x}),),
        mounts=(mount.model_copy(update={"x_m": mount_x}),),
    )
    catalog = replace(with_part("cables", **HEAVY_CABLE), controllers=())
    trim_rad = np.arctan(moment_kg_m / (997.05 * 1.92))
    for share, enough in ((1.0005, True), (0.9995, False)):
        limits: dict[str, Any] = {"max_trim_rad": share * trim_rad, "max_heel_rad": 0.087}
        wished = outing.model_copy(update={"limits": with_limits(**limits).limits})
        assert (chosen(catalog, wished) is not None) is enough
        assert ("trim" not in broken(assess(KIT, wished, catalog))) is enough


@pytest.mark.parametrize(
    ("smallest", "largest", "takes"),
    [
        ("8 mm2", "9 mm2", True),
        ("9 mm2", "16 mm2", False),
        ("2 mm2", "8 mm2", False),
    ],
)
def test_a_connector_has_a_smallest_and_a_largest_cable(
    smallest: str, largest: str, takes: bool
) -> None:
    """8 AWG is 8.366 mm2 (ASTM B258)."""
    plug = CONNECTOR.model_copy(update={"smallest": smallest, "largest": largest})
    catalog = replace(CATALOG, connectors=(plug,))
    assert CABLE.area_mm2 == pytest.approx(8.366, abs=5e-4)
    assert (chosen(catalog) is not None) is takes
    assert ("connector_size" not in broken(assess(catalog=catalog))) is takes


@pytest.mark.parametrize(("load_kg", "holds"), [(40.0, True), (39.999, False)])
def test_a_compartment_bears_the_whole_bank_not_one_battery(load_kg: float, holds: bool) -> None:
    """Two of 20 kg side by side, which the hours ask for: 40 Ah would last 9.52 h."""
    (box,) = OUTING.craft.compartments
    outing = with_craft(
        compartments=(box.model_copy(update={"length_m": 1.0, "x_m": 0.3, "max_load_kg": load_kg}),)
    )
    long = outing.model_copy(update={"legs": with_leg(duration_h=12.0).legs})
    catalog = replace(with_part("batteries", max_parallel=2), controllers=())
    kit = chosen(catalog, long)
    assert (kit is not None) is holds
    assert kit is None or kit.parallel == 2
    rule = [] if holds else ["compartment_load"]
    assert broken(assess(replace(KIT, parallel=2), long, catalog)) == rule


def test_a_controller_heavier_than_the_motor_is_the_piece_to_lift() -> None:
    """21 kg; the battery has 20 kg."""
    heavy = with_part("controllers", mass_kg=21.0)
    parts = OUTING.parts.model_copy(update={"require": ("controller",)})
    for lift_kg, enough in ((21.0, True), (20.999, False)):
        limits = with_limits(lift_kg=lift_kg, max_trim_rad=0.05).limits
        outing = OUTING.model_copy(update={"limits": limits, "parts": parts})
        assert (chosen(heavy, outing) is not None) is enough
        assert broken(assess(CHOPPED, outing, heavy)) == ([] if enough else ["lift"])


@pytest.mark.parametrize(("depth_m", "holds"), [(0.1679, True), (0.1678, False), (0.140, False)])
@pytest.mark.parametrize("turns", [True, False])
def test_the_edge_water_can_come_over(depth_m: float, holds: bool, turns: bool) -> None:
    """Loaded to the plate T = 230 / 997.05 / (4 * 0.9 * 4/9) = 0.144174 m.

    Turned across at full throttle, 100 N at 0.144174 / 2 + 0.36 m make 4.40606 kg m; / 83.862
    kg m, times half the beam: the edge dips 23.643 mm. A motor that does not turn dips none.
    """
    (mount,) = OUTING.craft.mounts
    mounts = (mount.model_copy(update={"turns": turns}),)
    outing = with_craft(depth_m=depth_m, mounts=mounts)
    dips = 0.023643 if turns else 0.0
    has = limit("freeboard", assess(outing=outing)).has
    assert has == pytest.approx(depth_m - 0.144174 - dips, abs=2e-6)
    kept = holds or (not turns and depth_m > 0.1442)
    assert broken(assess(outing=outing)) == ([] if kept else ["freeboard"])
    assert (chosen(CATALOG, outing) is not None) is kept


@pytest.mark.parametrize(
    ("volts", "holds_n_m", "holds"),
    [(12.0, 85.126, True), (12.0, 85.125, False), (10.0, 76.0, True), (10.0, 75.99, False)],
)
def test_what_a_mount_holds(volts: float, holds_n_m: float, holds: bool) -> None:
    """100 N at 0.76 m; the full bank turns the motor at 12.7/12, which makes 112.007 N of it.

    Of a bank of 10 V, full at 10.58 V, the catalog's thrust counts. A claimed thrust counts whole.
    """
    (mount,) = OUTING.craft.mounts
    outing = with_craft(mounts=(mount.model_copy(update={"holds_n_m": holds_n_m}),))
    outing = outing.model_copy(update={"legs": with_leg(duration_h=1.0).legs})
    claimed = MOTOR.model_copy(update={"thrust_is": "claimed"})
    catalog = replace(with_part("batteries", voltage_v=volts), motors=(claimed,))
    assert broken(assess(outing=outing, catalog=catalog)) == ([] if holds else ["mount_moment"])
    assert (chosen(catalog, outing) is not None) is holds


BOX = Box(length_m=0.20, width_m=0.15, height_m=0.08)


@pytest.mark.parametrize(
    ("wind_m_s", "stands_c", "place_c", "box", "holds"),
    [
        (9.0, 65.0, 30.0, BOX, True),
        (9.1, 65.0, 30.0, BOX, False),
        (9.0, 64.1, 30.0, BOX, True),
        (9.0, 64.0, 30.0, BOX, False),
        (9.0, 65.0, 30.9, BOX, True),
        (9.0, 65.0, 31.0, BOX, False),
        (9.1, 65.0, 60.0, None, True),
    ],
)
def test_a_control_in_a_closed_box_stays_cool_enough(
    wind_m_s: float, stands_c: float, place_c: float, box: Box | None, holds: bool
) -> None:
    """At 9 m/s 0.9 * 12 V at 17.2 A through 0.9 * 0.95 take 217.26 W of the bank.

    A tenth of it over 5.5 W/(m2 K) and 0.116 m2 is 34.05 K; at 9.1 m/s 224.3 W give 35.16 K.
    """
    outing = with_leg(headwind_m_s=wind_m_s, duration_h=0.1)
    policy = outing.policy.model_copy(update={"place_temperature_c": place_c})
    craft = outing.craft.model_copy(update={"control_box": box})
    outing = outing.model_copy(update={"policy": policy, "craft": craft})
    catalog = with_part("controllers", max_temperature_c=stands_c)
    assert ("control_heat" not in broken(assess(CHOPPED, outing, catalog))) is holds
    if box:
        rise = limit("control_heat", assess(CHOPPED, outing, catalog)).has - place_c
        assert rise == pytest.approx(34.05 if wind_m_s < 9.05 else 35.16, abs=0.005)
    parts = outing.parts.model_copy(update={"require": ("controller",)})
    assert (chosen(catalog, outing.model_copy(update={"parts": parts})) is not None) is holds
    assert "control_heat" not in broken(assess(KIT, outing, catalog))


def test_one_that_stands_more_heat_is_not_beaten_by_a_cheaper_one() -> None:
    outing = with_leg(headwind_m_s=9.1, duration_h=0.1)
    craft = outing.craft.model_copy(update={"control_box": BOX})
    outing = outing.model_copy(update={"craft": craft})
    (cheap,) = CATALOG.controllers
    tough = cheap.model_copy(update={"id": "tough", "price_cents": 9000, "max_temperature_c": 66.0})
    catalog = replace(CATALOG, controllers=(cheap, tough))
    required = outing.parts.model_copy(update={"require": ("controller", "tough")})
    kit = chosen(catalog, outing.model_copy(update={"parts": required}))
    assert kit is not None and kit.controller == "tough"
