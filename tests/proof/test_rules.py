"""Trim, heel and the rules, of kits reckoned by hand; the arithmetic stands in each test."""

from dataclasses import replace

import pytest

from keelwatt.files.outing import Parts, Place
from oracle.cheap_water import CheapWater
from oracle.one_of_each import (
    CATALOG,
    CONTROLLER,
    KIT,
    MOTOR,
    OUTING,
    with_craft,
    with_limits,
    with_part,
)
from proof.reckoned import CHOPPED, assess, broken, limit

FRESH_25_C_KG_M3 = 997.05
"""ITTC 7.5-02-01-03."""


def test_trim() -> None:
    """20 kg * 1 m + 5 kg * 2 m, and 0.6 kg of wiring at its worse end, 2 m: 31.2 kg m.

    I_L = 0.9 * 64 * 2 / (12 * 5) = 1.92 m4; 31.2 / (997.05 * 1.92) = 0.016298; 0.9337 deg.
    """
    trim = limit("trim", assess())
    assert trim.has == pytest.approx(0.9337, abs=5e-5)
    moment_kg_m = FRESH_25_C_KG_M3 * 1.92 * 0.016298
    assert moment_kg_m == pytest.approx(31.2, abs=1e-3)
    assert broken(assess(outing=with_limits(max_trim_rad=0.0162))) == ["trim"]
    assert broken(assess(outing=with_limits(max_trim_rad=0.0164))) == []


def test_trim_by_the_head_is_trim_as_well() -> None:
    """The paddler 1 m forward: 80 - 30 kg m and the wiring's 1.2 against it all the same."""
    (paddler,) = OUTING.aboard
    forward = OUTING.model_copy(
        update={"aboard": (paddler.model_copy(update={"x_m": 1.0}),)}
    )  # fmt: skip
    has = limit("trim", assess(outing=forward)).has
    assert has == pytest.approx(1.5320, abs=5e-5)
    moment_kg_m = FRESH_25_C_KG_M3 * 1.92 * 0.026746
    assert moment_kg_m == pytest.approx(51.2, abs=1e-3)


def test_a_controller_in_the_bow_adds_to_trim_by_the_stern() -> None:
    """0.5 kg at 2 m: 31.2 + 1 kg m on the safe side; 32.2 / (997.05 * 1.92) = 0.016820."""
    outing = with_craft(controller_at=Place(x_m=2.0, y_m=0.0, z_m=0.0))
    assert limit("trim", assess(CHOPPED, outing)).has == pytest.approx(0.9637, abs=5e-5)


def test_wiring_and_controller_low_down_do_not_steady_the_boat() -> None:
    """All of it on the keel: the stiffness is that of battery, motor and what is aboard.

    110.758 - (32.74 - 2.0 - 2.0 - 0.24 - 135.6 * KB + 0.6 * KB) = 110.758 - 28.5 + 135 * 0.043096.
    """
    (box,), (mount,) = OUTING.craft.compartments, OUTING.craft.mounts
    outing = with_craft(
        compartments=(box.model_copy(update={"z_m": 0.0}),),
        mounts=(mount.model_copy(update={"z_m": 0.0}),),
        controller_at=Place(x_m=0.0, y_m=0.0, z_m=0.0),
    )
    stiffness = 110.758 - 28.5 + 135 * 0.043096
    has = limit("stability", assess(CHOPPED, outing)).has
    assert has == pytest.approx(stiffness / 136.1, abs=5e-5)


def test_heel_and_stability() -> None:
    """T = 110 / 997.05 / (4 * 0.9 * 4/9) = 0.06895 m, KB = 5/8 T = 0.04310 m.

    Heights: 30 * 0.15 + 80 * 0.3 + 20 * 0.1 + 5 * 0.4 + 0.6 * 0.4 = 32.74 kg m, less
    135.6 * 0.04310 = 5.844; I_T = 0.9^3 * 4 / 12 * 16/35 = 0.111086 m4, 110.758 kg m.
    Stiffness 110.758 - 26.896 = 83.862 kg m; / 135.6 kg = 0.6184 m.
    Heel: 20 * 0.1 + 0.6 * 0.1 = 2.06 kg m; 2.06 / 83.862 = 0.024564; 1.4071 deg.
    """
    assessment = assess()
    assert limit("stability", assessment).has == pytest.approx(0.6184, abs=5e-5)
    assert limit("heel", assessment).has == pytest.approx(1.4071, abs=5e-5)
    assert broken(assess(outing=with_limits(max_heel_rad=0.0245))) == ["heel"]
    assert broken(assess(outing=with_limits(max_heel_rad=0.0246))) == []


def test_a_craft_that_does_not_stand() -> None:
    """The paddler 1.1 m higher: 83.862 - 88 kg m."""
    (paddler,) = OUTING.aboard
    tall = OUTING.model_copy(update={"aboard": (paddler.model_copy(update={"z_m": 1.4}),)})
    assert broken(assess(outing=tall)) == ["heel", "turn_heel", "stability"]
    assert limit("heel", assess(outing=tall)).has == 90.0


def test_payload() -> None:
    """80 + 25.6 kg; the margin comes off the plate."""
    assert limit("payload", assess()).has == pytest.approx(105.6)
    assert broken(assess(outing=with_craft(payload_limit_kg=105.6))) == []
    assert broken(assess(outing=with_craft(payload_limit_kg=105.599))) == ["payload"]
    assert broken(assess(outing=with_limits(payload_margin_kg=94.4))) == []
    assert broken(assess(outing=with_limits(payload_margin_kg=94.401))) == ["payload"]


@pytest.mark.parametrize(
    ("update", "name"),
    [
        ({"length_m": 0.18, "width_m": 0.3}, "compartment"),
        ({"height_m": 0.219}, "compartment"),
        ({"opening_length_m": 0.19, "opening_width_m": 0.5}, None),
        ({"opening_length_m": 0.16, "opening_width_m": 0.5}, "compartment"),
        ({"max_load_kg": 20.0}, None),
        ({"max_load_kg": 19.9996}, "compartment_load"),
    ],
)
def test_the_compartment(update: dict[str, float], name: str | None) -> None:
    """A battery of 300 x 170 x 200 mm, 20 kg, with 10 mm round it."""
    (box,) = OUTING.craft.compartments
    outing = with_craft(compartments=(box.model_copy(update=update),))
    assert broken(assess(outing=outing)) == ([name] if name else [])


@pytest.mark.parametrize(
    ("update", "number"),
    [
        ({}, 2),
        ({"length_m": 1.0}, 6),
        ({"length_m": 0.87}, 5),
        ({"length_m": 0.86}, 4),
        ({"length_m": 3.02, "width_m": 1.72}, 100),
        ({"height_m": 0.219}, 0),
        ({"opening_length_m": 0.16, "opening_width_m": 0.5}, 0),
    ],
)
def test_how_many_batteries_fit(update: dict[str, float], number: int) -> None:
    """A battery of 300 x 170 mm upright, 10 mm round the block, in 500 x 400 mm or as told.

    Lengthwise 980 mm take 3 rows of 2; 850 mm take 5 rows turned, 840 mm take 4.
    """
    (box,) = OUTING.craft.compartments
    outing = with_craft(compartments=(box.model_copy(update=update),))
    assert limit("compartment", assess(outing=outing)).needs == number


def test_the_shaft() -> None:
    (mount,) = OUTING.craft.mounts
    short = with_craft(mounts=(mount.model_copy(update={"shaft_needed_m": 0.761}),))
    assert limit("shaft", assess(outing=short)).room == pytest.approx(-1.0)
    assert broken(assess(outing=short)) == ["shaft"]


def test_two_in_series_are_too_many_and_the_wrong_voltage() -> None:
    """Full they have 25.4 V: 90.6 A, beyond bank (60 A), cable (80), fuse (40) and plug (50)."""
    outing = with_limits(max_trim_rad=0.05)
    rules = ["bank_size", "voltage_match", "bank_current"]
    rules += ["ampacity", "protection", "connector_rating"]
    assert broken(assess(replace(KIT, series=2), outing)) == rules


@pytest.mark.parametrize(
    ("kind", "update", "name", "needs", "has"),
    [
        ("batteries", {"continuous_a": 23.4}, "bank_current", 23.5, 23.4),
        ("batteries", {"short_circuit_a": 5001.0}, "interrupting", 5001.0, 5000.0),
        ("batteries", {"short_circuit_a": None}, "interrupting", 2500.0, 5000.0),
        ("fuses", {"rating_a": 25.8}, "protection", 25.85, 25.8),
        ("fuses", {"rating_a": 80.0}, "ampacity", 80.0, 80.0),
        ("fuses", {"rating_a": 81.0}, "ampacity", 81.0, 80.0),
        ("fuses", {"max_voltage_v": 11.0}, "fuse_voltage", 14.4, 11.0),
        ("connectors", {"current_a": 23.4}, "connector_rating", 23.5, 23.4),
    ],
)
def test_currents_and_voltages(
    kind: str, update: dict[str, float], name: str, needs: float, has: float
) -> None:
    """23.5 A of motor on 12.7 V, 1.1 times that for the fuse, 80 A for 8 AWG at 105 degC.

    Lead-acid of 12 V is charged at 14.4 V.
    """
    assessment = assess(catalog=with_part(kind, **update))
    found = limit(name, assessment)
    assert (found.needs, found.has) == pytest.approx((needs, has))
    assert broken(assessment) == ([name] if has < needs else [])


def test_full_throttle_through_a_chopper() -> None:
    """23.5 A, tethered on the full bank, and the chopper's own tenth."""
    assert limit("bank_current", assess(CHOPPED)).needs == pytest.approx(23.5 / 0.9)


def test_voltage_drop() -> None:
    """2 * 2 m * 21 A * 1.0393 / 58 / 8.3656 mm2 = 0.1799 V, contacts 0.063 V; 5 % of 12 V."""
    drop = limit("voltage_drop", assess())
    assert (drop.needs, drop.has) == pytest.approx((0.6, 0.2429), abs=5e-5)
    assert broken(assess(replace(KIT, run_m=5.9))) == []
    assert broken(assess(replace(KIT, run_m=6.0))) == ["voltage_drop"]


def test_a_conductor_below_16_awg() -> None:
    thin = assess(catalog=with_part("cables", size="1.3 mm2"))
    assert "conductor" in broken(thin)
    assert limit("conductor", thin).needs == pytest.approx(1.3087, abs=5e-5)


@pytest.mark.parametrize("update", [{"smallest": "8.4 mm2"}, {"largest": "8.3 mm2"}])
def test_a_connector_of_the_wrong_size(update: dict[str, str]) -> None:
    """8 AWG is 8.366 mm2."""
    assert broken(assess(catalog=with_part("connectors", **update))) == ["connector_size"]


def test_a_controller_too_weak_or_of_the_wrong_voltage() -> None:
    """1.25 * 23.5 A = 29.375 A."""
    assert limit("controller_rating", assess(CHOPPED)).needs == pytest.approx(29.375)
    weak = with_part("controllers", current_a=29.3)
    assert broken(assess(CHOPPED, catalog=weak)) == ["controller_rating"]
    other = with_part("controllers", min_system_v=24)
    assert broken(assess(CHOPPED, catalog=other)) == ["voltage_match"]


def test_no_external_controller_before_a_motor_with_its_own_electronics() -> None:
    motor = MOTOR.model_copy(update={"control": "chopper", "steps": 0, "efficiency": 0.95})
    catalog = replace(CATALOG, motors=(motor,), controllers=(CONTROLLER,))
    assert broken(assess(CHOPPED, catalog=catalog)) == ["controller_rating"]
    assert broken(assess(KIT, catalog=catalog)) == []


def test_a_charger_for_another_chemistry_or_voltage() -> None:
    kit = replace(KIT, charger="charger")
    lithium = with_part("chargers", chemistries=("lfp",))
    assert broken(assess(kit, catalog=lithium)) == ["chemistry"]
    assert broken(assess(kit, catalog=with_part("chargers", system_v=24))) == ["voltage_match"]


@pytest.mark.parametrize(
    ("parts", "count"),
    [
        (Parts(require=("charger",)), 1),
        (Parts(refuse=("fuse",)), 1),
        (Parts(require=("charger", "controller"), refuse=("cable",)), 3),
        (Parts(require=("motor",), refuse=("charger",)), 0),
    ],
)
def test_parts_asked_for_and_refused(parts: Parts, count: int) -> None:
    assessment = assess(outing=OUTING.model_copy(update={"parts": parts}))
    assert limit("parts", assessment).has == count
    assert broken(assessment) == (["parts"] if count else [])


def test_from_50_v_on_the_charger_a_fuse_keeps_to_the_ampacity_whatever_the_policy() -> None:
    """33 CFR 183.455(c): four AGM batteries of 12 V have 57.6 V on the charger, three 43.2 V.

    8 AWG of 105 degC carries 80 A outside an engine room; a policy of 150 % lets 110 A pass
    below 50 V only, where 80 A, a standard size itself, is the most.
    """
    policy = OUTING.policy.model_copy(update={"fuse_over_ampacity": 1.5})
    outing = OUTING.model_copy(update={"policy": policy})

    def holds(series: int, rating_a: float) -> bool:
        motor = MOTOR.model_copy(update={"system_v": 12 * series})
        catalog = replace(with_part("fuses", rating_a=rating_a), motors=(motor,))
        return "ampacity" not in broken(assess(replace(KIT, series=series), outing, catalog))

    assert [holds(3, rating_a) for rating_a in (80.0, 110.0, 121.0)] == [True, True, False]
    assert [holds(4, rating_a) for rating_a in (80.0, 81.0, 110.0)] == [True, False, False]


def test_a_fuse_breaks_what_the_bank_has_on_its_charger() -> None:
    """14.4 V for a lead-acid battery of 12 V, common practice; its nominal 12 V is not enough."""
    assert "fuse_voltage" in broken(assess(catalog=with_part("fuses", max_voltage_v=14.39)))
    assert broken(assess(catalog=with_part("fuses", max_voltage_v=14.41))) == []


@pytest.mark.parametrize(("fineness", "share"), [(1.0, 1 / 2), (2.0, 2 / 3), (4.0, 4 / 5)])
def test_the_section_amidships_holds_the_volume_over_the_hulls_own_share(
    fineness: float, share: float
) -> None:
    """1 - x**n is n / (n + 1) of the rectangle round it."""
    outing = with_craft(fineness=fineness)
    craft = CheapWater(outing, CATALOG).craft
    found, volume_m3 = craft.midship_m2(120.0), 120.0 / craft.density_kg_m3
    assert found == pytest.approx(volume_m3 / (outing.craft.waterline_length_m * share))
