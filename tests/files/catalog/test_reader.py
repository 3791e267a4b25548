"""The catalog from good files: conversion, defaults, encodings and separators."""

import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from keelwatt.errors import InputError
from keelwatt.files.catalog.parts import Battery, Cable, Charger, Connector, Motor
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from samples import small_catalog_text, with_cell, write_catalog


def changed(folder: Path, file: str, text: str | bytes) -> Catalog:
    write_catalog(folder)
    data = text.encode() if isinstance(text, str) else text
    (folder / file).write_bytes(data)
    return read_catalog(folder)


def test_a_row_becomes_a_part_in_si(tmp_path: Path) -> None:
    catalog = read_catalog(write_catalog(tmp_path))
    assert catalog.batteries[1] == Battery(
        id="agm-100",
        name="AGM 100 Ah",
        chemistry="agm",
        system_v=12,
        voltage_v=12,
        capacity_ah=100,
        rated_h=20,
        continuous_a=100,
        mass_kg=29.5,
        length_m=0.33,
        width_m=0.173,
        height_m=0.22,
        upright_only=False,
        max_series=4,
        max_parallel=4,
        cycles=500,
        price_cents=21900,
        peukert=1.12,
        short_circuit_a=2200,
        calendar_years=6,
    )
    assert catalog.cables[2] == Cable(
        id="cable-16mm2",
        name="Copper 16 mm2",
        size="16 mm2",
        insulation_c=90,
        mass_kg_m=0.19,
        price_cents_m=360,
    )
    assert catalog.chargers[0] == Charger(
        id="charger-lead",
        name="Lead-acid charger 10 A",
        chemistries=("flooded", "agm", "gel"),
        system_v=12,
        current_a=10,
        price_cents=5900,
    )
    plug = catalog.connectors[0]
    assert isinstance(plug, Connector)
    assert (plug.smallest, plug.largest) == ("10 AWG", "6 AWG")
    assert (f"{plug.smallest_mm2:.2f}", f"{plug.largest_mm2:.2f}") == ("5.26", "13.30")
    assert catalog.warnings == ()


def test_what_is_left_empty_takes_its_default(tmp_path: Path) -> None:
    catalog = read_catalog(write_catalog(tmp_path))
    flooded, lfp = catalog.batteries[0], catalog.batteries[2]
    assert (flooded.peukert, flooded.short_circuit_a, flooded.calendar_years) == (1.30, None, 4)
    assert (lfp.peukert, lfp.calendar_years) == (1.03, 10)
    stepped, known, chopper = catalog.motors
    assert stepped.no_load_a == pytest.approx(0.04 * 30)
    assert stepped.no_thrust_speed_m_s is None
    assert (stepped.thrust_is, stepped.winding, stepped.step_currents_a) == ("claimed", 0.2, None)
    assert (stepped.tube_m, stepped.pod_m) == (0.028, 0.09)
    assert (stepped.efficiency, chopper.efficiency, chopper.steps) == (1.0, 0.96, 0)
    assert known.no_load_a == 1.8
    assert chopper.no_thrust_speed_m_s == pytest.approx(9.5 / 3.6)


def test_what_a_motor_may_say_besides(tmp_path: Path) -> None:
    header, *rows = small_catalog_text()["motors.csv"].splitlines()
    header += ",thrust_is,winding [%],step_currents [A],tube [mm],pod [mm]"
    rows[0] += ",measured,15,8|11|16|22|30,25,80"
    text = "\n".join([header, rows[0], *(row + ",,,,," for row in rows[1:])])
    said, blank, _ = changed(tmp_path, "motors.csv", text).motors
    assert (said.thrust_is, said.winding) == ("measured", 0.15)
    assert said.step_currents_a == (8, 11, 16, 22, 30)
    assert (said.tube_m, said.pod_m) == (0.025, 0.08)
    assert (blank.thrust_is, blank.winding, blank.step_currents_a) == ("claimed", 0.2, None)


def test_columns_may_be_left_out_if_they_are_optional(tmp_path: Path) -> None:
    lines = small_catalog_text()["motors.csv"].splitlines()
    text = "\n".join(",".join(line.split(",")[:11]) for line in lines)
    motors = changed(tmp_path, "motors.csv", text).motors
    assert [motor.efficiency for motor in motors] == [1.0, 1.0, 0.95]


def test_a_part_is_found_by_its_id_with_its_row(tmp_path: Path) -> None:
    catalog = read_catalog(write_catalog(tmp_path))
    motor = catalog.part("chopper-200")
    assert isinstance(motor, Motor)
    assert catalog.rows["chopper-200"] == ("motors.csv", 4)
    assert motor in catalog.kinds()["motors"]
    assert sum(map(len, catalog.kinds().values())) == len(catalog.rows)
    with pytest.raises(KeyError):
        catalog.part("no-such-part")


def test_the_digest_is_that_of_the_files_in_order_of_name(tmp_path: Path) -> None:
    catalog = read_catalog(write_catalog(tmp_path))
    files = small_catalog_text()
    data = "".join(files[name] for name in sorted(files)).encode()
    assert catalog.sha256 == hashlib.sha256(data).hexdigest()
    assert catalog.folder == str(tmp_path)


@pytest.mark.parametrize("old,new,cell", [("[kg]", "[lb]", "65.0364"), ("[kg]", "[g]", "29500")])
def test_another_unit_of_the_same_kind_is_converted(
    tmp_path: Path, old: str, new: str, cell: str
) -> None:
    text = small_catalog_text()["batteries.csv"]
    for row, mass in ((2, "18400"), (3, cell), (4, "6200"), (5, "11300")):
        text = with_cell(text, row, "mass", mass)
    if new == "[lb]":
        for row, mass in ((2, "40.6"), (4, "13.7"), (5, "24.9")):
            text = with_cell(text, row, "mass", mass)
    text = text.replace(f"mass {old}", f"Mass {new}")
    assert changed(tmp_path, "batteries.csv", text).batteries[1].mass_kg == pytest.approx(
        29.5, 1e-5
    )


@pytest.mark.parametrize(
    ("file", "row", "column", "cell", "field", "value"),
    [
        ("batteries.csv", 3, "price", "$1,299.00", "price_cents", 129900),
        ("batteries.csv", 3, "price", "1.299,00 €", "price_cents", 129900),
        ("batteries.csv", 3, "price", "1 299", "price_cents", 129900),
        ("batteries.csv", 3, "mass", "65 lb", "mass_kg", 29.48350405),
        ("batteries.csv", 3, "mass", "29,5", "mass_kg", 29.5),
        ("motors.csv", 2, "shaft", "1'000", "shaft_m", 1.0),
        ("motors.csv", 2, "shaft", "1E+03", "shaft_m", 1.0),
        ("motors.csv", 2, "shaft", '30"', "shaft_m", 0.762),
        ("motors.csv", 2, "shaft", "2 ft 6 in", "shaft_m", 0.762),
        ("batteries.csv", 3, "upright_only", "TRUE", "upright_only", True),
        ("batteries.csv", 3, "upright_only", "1", "upright_only", True),
        ("batteries.csv", 3, "upright_only", "false", "upright_only", False),
        ("batteries.csv", 3, "upright_only", "No", "upright_only", False),
        ("batteries.csv", 3, "chemistry", "AGM", "chemistry", "agm"),
        ("batteries.csv", 3, "cycles", "500.0", "cycles", 500),
        ("batteries.csv", 3, "system", "12.0", "system_v", 12),
        ("batteries.csv", 3, "name", "Größe  50 × 20 — «été»", "name", "Größe 50 × 20 — «été»"),
        ("controllers.csv", 2, "efficiency", "93 %", "efficiency", 0.93),
        ("cables.csv", 2, "price_per_metre", "$2.105", "price_cents_m", 210.5),
        ("chargers.csv", 2, "chemistries", "AGM, gel", "chemistries", ("agm", "gel")),
        ("motors.csv", 4, "steps", "", "steps", 0),
        ("connectors.csv", 2, "largest", "2/0", "largest", "2/0"),
    ],
)
def test_a_cell_is_read(
    *, tmp_path: Path, file: str, row: int, column: str, cell: str, field: str, value: object
) -> None:
    catalog = changed(tmp_path, file, with_cell(small_catalog_text()[file], row, column, cell))
    part = catalog.kinds()[file.removesuffix(".csv")][row - 2]
    assert getattr(part, field) == value


STYLES: dict[str, Callable[[str], str]] = {
    "byte order mark": lambda text: "\ufeff" + text,
    "semicolons": lambda text: text.replace(",", ";"),
    "semicolons and decimal commas": lambda text: text.replace(",", ";").replace(".", ","),
    "tabs": lambda text: text.replace(",", "\t"),
    "separator line": lambda text: "sep=;\r\n" + text.replace(",", ";"),
    "windows line ends": lambda text: text.replace("\n", "\r\n"),
    "old line ends": lambda text: text.replace("\n", "\r"),
    "empty columns at the end": lambda text: text.replace("\n", ",,,\n"),
    "blank rows": lambda text: "\n,,,\n" + text.replace("\n", "\n\n  ,\n"),
    "remarks": lambda text: "# a remark, with commas\n" + text.replace("\n", "\n# more\n"),
}


@pytest.mark.parametrize("style", STYLES)
def test_a_spreadsheets_habits_change_nothing(tmp_path: Path, style: str) -> None:
    plain = read_catalog(write_catalog(tmp_path / "plain"))
    folder = write_catalog(tmp_path / "spoken")
    for name, text in small_catalog_text().items():
        (folder / name).write_bytes(STYLES[style](text).encode())
    catalog = read_catalog(folder)
    assert catalog.kinds() == plain.kinds()
    assert catalog.warnings == ()


def test_rows_keep_the_numbers_of_the_spreadsheet(tmp_path: Path) -> None:
    lines = small_catalog_text()["fuses.csv"].splitlines()
    text = "\n".join(["# fuses", "", *lines[:2], "", "# more", ",,,,,,,", *lines[2:]])
    catalog = changed(tmp_path, "fuses.csv", text)
    assert [catalog.rows[fuse.id][1] for fuse in catalog.fuses] == [4, 8, 9]


def test_a_line_break_within_a_cell_is_one_row(tmp_path: Path) -> None:
    text = small_catalog_text()["fuses.csv"].replace("Fuse 40 A", '"Fuse\n40 A"')
    catalog = changed(tmp_path, "fuses.csv", text)
    assert catalog.fuses[0].name == "Fuse 40 A"
    assert catalog.rows["fuse-60"] == ("fuses.csv", 3)


def test_controllers_and_chargers_may_be_without_parts(tmp_path: Path) -> None:
    header = small_catalog_text()["controllers.csv"].splitlines()[0]
    assert changed(tmp_path, "controllers.csv", header).controllers == ()


def test_the_shipped_catalog_is_good() -> None:
    catalog = read_catalog(shipped_catalog())
    assert all(catalog.kinds().values())
    assert catalog.warnings == ()


CELL = st.one_of(
    st.text(st.characters(codec="utf-8"), max_size=12),
    st.text(alphabet='0123456789.,-eE%"\n;$€ kgAWlb/', max_size=8),
    st.sampled_from(["nan", "1e999", "None", "", "#REF!", "01-Jan", "yes", "12 V"]),
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(file=st.sampled_from(sorted(small_catalog_text())), cell=CELL, place=st.integers(0, 400))
def test_any_cell_is_read_or_told(tmp_path: Path, file: str, cell: str, place: int) -> None:
    text = small_catalog_text()[file]
    headers = [header.split(" [")[0] for header in text.splitlines()[0].split(",")]
    row = 2 + place // len(headers) % (len(text.splitlines()) - 1)
    column = headers[place % len(headers)]
    try:
        changed(tmp_path, file, with_cell(text, row, column, cell))
    except InputError as error:
        assert error.problems
        assert all(problem.what and problem.remedy for problem in error.problems)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    data=st.one_of(
        st.binary(max_size=200), st.text(st.characters(codec="utf-8"), max_size=200).map(str.encode)
    )
)
def test_any_file_is_read_or_told(tmp_path: Path, data: bytes) -> None:
    try:
        changed(tmp_path, "motors.csv", data)
    except InputError as error:
        assert error.problems
        assert all(problem.what and problem.remedy for problem in error.problems)
