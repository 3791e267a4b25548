"""What is left out, why, and by how much, on cases reckoned by hand."""

from dataclasses import replace

import pytest

from keelwatt.boat.load_case import LoadCase
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing, Parts
from keelwatt.kits import Excluded, Types
from keelwatt.kits.left_out import left_out
from keelwatt.physics.cable import awg_area_mm2
from keelwatt.physics.protection import SMALLEST_CONDUCTOR_MM2
from oracle.one_of_each import (
    BATTERY,
    CATALOG,
    CONTROLLER,
    FUSE,
    OUTING,
    with_craft,
    with_leg,
    with_limits,
    with_part,
)

Row = tuple[str, str, str, float, float, str]


def excluded(outing: Outing, catalog: Catalog) -> tuple[Excluded, ...]:
    return left_out(Types(LoadCase(outing), catalog, every_control=True))


def rows(outing: Outing, catalog: Catalog) -> list[Row]:
    return [(e.kind, e.part, e.rule, e.value, e.bound, e.unit) for e in excluded(outing, catalog)]


def same(found: list[Row], *expected: Row) -> bool:
    return len(found) == len(expected) and all(
        row[:3] == want[:3]
        and row[3:5] == pytest.approx(want[3:5], rel=1e-12)
        and row[5] == want[5]
        for row, want in zip(found, expected, strict=True)
    )


def test_nothing_is_left_out_of_a_catalog_that_suits() -> None:
    assert rows(OUTING, CATALOG) == []


def in_parts(**update: tuple[str, ...]) -> Outing:
    return OUTING.model_copy(update={"parts": Parts(**update)})  # type: ignore[arg-type]


def test_refused() -> None:
    refused = rows(in_parts(refuse=("charger",)), CATALOG)
    assert same(refused, ("charger", "charger", "parts", 1, 0, "in the outing"))


def test_another_is_required() -> None:
    other = BATTERY.model_copy(update={"id": "other"})
    catalog = replace(CATALOG, batteries=(BATTERY, other))
    left_out = rows(in_parts(require=("other",)), catalog)
    assert same(left_out, ("battery", "battery", "parts", 1, 0, "in the outing"))


def test_a_battery_of_a_voltage_no_motor_runs_on() -> None:
    odd = BATTERY.model_copy(update={"id": "odd", "system_v": 24, "voltage_v": 24.0})
    catalog = replace(CATALOG, batteries=(BATTERY, odd))
    assert same(rows(OUTING, catalog), ("battery", "odd", "voltage_match", 24, 12, "V"))


def boxed(**update: float) -> Outing:
    (box,) = OUTING.craft.compartments
    return with_craft(compartments=(box.model_copy(update=update),))


def test_a_battery_that_does_not_pass_the_hatch() -> None:
    """The two smaller sides of 300 x 200 x 170 mm are 170 and 200; the hatch is 180 x 190."""
    outing = boxed(opening_length_m=0.18, opening_width_m=0.19)
    assert same(rows(outing, CATALOG), ("battery", "battery", "compartment", 200, 190, "mm"))


def test_a_battery_longer_than_the_compartment() -> None:
    """300 mm and 10 mm on either side, turned any way that keeps it upright, in 250 mm."""
    outing = boxed(length_m=0.25, width_m=0.25)
    assert same(rows(outing, CATALOG), ("battery", "battery", "compartment", 320, 250, "mm"))


def test_a_battery_too_high_may_not_lie_down() -> None:
    outing = boxed(height_m=0.21)
    assert same(rows(outing, CATALOG), ("battery", "battery", "compartment", 220, 210, "mm"))


def test_a_motor_with_too_short_a_shaft() -> None:
    (mount,) = OUTING.craft.mounts
    outing = with_craft(mounts=(mount.model_copy(update={"shaft_needed_m": 0.8}),))
    assert same(rows(outing, CATALOG), ("motor", "motor", "shaft", 760, 800, "mm"))


def test_a_shaft_as_long_as_needed_but_for_rounding() -> None:
    """30 in and 762 mm need not be one float."""
    (mount,) = OUTING.craft.mounts
    outing = with_craft(mounts=(mount.model_copy(update={"shaft_needed_m": 0.76 * (1 + 1e-15)}),))
    assert rows(outing, CATALOG) == []


@pytest.mark.parametrize(
    ("lowest", "highest", "bound"), [(24, 48, 24), (12, 12, 12)], ids=["too high", "too low"]
)
def test_a_controller_for_other_voltages(lowest: int, highest: int, bound: int) -> None:
    catalog = with_part("controllers", min_system_v=lowest, max_system_v=highest)
    volts = 12 if lowest == 24 else 24
    if volts == 24:
        motor = CATALOG.motors[0].model_copy(update={"system_v": 24})
        battery = BATTERY.model_copy(update={"system_v": 24, "voltage_v": 24.0})
        catalog = replace(catalog, motors=(motor,), batteries=(battery,))
    left_out = rows(OUTING, catalog)
    assert same(left_out, ("controller", "controller", "voltage_match", volts, bound, "V"))


def test_a_controller_too_weak() -> None:
    """A controller carries a quarter more than the motor's 21 A: 26.25 A."""
    left_out = rows(OUTING, with_part("controllers", current_a=26.0))
    assert same(left_out, ("controller", "controller", "controller_rating", 26, 26.25, "A"))


def test_a_controller_just_strong_enough() -> None:
    assert rows(OUTING, with_part("controllers", current_a=26.25)) == []


def test_a_conductor_too_thin() -> None:
    """18 AWG carries 20 A at 105 degC, less than the smallest fuse, and drops too much as well."""
    thin = float(awg_area_mm2(gauge=18))
    left_out = rows(OUTING, with_part("cables", size="18 AWG"))
    assert same(left_out[:1], ("cable", "cable", "conductor", thin, SMALLEST_CONDUCTOR_MM2, "mm2"))
    assert [row[2] for row in left_out] == ["conductor", "ampacity", "voltage_drop"]


def test_a_cable_too_weak_for_any_fuse_that_carries_the_motor() -> None:
    """10 AWG at 60 degC carries 40 A; at a place of 52.5 degC half of that, 20 A; 1.1 * 23.5 A.

    12.7 V of the full bank (from memory) turn the motor at 1.0583: 1 + 20 r^2 = 23.5 A in tenths.
    """
    warm = OUTING.model_copy(
        update={"policy": OUTING.policy.model_copy(update={"place_temperature_c": 52.5})}
    )
    catalog = with_part("cables", size="10 AWG", insulation_c=60)
    assert same(rows(warm, catalog), ("cable", "cable", "ampacity", 20, 25.85, "A"))


def test_a_fuse_too_small() -> None:
    left_out = rows(OUTING, with_part("fuses", rating_a=20))
    assert same(left_out, ("fuse", "fuse", "protection", 20, 25.85, "A"))


def test_a_fuse_of_exactly_a_tenth_more_than_the_motor_takes() -> None:
    """1.1 * 50 is a little more than 55 in floating point; a 55 A fuse still suits 50 A.

    1 + 43.7 * (12.7 / 12)^2 = 49.95 A, in tenths 50 A.
    """
    catalog = replace(
        with_part("motors", current_a=44.7),
        fuses=(FUSE.model_copy(update={"rating_a": 55}),),
        controllers=(CONTROLLER.model_copy(update={"current_a": 62.5}),),
    )
    assert rows(with_leg(duration_h=2.0), catalog) == []


def test_a_connector_too_small() -> None:
    left_out = rows(OUTING, with_part("connectors", current_a=20.0))
    assert same(left_out, ("connector", "connector", "connector_rating", 20, 23.5, "A"))


def test_a_run_too_long_for_the_cable() -> None:
    """8 AWG at 30 degC: 1/58 * (1 + 0.00393 * 10) / 8.3656 ohm a metre, two conductors of 12 m.

    Contacts of 3 milliohm on top.
    """
    drop_v = 21.0 * (2 * 12.0 * (1 + 0.0393) / 58 / float(awg_area_mm2(gauge=8)) + 0.003)
    outing = with_craft(cable_run_m={("stern", "transom"): 12.0})
    assert same(rows(outing, CATALOG), ("cable", "cable", "voltage_drop", drop_v, 0.6, "V"))
    assert drop_v == pytest.approx(1.1426, abs=5e-5)


def test_a_fault_no_fuse_interrupts() -> None:
    left_out = rows(OUTING, with_part("batteries", short_circuit_a=9000.0))
    assert same(left_out, ("battery", "battery", "interrupting", 9000, 5000, "A"))


def test_a_fault_reckoned_from_the_capacity() -> None:
    """25 A for each of 100 Ah."""
    catalog = replace(with_part("batteries", short_circuit_a=None), fuses=(
        FUSE.model_copy(update={"interrupts_a": 2400}),
    ))  # fmt: skip
    left_out = rows(OUTING, catalog)
    assert same(left_out, ("battery", "battery", "interrupting", 2500, 2400, "A"))


def test_a_voltage_no_fuse_stands() -> None:
    left_out = rows(OUTING, with_part("fuses", max_voltage_v=10))
    assert same(left_out, ("battery", "battery", "fuse_voltage", 14.4, 10, "V"))


def test_a_battery_too_weak_for_the_motor() -> None:
    """The stepped motor takes 23.5 A of the full bank; a chopper a tenth more, for its own loss."""
    catalog = with_part("batteries", continuous_a=15.0)
    left_out = rows(OUTING, catalog)
    assert same(left_out, ("battery", "battery", "bank_current", 15, 23.5, "A"))


def test_a_wind_too_strong_for_the_motor() -> None:
    """9.9 m/s: 98.01 N, r 0.99, 11.88 V of the 11.02 V left of the bank's 11.6 near the end."""
    left_out = rows(with_leg(headwind_m_s=9.9, duration_h=0.5), CATALOG)
    assert same(
        left_out,
        ("battery", "battery", "leg_speed", 11.88 / 11.02, 1.0, "of full throttle"),
        ("motor", "motor", "leg_speed", 11.88 / 11.02, 1.0, "of full throttle"),
    )


def test_a_top_speed_out_of_reach() -> None:
    left_out = rows(with_limits(top_speed_m_s=2.9), CATALOG)
    assert {(row[0], row[2]) for row in left_out} == {
        ("battery", "top_speed"),
        ("motor", "top_speed"),
    }
    assert all(row[3] > row[4] == 1.0 for row in left_out)


def test_a_day_too_long_for_the_battery() -> None:
    """4 m/s: 16 N, r 0.4. Stepped: 4.2 A. Chopper: 0.4 * 12 * 4.2 W / 0.855 / 12 V = 1.9649 A.

    Both below the 5 A of the rating, so 40 Ah serve 40/1.9649 h of the 30 h asked for.
    """
    left_out = rows(with_leg(duration_h=30.0), CATALOG)
    serves_h = 40 / (0.4 * 4.2 / (0.9 * 0.95))
    assert serves_h == pytest.approx(20.357, abs=5e-4)
    assert same(
        left_out,
        ("battery", "battery", "hours", serves_h, 30, "h"),
        ("motor", "motor", "hours", serves_h, 30, "h"),
    )


def test_the_nearest_miss_is_told_and_how_often_the_part_was_tried() -> None:
    """Two motors, of 23.5 and 56 A on the full bank: the plug of 20 A misses the first by least."""
    strong = CATALOG.motors[0].model_copy(update={"id": "strong", "current_a": 50.0})
    catalog = replace(
        with_part("connectors", current_a=20.0),
        motors=(strong, *CATALOG.motors),
        fuses=(FUSE.model_copy(update={"rating_a": 60}),),
        controllers=(),
    )
    (plug,) = (e for e in excluded(OUTING, catalog) if e.part == "connector")
    assert (plug.value, plug.bound, plug.tried, plug.wholly) == (20.0, 23.5, 2, True)
    assert "23.5 A" in plug.where


def test_a_part_some_kit_still_uses_is_not_wholly_left_out() -> None:
    strong = CATALOG.motors[0].model_copy(update={"id": "strong", "current_a": 39.0})
    catalog = replace(CATALOG, motors=(*CATALOG.motors, strong))
    wholly = {e.part: e.wholly for e in excluded(with_leg(duration_h=2.0), catalog)}
    assert wholly == {"controller": False, "fuse": False}
