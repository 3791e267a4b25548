"""The outing from a good file: conversion and defaults."""

import math
from pathlib import Path

import pytest

from keelwatt.files.outing import (
    Compartment,
    Craft,
    Device,
    Leg,
    Limits,
    Load,
    Mount,
    Outing,
    Parts,
    Place,
    Policy,
    Water,
    Wish,
    outing_from_text,
    read_outing,
)
from samples import small_outing_text

LEAST = """\
title = "Least"
currency = "EUR"
[craft]
shape = "slender"
waterline_length = "16 ft"
waterline_beam = "24 in"
hull_mass = "50 lb"
hull_height = "6 in"
payload_limit = "300 lb"
[[craft.compartment]]
name = "well"
length = "20 in"
width = "16 in"
height = "12 in"
x = "-3 ft"
y = 0
z = "4 in"
[[craft.mount]]
name = "stern"
x = "-7 ft 6 in"
y = 0
z = "1 ft"
[[leg]]
name = "there"
speed = "3 mph"
hours = "2 h"
"""


def read(old: str = "", new: str = "") -> Outing:
    assert LEAST.count(old) == 1 or not old
    return outing_from_text(LEAST.replace(old, new) if old else LEAST, "outing.toml")


def test_an_outing_is_read_in_si(tmp_path: Path) -> None:
    path = tmp_path / "outing.toml"
    path.write_text(small_outing_text(), encoding="utf-8")
    assert read_outing(path) == Outing(
        title="Round the island",
        currency="USD",
        water=Water(kind="fresh", temperature_c=15),
        craft=Craft(
            shape="canoe",
            fineness=2,
            fullness=4,
            waterplane_fineness=3,
            drag_factor=1.15,
            waterline_length_m=4.8,
            waterline_beam_m=0.86,
            hull_mass_kg=32,
            hull_height_m=0.15,
            payload_limit_kg=380,
            controller_at=Place(x_m=-1.2, y_m=0, z_m=0.25),
            compartments=(
                Compartment(
                    name="stern",
                    length_m=0.6,
                    width_m=0.45,
                    height_m=0.32,
                    x_m=-1,
                    y_m=0,
                    z_m=0.12,
                ),
                Compartment(
                    name="bow",
                    length_m=0.6,
                    width_m=0.45,
                    height_m=0.32,
                    opening_length_m=0.5,
                    opening_width_m=0.4,
                    max_load_kg=60,
                    x_m=1.2,
                    y_m=0,
                    z_m=0.12,
                ),
            ),
            mounts=(Mount(name="transom", x_m=-2.2, y_m=0, z_m=0.4, shaft_needed_m=0.7),),
            cable_run_m={("stern", "transom"): 2.1},
        ),
        aboard=(
            Load(name="paddler", mass_kg=82, x_m=0.3, y_m=0, z_m=0.3),
            Load(name="gear", mass_kg=12, x_m=0.8, y_m=0, z_m=0.15),
        ),
        legs=(
            Leg(
                name="out",
                speed_m_s=1.3888888888889,
                duration_h=6000 / 1.3888888888889 / 3600,
                by_distance=True,
            ),
            Leg(
                name="back",
                speed_m_s=1.3888888888889,
                duration_h=1.25,
                headwind_m_s=2,
                current_m_s=0.083333333333333,
            ),
        ),
        devices=(Device(name="phone", power_w=5, duration_h=2),),
        limits=Limits(budget_cents=120000, kit_mass_kg=45, reserve=0.2),
        wish=Wish(by="cost", outings_per_season=20),
        parts=Parts(),
        file=str(path),
    )


def test_what_is_left_out_takes_its_default() -> None:
    outing = read()
    assert outing.water == Water(kind="fresh", temperature_c=15)
    assert outing.aboard == ()
    assert outing.devices == ()
    assert outing.craft.wind_area_m2 == 0.5
    assert outing.craft.controller_at is None
    assert outing.craft.cable_run_m == {}
    limits = outing.limits
    assert (limits.budget_cents, limits.kit_mass_kg, limits.lift_kg) == (None, None, None)
    assert (limits.top_speed_m_s, limits.recharge_within_h, limits.season_cents) == (None,) * 3
    assert (limits.reserve, limits.payload_margin_kg, limits.voltage_drop) == (0.2, 0, 0.05)
    assert limits.max_trim_rad == pytest.approx(math.radians(2))
    assert limits.max_heel_rad == pytest.approx(math.radians(3))
    assert limits.turn_heel_rad == pytest.approx(math.radians(12))
    assert outing.policy == Policy(
        discharge="everyday",
        health=0.9,
        place_temperature_c=30,
        fuse_over_ampacity=1,
        clearance_m=0.01,
    )
    assert outing.wish == Wish(by="cost", outings_per_season=20)
    assert outing.parts == Parts(own=(), require=(), refuse=(), own_pieces={})


@pytest.mark.parametrize(
    ("lines", "field", "value"),
    [
        ("budget = 1200", "budget_cents", 120000),
        ("budget = 1200.5", "budget_cents", 120050),
        ('budget = "1,200.00"', "budget_cents", 120000),
        ('budget = "$1,200"', "budget_cents", 120000),
        ('season = "1.200,00 €"', "season_cents", 120000),
        ('kit_mass = "99 lb"', "kit_mass_kg", 44.90564463),
        ("reserve = 0.25", "reserve", 0.25),
        ('reserve = "10 %"', "reserve", 0.1),
        ('reserve = "0.25"', "reserve", 0.25),
        ('top_speed = "4 mph"', "top_speed_m_s", 1.78816),
        ('recharge_within = "90 min"', "recharge_within_h", 1.5),
        ('max_trim = "3 deg"', "max_trim_rad", 0.05235987755983),
        ('max_heel = "5 deg"', "max_heel_rad", 0.087266462599716),
        ('voltage_drop = "10 %"', "voltage_drop", 0.1),
        ("payload_margin = 0", "payload_margin_kg", 0),
    ],
)
def test_a_limit_is_read(lines: str, field: str, value: float) -> None:
    outing = outing_from_text(f"{LEAST}[limits]\n{lines}\n", "outing.toml")
    assert getattr(outing.limits, field) == value


def test_a_shape_gives_exponents_and_drag_and_drag_may_be_overridden() -> None:
    craft = read().craft
    assert (craft.fineness, craft.fullness, craft.drag_factor) == (2, 3, 1.1)
    craft = read('shape = "slender"', 'shape = "flat-bottomed"\ndrag_factor = 1.45').craft
    assert (craft.fineness, craft.fullness, craft.drag_factor) == (2, 8, 1.45)
    craft = read('shape = "slender"', "fineness = 3\nfullness = 5").craft
    assert (craft.shape, craft.fineness, craft.fullness, craft.drag_factor) == (None, 3, 5, 1.3)


@pytest.mark.parametrize(
    ("lines", "waterplane"),
    [
        ('shape = "canoe"', 3),
        ('shape = "canoe"\nwaterplane = 5', 5),
        ("fineness = 3\nfullness = 5", 3),
        ("fineness = 3\nfullness = 5\nwaterplane = 6", 6),
    ],
)
def test_a_waterplane_is_the_shapes_or_as_fine_as_the_ends(lines: str, waterplane: int) -> None:
    assert read('shape = "slender"', lines).craft.waterplane_fineness == waterplane


@pytest.mark.parametrize(
    ("lines", "speed_m_s"), [('motor = "off"', 0.0), ('motor = "off"\nspeed = "2 m/s"', 2.0)]
)
def test_with_the_motor_off_a_speed_may_be_left_out(lines: str, speed_m_s: float) -> None:
    (leg,) = read('speed = "3 mph"', lines).legs
    assert (leg.driven, leg.held, leg.speed_m_s, leg.duration_h) == (False, False, speed_m_s, 2)


def test_a_place_is_held_where_the_motor_runs_at_no_speed() -> None:
    (leg,) = read('speed = "3 mph"', "speed = 0").legs
    assert (leg.driven, leg.held) == (True, True)


def test_holding_station_is_a_leg() -> None:
    leg = read('speed = "3 mph"', 'speed = 0\nheadwind = "4 m/s"\ncurrent = "-1 km/h"').legs[0]
    assert (leg.speed_m_s, leg.duration_h, leg.headwind_m_s) == (0, 2, 4)
    assert leg.current_m_s == pytest.approx(-1 / 3.6)


def test_distance_gives_the_hours() -> None:
    assert read('hours = "2 h"', 'distance = "6 mi"').legs[0].duration_h == pytest.approx(2)


def test_owned_pieces_are_counted() -> None:
    text = LEAST + '[parts]\nown = ["a", "b"]\nown_pieces = { a = 2 }\n'
    parts = outing_from_text(text, "outing.toml").parts
    assert (parts.own, parts.own_pieces) == (("a", "b"), {"a": 2})


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_editors_habits_change_nothing(tmp_path: Path, encoding: str, line_end: str) -> None:
    path = tmp_path / "outing.toml"
    path.write_bytes(LEAST.replace("\n", line_end).encode(encoding))
    assert read_outing(path).model_copy(update={"file": "outing.toml"}) == read()


def test_an_outing_is_final() -> None:
    with pytest.raises(ValueError, match="frozen"):
        read().title = "other"
