"""catalog add as a user runs it: answers piped, a line each."""

import csv
import io
import json
import shutil
import subprocess
from pathlib import Path

import pytest

from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.units.writing import us_quantities
from running import keelwatt
from samples import SHOP_PAGES, small_outing_text, write_catalog

BATTERY = ["us", "House 100", "LiFePO4", "12.8", "100", "100", "24.2", "13", "6.8", "8 1/2", ""]
ANSWERS = {
    "battery": [*BATTERY, "$1,299.00", ""],
    "motor": ["us", "Transom 55", "12 V", "55", "50", "", "", "36", "21 lb", "$219.99", ""],
    "controller": ["us", "Control 70", "12-60 V", "70", "", "$21.99", ""],
    "cable": ["us", "Red 6", "6 gauge", "105C", "$2.89", ""],
    "fuse": ["us", "Strip 70", "", "70", "?", "unknown", "", "", "9", ""],
    "connector": ["metric", "Plug", "70", "10 AWG", "4 AWG", "120 g", "12", ""],
    "charger": ["metric", "Charger", "lead acid", "14.6", "10", "60", ""],
    "fitting": ["metric", "Bar", "bus bar", "", "9", "100", "", "4", "", "48", ""],
}
"""Invented, in the words of shop pages."""

FILES = {"battery": "batteries"} | {kind: f"{kind}s" for kind in ANSWERS if kind != "battery"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(shipped_catalog(), tmp_path / "catalog")
    (tmp_path / "outing.toml").write_text(small_outing_text(), encoding="utf-8")
    return tmp_path


def add(
    folder: Path, kind: str, lines: list[str], *more: str, width: int = 80
) -> subprocess.CompletedProcess[str]:
    typed = "".join(f"{line}\n" for line in lines).encode()
    return keelwatt("catalog", "add", kind, *more, cwd=folder, typed=typed, COLUMNS=str(width))


def catalog(folder: Path) -> Catalog:
    return read_catalog(folder / "catalog")


@pytest.mark.parametrize("kind", ANSWERS)
def test_a_row_is_added_and_nothing_else_changes(folder: Path, kind: str) -> None:
    path = folder / "catalog" / f"{FILES[kind]}.csv"
    before = path.read_bytes()
    done = add(folder, kind, ANSWERS[kind], "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    after = path.read_bytes()
    assert after.startswith(before)
    assert after.count(b"\n") == before.count(b"\n") + 1 == told["row"]
    assert path.with_name(f"{path.name}.bak").read_bytes() == before
    assert catalog(folder).part(told["part"]).name == ANSWERS[kind][1]
    assert "(1 left)" in done.stderr
    assert "(0 left)" not in done.stderr


def test_what_was_typed_is_what_is_read(folder: Path) -> None:
    for kind, lines in ANSWERS.items():
        assert add(folder, kind, lines).returncode == 0
    parts = catalog(folder)
    battery, motor = parts.batteries[-1], parts.motors[-1]
    assert (battery.chemistry, battery.system_v, battery.cycles) == ("lfp", 12, 2000)
    assert battery.mass_kg == pytest.approx(24.2 * 0.45359237)
    assert battery.height_m == pytest.approx(8.5 * 0.0254)
    assert battery.price_cents == 129_900
    assert motor.thrust_n == pytest.approx(244.652, abs=1e-3)
    assert (motor.control, motor.steps) == ("stepped", 5)
    assert motor.shaft_m == pytest.approx(0.9144)
    control, cable = parts.controllers[-1], parts.cables[-1]
    assert (control.min_system_v, control.max_system_v) == (12, 48)
    assert cable.price_cents_m == pytest.approx(289 / 0.3048, abs=0.5)
    assert (parts.fuses[-1].interrupts_a, parts.fuses[-1].max_voltage_v) == (1000, 32)
    assert parts.connectors[-1].mass_kg == 0.12
    assert parts.chargers[-1].chemistries == ("flooded", "agm")
    assert (parts.fittings[-1].studs, parts.fittings[-1].rating_a) == (4, 100)


def test_three_sizes_may_be_one_answer(folder: Path) -> None:
    lines = [*BATTERY[:7], "13 x 6.8", '13" x 6.8" x 8 1/2"', "", "1299", ""]
    done = add(folder, "battery", lines)
    assert done.returncode == 0, done.stderr
    assert "is not length x width x height" in done.stderr
    assert "Cycles" in done.stderr.split("8 1/2")[1].split("(")[0]
    assert "(3 left)" in done.stderr.split("Cycles")[1]
    battery = catalog(folder).batteries[-1]
    sides = battery.length_m, battery.width_m, battery.height_m
    assert sides == pytest.approx((0.3302, 0.17272, 0.2159))
    metric = ["metric", *BATTERY[1:6], "11", "330 x 173 x 220", "", "1299", ""]
    assert add(folder, "battery", metric).returncode == 0
    assert catalog(folder).batteries[-1].height_m == 0.22


def test_it_ends_with_the_next_command(folder: Path) -> None:
    done = add(folder, "battery", ANSWERS["battery"])
    assert "Next: keelwatt why outing.toml house-100" in done.stdout
    (folder / "outing.toml").unlink()
    done = add(folder, "motors", ANSWERS["motor"])
    assert "Next: keelwatt catalog check --catalog catalog" in done.stdout


def test_a_name_taken_before_makes_another_id(folder: Path) -> None:
    for _ in range(2):
        assert add(folder, "battery", ANSWERS["battery"]).returncode == 0
    assert [part.id for part in catalog(folder).batteries[-2:]] == ["house-100", "house-100-2"]
    assert (folder / "catalog" / "batteries.csv.bak2").is_file()


def test_back_and_wrong_answers_and_a_question_mark(folder: Path) -> None:
    lines = ["us", "House", "<", "House 100", "lithium", "?", "lfp", "24", "back", "12.8", "100"]
    done = add(folder, "battery", [*lines, *BATTERY[5:], "1299", ""])
    assert done.returncode == 0, done.stderr
    told = " ".join(done.stderr.split())
    assert '"lithium" can be two kinds' in told
    assert catalog(folder).batteries[-1].voltage_v == 12.8


def test_what_does_not_fit_the_rest_is_asked_again(folder: Path) -> None:
    light = [line if line != "24.2" else "2.42" for line in BATTERY]
    done = add(folder, "battery", [*light, "1299", "", "no", "24.2"])
    assert done.returncode == 0, done.stderr
    assert "lfp holds 200 at most" in " ".join(done.stderr.split())
    assert catalog(folder).batteries[-1].mass_kg == pytest.approx(24.2 * 0.45359237)
    kept = add(folder, "battery", [*light, "1299", "", "yes", "yes"])
    assert kept.returncode == 0, kept.stderr
    strong = [line if line != "55" else "300" for line in ANSWERS["motor"]]
    done = add(folder, "motor", [*strong, "55"])
    assert "gives" in done.stderr
    assert done.returncode == 0, done.stderr


def test_more_goes_through_the_data_sheet_too(folder: Path) -> None:
    sheet = ["house-a", "", "5", "no", "2", "2", "", "900 A", "8 years"]
    done = add(folder, "battery", [*BATTERY, "1299", "more", *sheet])
    assert done.returncode == 0, done.stderr
    battery = catalog(folder).batteries[-1]
    assert (battery.id, battery.rated_h, battery.max_series) == ("house-a", 5, 2)
    assert (battery.short_circuit_a, battery.calendar_years) == (900, 8)


@pytest.mark.parametrize(
    ("lines", "status", "says"),
    [
        (["us", "House", "quit"], 0, "Nothing was written"),
        (["us", "House"], 3, "ended before the last question; nothing was written"),
        ([], 3, "nothing was written"),
    ],
)
def test_stopping_writes_nothing(folder: Path, lines: list[str], status: int, says: str) -> None:
    before = sorted((path.name, path.read_bytes()) for path in (folder / "catalog").iterdir())
    done = add(folder, "battery", lines)
    assert (done.returncode, says in done.stdout + done.stderr) == (status, True)
    after = sorted((path.name, path.read_bytes()) for path in (folder / "catalog").iterdir())
    assert after == before


def test_a_file_in_a_shop_s_own_columns_gets_the_row_and_the_columns_it_lacks(
    tmp_path: Path,
) -> None:
    write_catalog(tmp_path / "catalog", SHOP_PAGES)
    path = tmp_path / "catalog" / "controllers.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    path.write_bytes("\r\n".join([lines[0], "# mine, with care", *lines[1:], ""]).encode())
    done = add(tmp_path, "controller", ["us", "Control 70", "12-60 V", "70", "1 lb", "$21.99", ""])
    assert done.returncode == 0, done.stderr
    text = path.read_bytes().decode()
    assert text.count("\r\n") == text.count("\n") == 6
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert rows[0] == ["name", "voltage", "amps", "price", "id", "mass [kg]"]
    assert text.splitlines()[1] == "# mine, with care"
    assert rows[-1] == ["Control 70", "12-60", "70 A", "21.99", "control-70", "1 lb"]
    assert {len(row) for row in rows[2:]} == {6}
    assert read_catalog(tmp_path / "catalog").controllers[-1].max_system_v == 48


def test_prices_a_foot_and_decimal_commas_stay_as_the_file_has_them(tmp_path: Path) -> None:
    write_catalog(tmp_path / "catalog", SHOP_PAGES)
    path = tmp_path / "catalog" / "cables.csv"
    path.write_text("name;gauge;price per foot\nRot 6;6 AWG;2,50\n", encoding="utf-8")
    assert add(tmp_path, "cable", ["metric", "Rot 4", "4 AWG", "105 C", "9,84", ""]).returncode == 0
    assert path.read_text(encoding="utf-8").splitlines()[-1].startswith("Rot 4;4 AWG;2,999")
    cable = read_catalog(tmp_path / "catalog").cables[-1]
    assert cable.price_cents_m == pytest.approx(984, abs=1)


def test_an_empty_shelf_and_a_missing_file_are_no_hindrance(tmp_path: Path) -> None:
    write_catalog(tmp_path / "catalog", SHOP_PAGES)
    path = tmp_path / "catalog" / "batteries.csv"
    path.write_text("id,name,chemistry,voltage,capacity,mass,length,width,height,price\n")
    assert add(tmp_path, "battery", ANSWERS["battery"]).returncode == 0
    assert [part.id for part in read_catalog(tmp_path / "catalog").batteries] == ["house-100"]
    assert not (tmp_path / "catalog" / "fittings.csv").exists()
    assert add(tmp_path, "fitting", ANSWERS["fitting"]).returncode == 0
    assert read_catalog(tmp_path / "catalog").fittings[0].name == "Bar"


def test_it_never_writes_where_there_is_no_catalog_of_yours(tmp_path: Path) -> None:
    done = add(tmp_path, "battery", ANSWERS["battery"])
    assert done.returncode == 3
    assert "--catalog my-boat/catalog" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_kind_may_be_said_in_short(folder: Path) -> None:
    done = add(folder, "control", ANSWERS["controller"])
    assert "control-70" in done.stdout
    done = add(folder, "con", [])
    assert done.returncode == 2
    assert "controllers, connectors" in " ".join(done.stderr.split())


def test_an_unknown_kind_is_wrong_usage(folder: Path) -> None:
    done = add(folder, "paddle", [])
    assert done.returncode == 2
    assert "batteries, motors, controllers" in " ".join(done.stderr.split())


@pytest.mark.parametrize("width", [40, 80, 120])
def test_questions_keep_to_the_screen(folder: Path, width: int) -> None:
    done = add(folder, "battery", ["?", *ANSWERS["battery"]], width=width)
    assert done.returncode == 0, done.stderr
    assert max(map(len, done.stderr.splitlines())) <= width


def test_units_are_offered_as_the_outing_beside_has_them(folder: Path) -> None:
    added = add(folder, "charger", ["", "Charger", "agm", "12", "5", "40", ""])
    assert "[metric] >" in added.stderr
    text = (folder / "outing.toml").read_text(encoding="utf-8")
    (folder / "outing.toml").write_text(us_quantities(text), encoding="utf-8")
    added = add(folder, "charger", ["", "Another", "agm", "12", "5", "40", ""])
    assert "[us] >" in added.stderr
