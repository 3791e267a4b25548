"""Catalogs copied from shop pages: what is not printed there is taken at a safe default."""

from pathlib import Path

import pytest

from keelwatt.errors import InputError
from keelwatt.files.catalog.assumed import assumed, left_open, value_left_open
from keelwatt.files.catalog.checks import findings
from keelwatt.files.catalog.parts import FILES, Battery, Cable, Controller, Fuse, Motor
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.catalog.shop import chemistries, chemistry, least_class, most_class, sides
from keelwatt.units import UnitError, cable_area_mm2
from samples import SHOP_PAGES, small_catalog_text, write_catalog


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Catalog:
    folder = tmp_path_factory.mktemp("shop")
    return read_catalog(write_catalog(folder, SHOP_PAGES))


def test_only_what_a_shop_prints_is_needed(shop: Catalog) -> None:
    assert shop.warnings == ()
    lithium, sealed, high, wet = shop.batteries
    assert lithium.id == "deep-cycle-100-12-v"
    assert [each.chemistry for each in shop.batteries] == ["lfp", "agm", "lfp", "flooded"]
    assert [each.system_v for each in shop.batteries] == [12, 12, 24, 12]
    assert lithium.mass_kg == pytest.approx(24.2 * 0.45359237)
    assert lithium.height_m == pytest.approx(8.5 * 0.0254)
    assert lithium.price_cents == 129_900
    assert (lithium.rated_h, lithium.continuous_a, high.continuous_a) == (20, 50, 25)
    assert (lithium.max_series, lithium.max_parallel) == (1, 1)
    assert (sealed.max_series, sealed.max_parallel) == (4, 4)
    assert (wet.upright_only, sealed.upright_only) == (True, False)
    (motor,) = shop.motors
    assert motor.thrust_n == pytest.approx(55 * 4.4482216, rel=1e-6)
    assert (motor.current_a, motor.control, motor.steps) == (50, "stepped", 5)
    assert motor.shaft_m == pytest.approx(0.9144)
    spans = [(each.min_system_v, each.max_system_v) for each in shop.controllers]
    assert spans == [(12, 48), (12, 36), (24, 48)]
    assert shop.controllers[0].efficiency == 0.9
    (cable,) = shop.cables
    assert cable.price_cents_m == pytest.approx(289 / 0.3048)
    assert cable.insulation_c == 60
    (fuse,) = shop.fuses
    assert (fuse.kind, fuse.interrupts_a, fuse.max_voltage_v) == ("fuse", 1000, 32)
    assert shop.connectors[0].mass_kg == 0.1
    assert [each.chemistries for each in shop.chargers] == [("flooded", "agm"), ("lfp",)]
    assert [each.system_v for each in shop.chargers] == [12, 12]


def test_columns_that_hold_several_values_and_those_that_are_not_needed(tmp_path: Path) -> None:
    write_catalog(tmp_path)
    (tmp_path / "batteries.csv").write_text(
        "Name,Type,Voltage (V),Capacity (Ah),Weight (lbs),Dimensions,Price ($),Max discharge,Hue\n"
        'A,LiFePO4,12.8,100,24.2,13 x 6.8 x 8.5 in,$299.99,100A,"blue, grey"\n'
        'B,AGM,12,90,60,"12.9""L x 6.8""W x 8 1/2""H",189,,\n'
    )
    (tmp_path / "motors.csv").write_text(
        "Name,Voltage,Thrust (lbs),Amp draw,Shaft (in),Speeds,Price\n"
        "M,12,55,50,36,5 forward / 3 reverse,$219.99\nV,12,50,45 A,30,Variable,$299\n"
    )
    (tmp_path / "connectors.csv").write_text("name,amps,wire,price\nP,50,6-10 AWG,12\n")
    (tmp_path / "cables.csv").write_text("name,gauge,price per foot\nC,6,2.89\n")
    catalog = read_catalog(tmp_path)
    for battery in catalog.batteries:
        sides = battery.length_m, battery.width_m, battery.height_m
        assert sides == pytest.approx((0.33, 0.17272, 0.2159), abs=0.003)
    assert (catalog.batteries[0].continuous_a, catalog.batteries[0].price_cents) == (100, 29_999)
    stepped, variable = catalog.motors
    assert (stepped.control, stepped.steps) == ("stepped", 5)
    assert (variable.control, variable.steps) == ("chopper", 0)
    (plug,) = catalog.connectors
    assert (plug.smallest, plug.largest) == ("10 AWG", "6 AWG")
    assert catalog.cables[0].area_mm2 == cable_area_mm2("6 AWG")
    (warning,) = catalog.warnings
    assert (warning.column, warning.warning) == ("Hue", True)


def test_sizes_in_one_cell_as_shops_write_them() -> None:
    assert sides("13 x 6.8 x 8.4 inch") == ("13 inch", "6.8 inch", "8.4 inch")
    assert sides('12.9"L x 6.8"W x 8 1/2"H') == ('12.9"', '6.8"', '8 1/2"')
    assert sides("330mm (L) x 173mm (W) x 220mm (H)") == ("330mm", "173mm", "220mm")
    assert sides("33X17*22 cm") == ("33 cm", "17 cm", "22 cm")


@pytest.mark.parametrize("cell", ["13 x 6.8 in", "about a foot"])
def test_sizes_in_one_cell_that_are_not_three_are_told_once(tmp_path: Path, cell: str) -> None:
    write_catalog(tmp_path)
    (tmp_path / "batteries.csv").write_text(
        f"name,type,voltage,capacity,weight,dimensions,price\nA,agm,12,100,60 lb,{cell},9\n"
    )
    with pytest.raises(InputError) as caught:
        read_catalog(tmp_path)
    (problem,) = caught.value.problems
    assert problem.what == "is not length x width x height"
    assert "13 x 6.8 x 8.4 in" in problem.remedy


def test_every_default_taken_is_listed_with_its_source(shop: Catalog) -> None:
    listed = {(each.file, each.column): each for each in assumed(shop)}
    rated = listed["batteries.csv", "rated"]
    assert (rated.taken, rated.source, len(rated.parts)) == ("20 h", "common practice", 4)
    assert listed["fuses.csv", "interrupts"].taken == "1000 A"
    assert ("batteries.csv", "capacity") not in listed
    assert all(each.source and each.taken for each in listed.values())
    for parts in shop.shelves().values():
        for part in parts:
            for column in left_open(part):
                (each,) = (one for key, one in listed.items() if key[1] == column.name
                           and part.id in one.parts)  # fmt: skip
                assert each.source in value_left_open(part, column)


def test_a_blank_or_unknown_cell_takes_the_default_too(tmp_path: Path) -> None:
    write_catalog(tmp_path)
    text = small_catalog_text()["fuses.csv"].replace("5000,58,0.06", "?,,unknown")
    (tmp_path / "fuses.csv").write_text(text, encoding="utf-8")
    fuse = read_catalog(tmp_path).fuses[0]
    assert (fuse.interrupts_a, fuse.max_voltage_v) == (1000, 32)
    assert {column.name for column in left_open(fuse)} == {"interrupts", "max_voltage", "mass"}


def test_no_default_is_objected_to() -> None:
    """Whatever is taken beside a plausible part raises no finding of its own."""
    for kind in ("flooded", "agm", "gel", "lfp", "nmc"):
        battery = Battery.model_validate(
            {"name": "b", "chemistry": kind, "voltage_v": 12.8, "capacity_ah": 50, "mass_kg": 14,
             "length_m": 0.26, "width_m": 0.17, "height_m": 0.2, "price_cents": 1}
        )  # fmt: skip
        assert list(findings(battery)) == []
    for thrust_n, current_a in ((130, 30), (200, 45), (245, 50)):
        motor = Motor.model_validate(
            {"name": "m", "system_v": 12, "thrust_n": thrust_n, "current_a": current_a,
             "shaft_m": 0.8, "price_cents": 1}
        )  # fmt: skip
        assert list(findings(motor)) == []
    for size in ("10 AWG", "2/0 AWG", "16 mm2"):
        cable = Cable.model_validate({"name": "c", "size": size, "price_cents_m": 1})
        assert list(findings(cable)) == []
        assert cable.mass_kg_m > 8.89e-3 * cable_area_mm2(size)
    fuse = Fuse.model_validate({"name": "f", "rating_a": 300, "price_cents": 1})
    assert list(findings(fuse)) == []


@pytest.mark.parametrize(
    ("word", "means"),
    [
        ("LiFePO4", "lfp"),
        ("Lithium Iron", "lfp"),
        ("lithium iron phosphate battery", "lfp"),
        ("Sealed Lead-Acid", "agm"),
        ("SLA", "agm"),
        ("AGM", "agm"),
        ("Gel cell", "gel"),
        ("flooded lead acid", "flooded"),
        ("marine deep cycle lead acid", "flooded"),
    ],
)
def test_shop_words_for_chemistries(word: str, means: str) -> None:
    assert chemistry(word) == means


def test_lithium_alone_may_be_either() -> None:
    with pytest.raises(UnitError, match="two kinds"):
        chemistry("Lithium-ion")


def test_a_lead_acid_charger_is_not_taken_for_gel() -> None:
    assert chemistries(("lead acid",)) == ("flooded", "agm")
    assert chemistries(("flooded",)) == ("flooded",)
    assert chemistries(("flooded", "agm", "gel")) == ("flooded", "agm", "gel")


@pytest.mark.parametrize(
    "volts", [14.6, 15.0, 24.0, 28.0, 29.2, 30.0, 43.8, 50.0, 58.4, 60.0, 72.0]
)
def test_a_control_stands_what_the_highest_battery_taken_for_it_reaches(volts: float) -> None:
    """Four cells of LiFePO4 a 12 V block, 3.65 V each; a plain 24 means the class."""
    highest = most_class(volts)
    assert isinstance(highest, int | float)
    assert highest / 12 * 4 * 3.65 <= volts or volts == highest
    assert highest == 48 or (highest + 12) / 12 * 4 * 3.65 > volts


def test_the_lowest_class_is_never_below_what_is_printed() -> None:
    assert [least_class(volts) for volts in (6.0, 12, 12.8, 20.0, 24)] == [12, 12, 12, 24, 24]
    with pytest.raises(UnitError) as caught:
        least_class(60.0)
    assert caught.value.what == "is above every system voltage"
    assert caught.value.remedy == "write 12, 24, 36 or 48"


def test_a_missing_required_column_says_what_it_is(tmp_path: Path) -> None:
    write_catalog(tmp_path)
    (tmp_path / "motors.csv").write_text("name,voltage,thrust,price\nm,12,55 lb,9\n")
    with pytest.raises(InputError) as caught:
        read_catalog(tmp_path)
    told = {problem.column: problem.remedy for problem in caught.value.problems}
    assert "max amp draw" in told["current [A]"]
    assert "Length below the mount" in told["shaft [mm]"]


def test_every_kind_needs_a_name_and_a_price_and_no_id() -> None:
    for model in FILES.values():
        assert not model.model_fields["id"].is_required()
        assert model.model_fields["name"].is_required()


def test_one_column_cannot_hold_a_control_twice(tmp_path: Path) -> None:
    write_catalog(tmp_path)
    text = "name,voltage,min_system [V],amps,price\nc,12-24 V,12,40,9\n"
    (tmp_path / "controllers.csv").write_text(text)
    with pytest.raises(InputError) as caught:
        read_catalog(tmp_path)
    assert "is there twice" in caught.value.problems[0].what
    assert Controller.model_fields["min_system_v"].is_required()


@pytest.mark.parametrize(
    ("header", "metres"),
    [("L in", 0.0254), ("length (in)", 0.0254), ("Length_cm", 0.01), ("length mm", 0.001)],
)
def test_a_unit_may_stand_without_brackets(tmp_path: Path, header: str, metres: float) -> None:
    text = small_catalog_text()
    text["batteries.csv"] = text["batteries.csv"].replace("length [mm]", header)
    length = float(text["batteries.csv"].splitlines()[1].split(",")[9])
    battery = read_catalog(write_catalog(tmp_path, text)).batteries[0]
    assert battery.length_m == pytest.approx(length * metres)


BY_NAME = "name,volts,Ah,weight,price,length,width,height\n{},12.8,100,24 lb,329,13 in,7 in,8 in\n"


@pytest.mark.parametrize(
    ("name", "means"),
    [
        ("Smart LiFePO4 100", "lfp"),
        ("Lithium iron phosphate 100", "lfp"),
        ("AGM deep cycle", "agm"),
        ("Sealed lead-acid 100", "agm"),
        ("Gel 100", "gel"),
        ("Leisure, wet cell", "flooded"),
    ],
)
def test_a_chemistry_nobody_wrote_down_is_that_of_the_name(
    tmp_path: Path, name: str, means: str
) -> None:
    text = small_catalog_text() | {"batteries.csv": BY_NAME.format(f'"{name}"')}
    catalog = read_catalog(write_catalog(tmp_path, text))
    assert [each.chemistry for each in catalog.batteries] == [means]
    assert any(each.column == "chemistry" for each in assumed(catalog))


@pytest.mark.parametrize(
    ("name", "says"), [("Leaders 100", "not said by the name"), ("Lithium 100", "two kinds")]
)
def test_a_name_that_does_not_say_the_chemistry(tmp_path: Path, name: str, says: str) -> None:
    text = small_catalog_text() | {"batteries.csv": BY_NAME.format(name)}
    with pytest.raises(InputError) as caught:
        read_catalog(write_catalog(tmp_path, text))
    (problem,) = (each for each in caught.value.problems if not each.warning)
    assert (problem.row, problem.column) == (2, "chemistry")
    assert says in problem.what
    assert "lfp" in problem.remedy


def test_of_a_fitting_only_what_it_is_about_is_listed() -> None:
    """In the shipped catalog no fitting leaves open what its kind needs."""
    told = [each for each in assumed(read_catalog(shipped_catalog())) if "fittings" in each.file]
    assert told == []
    lug = FILES["fittings"].model_validate({"name": "Lug", "what": "lug", "price_cents": 50})
    assert {column.name for column in left_open(lug)} == {"size", "mass"}
