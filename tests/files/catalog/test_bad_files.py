"""Catalog files to be put right: each problem names its file, row, column, value and remedy."""

import re
from collections.abc import Sequence
from pathlib import Path

import pytest

from keelwatt.errors import InputError, Problem
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.catalog.table import MOST_ROWS
from samples import assert_says, small_catalog_text, with_cell, write_catalog


def problems_of(folder: Path, files: dict[str, str | bytes]) -> Sequence[Problem]:
    """What is told of a catalog in which these files are otherwise."""
    write_catalog(folder)
    for name, text in files.items():
        (folder / name).write_bytes(text.encode() if isinstance(text, str) else text)
    try:
        return read_catalog(folder).warnings
    except InputError as error:
        return error.problems


@pytest.mark.parametrize(
    ("file", "row", "column", "cell", "says"),
    [
        ("batteries.csv", 2, "id", "AGM 9 (new)", 'with-dashes; write it as "agm-9-new"'),
        ("batteries.csv", 2, "id", "agm_100", 'write it as "agm-100"'),
        ("batteries.csv", 2, "id", "#REF!", "lowercase-with-dashes"),
        ("batteries.csv", 2, "name", "", "is empty"),
        ("batteries.csv", 2, "name", "bell\x07", "type it again"),
        ("batteries.csv", 2, "chemistry", "zinc", 'not one of the words.*"flooded".*"lfp"'),
        ("batteries.csv", 2, "chemistry", "Lithium", "two kinds; write lfp if.*LiFePO4.*nmc"),
        ("batteries.csv", 2, "chemistry", "floded", 'did you mean "flooded"'),
        ("batteries.csv", 2, "system", "18", "write 12, 24, 36 or 48"),
        ("batteries.csv", 2, "system", "44", "of 36 V or of 48 V; write 36 or 48"),
        ("batteries.csv", 2, "voltage", "24", "not the voltage of a 12 V battery.*10.8 and 15 V"),
        ("batteries.csv", 2, "voltage", "6", "not the voltage of a 12 V battery"),
        ("batteries.csv", 2, "capacity", "NaN", "not a number"),
        ("batteries.csv", 2, "capacity", "inf", "not a number"),
        ("batteries.csv", 2, "capacity", "1_000", "without the underscore: 1000"),
        ("batteries.csv", 2, "capacity", "None", "not a number; write the number itself"),
        ("batteries.csv", 2, "capacity", "NA", "is not known; write its capacity.*on the label"),
        ("batteries.csv", 2, "capacity", "", r"is empty; write its capacity \[Ah\]"),
        ("batteries.csv", 2, "capacity", "-75", "not above 0; write a value above 0"),
        ("batteries.csv", 2, "capacity", "0", "not above 0"),
        ("batteries.csv", 2, "capacity", "1,250", "1250 if thousands are meant, or 1.25 if not"),
        ("batteries.csv", 2, "capacity", "900 Wh", "energy, not a capacity.*divide the watt-hours"),
        ("batteries.csv", 2, "mass", "12 V", "is a voltage, not a mass"),
        ("batteries.csv", 2, "mass", "#DIV/0!", "not a number"),
        ("batteries.csv", 2, "length", "1e999", "too large"),
        ("batteries.csv", 2, "upright_only", "maybe", "neither yes nor no; .*write yes or no"),
        ("batteries.csv", 2, "upright_only", "ye", 'did you mean "yes"'),
        ("batteries.csv", 2, "max_series", "2.5", "not a whole number; write a count"),
        ("batteries.csv", 2, "max_series", "0", "is below 1; write 1 or more"),
        ("batteries.csv", 2, "max_series", "17", "is above 16; write 16 or less"),
        ("batteries.csv", 2, "max_parallel", "10000000000", "is above 64; write 64 or less"),
        ("batteries.csv", 2, "cycles", "01-Jan", "not a number"),
        ("batteries.csv", 2, "price", "-1", "is below 0"),
        ("batteries.csv", 2, "price", "12.345", "more than two decimals"),
        ("batteries.csv", 2, "price", "ask", "not a number"),
        ("batteries.csv", 2, "peukert", "0.9", "is below 1; write 1 or more"),
        ("batteries.csv", 2, "peukert", "1.7", "is above 1.6; write 1.6 or less"),
        ("batteries.csv", 2, "peukert", "low", "or leave the cell empty: flooded 1.3.*then taken"),
        ("fuses.csv", 2, "interrupts", "a lot", "or leave the cell empty: 1000 A is then taken"),
        ("batteries.csv", 2, "calendar", "-1", "not above 0"),
        ("motors.csv", 2, "control", "pwm", 'write "stepped" or "chopper"'),
        ("motors.csv", 2, "steps", "0", "missing for a stepped motor; write the number"),
        ("motors.csv", 2, "steps", "five", "not a number"),
        ("motors.csv", 4, "efficiency", "1.2", "is above 100 %"),
        ("motors.csv", 4, "efficiency", "0", "is not above 0"),
        ("motors.csv", 2, "no_load", "31", "not below the current at full throttle, 30 A"),
        ("motors.csv", 2, "thrust", "300", "a 210 mm propeller on 360 W gives 207.8 N at most"),
        ("controllers.csv", 2, "efficiency", "95", "is above 100 %.*0.2"),
        ("controllers.csv", 2, "min_system", "48", "24 V; exchange the two, or put them right"),
        ("controllers.csv", 2, "max_system", "13", "below the 14.6 V that a 12 V battery reaches"),
        ("controllers.csv", 2, "min_system", "90", "is above every system voltage"),
        ("cables.csv", 2, "size", "8", '"8 AWG" or "8 mm2"'),
        ("cables.csv", 2, "size", "01-Jan", "is a date.*format the column as text"),
        ("cables.csv", 2, "size", "Jan-00", "is a date.*format the column as text"),
        ("cables.csv", 2, "size", "2000-01-01", "is a date.*format the column as text"),
        ("cables.csv", 2, "size", "", "is empty"),
        ("cables.csv", 2, "insulation", "1050", "is above 300 degC"),
        ("fuses.csv", 2, "kind", "blade", 'write "fuse" or "breaker"'),
        ("connectors.csv", 2, "smallest", "4 AWG", "thicker cable than the largest, 6 AWG"),
        ("connectors.csv", 2, "largest", "1-Jan", "is a date.*as text"),
        ("chargers.csv", 2, "chemistries", "agm|zinc", 'write "flooded"'),
        ("chargers.csv", 2, "chemistries", "|", "nothing in it; add at least one"),
    ],
)  # fmt: skip
def test_a_bad_cell_is_told(
    *, tmp_path: Path, file: str, row: int, column: str, cell: str, says: str
) -> None:
    text = with_cell(small_catalog_text()[file], row, column, cell)
    found = problems_of(tmp_path, {file: text})
    assert len(found) == 1, found
    problem = found[0]
    assert (problem.file, problem.row) == (str(tmp_path / file), row)
    assert problem.column is not None
    assert problem.column.split(" [")[0] == column
    assert problem.value == cell
    assert not problem.warning
    assert_says(problem, says)


def test_a_propeller_too_small_for_its_thrust_is_told_at_the_thrust(tmp_path: Path) -> None:
    text = with_cell(small_catalog_text()["motors.csv"], 2, "propeller", "21")
    (problem,) = problems_of(tmp_path, {"motors.csv": text})
    assert (problem.row, problem.column, problem.value) == (2, "thrust [N]", "130")
    assert_says(problem, "a 21 mm propeller on 360 W gives 44.8 N at most")


def test_a_row_tells_every_problem_it_has(tmp_path: Path) -> None:
    text = small_catalog_text()["motors.csv"]
    for column, cell in (("name", ""), ("thrust", "300"), ("shaft", "long")):
        text = with_cell(text, 2, column, cell)
    problems = problems_of(tmp_path, {"motors.csv": text})
    assert {problem.column for problem in problems} == {"name", "shaft [mm]"}
    text = with_cell(with_cell(text, 2, "name", "Motor"), 2, "shaft", "760")
    problems = problems_of(tmp_path, {"motors.csv": with_cell(text, 2, "no_load", "low")})
    assert {problem.column for problem in problems} == {"thrust [N]", "no_load [A]"}


@pytest.mark.parametrize(
    ("file", "row", "column", "cell", "says"),
    [
        ("batteries.csv", 2, "mass", "8", "112 Wh/kg; flooded holds 60 at most.*units"),
        ("batteries.csv", 4, "mass", "3.1", "206 Wh/kg; lfp holds 200 at most"),
        ("batteries.csv", 2, "length", "27.8", "kg per litre.*units"),
        ("motors.csv", 2, "thrust", "150", "a 210 mm propeller on 360 W gives 145.5 N at most"),
        (
            "motors.csv",
            2,
            "no_thrust_speed",
            "14",
            "not the speed of such a propeller",
        ),
        ("motors.csv", 2, "no_thrust_speed", "5", "leave it empty: thrust and propeller give it"),
        ("cables.csv", 2, "mass", "0.05", "less than the copper in it, 0.074 kg/m"),
        ("batteries.csv", 2, "short_circuit", "50", "not above the continuous current, 60 A"),
        ("motors.csv", 4, "steps", "5", "a chopper has none; write 0"),
        ("motors.csv", 2, "efficiency", "0.9", "no chopper of its own; leave it empty"),
        ("cables.csv", 2, "insulation", "55", "below 60 degC.*jacket"),
        ("fuses.csv", 2, "interrupts", "40", "not above the rating, 40 A"),
        ("batteries.csv", 3, "price", "€219.00", "not in the currency of row 2"),
    ],
)
def test_a_suspicious_cell_is_a_warning(
    *, tmp_path: Path, file: str, row: int, column: str, cell: str, says: str
) -> None:
    text = with_cell(small_catalog_text()[file], row, column, cell)
    if column == "price":
        text = with_cell(text, 2, "price", "$98.00")
    problems = problems_of(tmp_path, {file: text})
    assert [problem.warning for problem in problems] == [True]
    (problem,) = problems
    assert (problem.file, problem.row, problem.value) == (str(tmp_path / file), row, cell)
    assert_says(problem, says)


HEADER = small_catalog_text()["fuses.csv"].splitlines()[0]


@pytest.mark.parametrize(
    ("old", "new", "column", "says"),
    [
        ("mass [kg],", "mass,", "mass", r"has no unit; write mass \[kg\]"),
        (
            "rating [A],",
            "rating [kg],",
            "rating [kg]",
            r"a mass, not a current; write rating \[A\]",
        ),
        ("rating [A],", "rating [Amperage],", "rating [Amperage]", "not a unit known here"),
        ("rating [A],", "ratng [A],", "ratng [A]", 'did you mean "rating"'),
        ("kind,", "kind [A],", "kind [A]", "takes no unit; write kind"),
        ("price", "price [V]", "price [V]", "takes no unit; write price"),
        ("price", "price,price", "price", "is there twice; leave out one"),
        ("price", "price,Price", "Price", "is there twice; leave out one"),
        ("price", "price,colour", "colour", "not a column of this file"),
        ("rating [A],", "rating [A],,", "", "a column without a name"),
    ],
)
def test_a_bad_header_is_told(tmp_path: Path, old: str, new: str, column: str, says: str) -> None:
    rows = small_catalog_text()["fuses.csv"].splitlines()[1:]
    extra = new.count(",") - old.count(",")
    text = "\n".join([HEADER.replace(old, new), *(row + "," * extra for row in rows)])
    problems = problems_of(tmp_path, {"fuses.csv": text})
    problem = next(problem for problem in problems if problem.column == column)
    assert (problem.file, problem.row, problem.value) == (str(tmp_path / "fuses.csv"), 1, None)
    assert_says(problem, says)


@pytest.mark.parametrize("column", ["name", "rating [A]", "price"])
def test_a_missing_column_is_told_and_the_others_are_read(tmp_path: Path, column: str) -> None:
    rows = [line.split(",") for line in small_catalog_text()["fuses.csv"].splitlines()]
    place = rows[0].index(column)
    rows[2][5 if place != 5 else 3] = "high"
    text = "\n".join(",".join(row[:place] + row[place + 1 :]) for row in rows)
    missing, bad = problems_of(tmp_path, {"fuses.csv": text})
    assert (missing.row, missing.column) == (1, column)
    assert_says(missing, f"missing from the header; add a column {re.escape(column)}")
    assert (bad.row, bad.value) == (3, "high")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("fuse-40,Fuse 40 A,fuse,40", "has 4 cells, and the header has 8.*separator"),
        (
            "fuse-40,Fuse, 40 A,fuse,40,5000,58,0.06,9.50",
            "has 9 cells, and the header has 8.*quotes",
        ),
        ('fuse-40,"Fuse 40 A,fuse,40,5000,58,0.06,9.50', "a quote mark that is not closed.*twice"),
        ('fuse-40,"Fuse" 40 A,fuse,40,5000,58,0.06,9.50', "text after one.*twice"),
    ],
)
def test_a_row_of_the_wrong_length_is_told(tmp_path: Path, line: str, says: str) -> None:
    (problem,) = problems_of(tmp_path, {"fuses.csv": f"{HEADER}\n{line}\n"})
    assert (problem.file, problem.row, problem.column) == (str(tmp_path / "fuses.csv"), 2, None)
    assert_says(problem, says)


@pytest.mark.parametrize(
    ("data", "row", "says"),
    [
        (b"", None, "is empty; give it a header and rows; the header: name,rating"),
        (b"\xef\xbb\xbf\r\n\r\n,,,\r\n", None, "is empty"),
        (b"# only a remark\n", None, "is empty"),
        (HEADER.encode(), 1, "holds no rows; add one"),
        (b"fuse-40,Fuse 40 A,fuse,40,5000,58,0.06,9.50", 1, "not the header.*name,rating"),
        (HEADER.replace(",", "|").encode(), 1, "not the header of this file"),
        (b"PK\x03\x04rest", None, "workbook, not CSV; save the sheet as CSV UTF-8"),
        (HEADER.encode("utf-16"), None, "not UTF-8 text; save the sheet as CSV UTF-8"),
        (b"\x00\x01\x02", None, "not UTF-8 text"),
        (b"\x81\x8d\x8f", None, "not text; save the sheet as CSV UTF-8"),
    ],
)
def test_a_file_that_is_no_table_is_told(
    tmp_path: Path, data: bytes, row: int | None, says: str
) -> None:
    (problem,) = problems_of(tmp_path, {"fuses.csv": data})
    assert (problem.file, problem.row) == (str(tmp_path / "fuses.csv"), row)
    assert_says(problem, says)


def test_windows_1252_is_read_with_a_warning(tmp_path: Path) -> None:
    text = small_catalog_text()["fuses.csv"].replace("Fuse 40 A", "Für 40 A, 9 €".replace(",", ""))
    write_catalog(tmp_path)
    (tmp_path / "fuses.csv").write_bytes(text.encode("cp1252"))
    catalog = read_catalog(tmp_path)
    assert catalog.fuses[0].name == "Für 40 A 9 €"
    (warning,) = catalog.warnings
    assert warning.warning
    assert_says(warning, "Windows-1252; save the sheet as CSV UTF-8")


def test_a_missing_file_is_told_and_the_misnamed_one_beside_it(tmp_path: Path) -> None:
    write_catalog(tmp_path)
    (tmp_path / "fuses.csv").rename(tmp_path / "fuse.csv")
    with pytest.raises(InputError) as caught:
        read_catalog(tmp_path)
    stranger, missing = caught.value.problems
    assert (stranger.file, stranger.warning) == (str(tmp_path / "fuse.csv"), True)
    assert_says(stranger, 'was not read; did you mean "fuses.csv"')
    assert missing.file == str(tmp_path / "fuses.csv")
    assert_says(missing, "is not there; add it, with this header: name,rating")


def test_a_file_that_is_a_folder_is_told(tmp_path: Path) -> None:
    write_catalog(tmp_path)
    (tmp_path / "fuses.csv").unlink()
    (tmp_path / "fuses.csv").mkdir()
    (problem,) = problems_of_folder(tmp_path)
    assert problem.file == str(tmp_path / "fuses.csv")
    assert_says(problem, "is a folder")


def problems_of_folder(folder: Path) -> Sequence[Problem]:
    with pytest.raises(InputError) as caught:
        read_catalog(folder)
    return caught.value.problems


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    (problem,) = problems_of_folder(tmp_path / "nowhere")
    assert problem.file == str(tmp_path / "nowhere")
    assert_says(problem, "is not there; name a folder that holds batteries.csv")


def test_a_folder_that_is_a_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "catalog").write_text("")
    (problem,) = problems_of_folder(tmp_path / "catalog")
    assert_says(problem, "is not a folder; name a folder")


def test_an_empty_folder_names_all_seven_files(tmp_path: Path) -> None:
    assert len(problems_of_folder(tmp_path)) == 7


def test_an_id_used_twice_names_both_rows(tmp_path: Path) -> None:
    motors = with_cell(small_catalog_text()["motors.csv"], 3, "id", "agm-100")
    (problem,) = problems_of(tmp_path, {"motors.csv": motors})
    assert (problem.file, problem.row, problem.column, problem.value) == (
        str(tmp_path / "motors.csv"),
        3,
        "id",
        "agm-100",
    )
    assert_says(problem, "also the id in row 3 of batteries.csv; give one of the two")


def test_all_problems_of_all_files_come_together(tmp_path: Path) -> None:
    files = small_catalog_text()
    batteries = with_cell(files["batteries.csv"], 2, "mass", "NaN")
    batteries = with_cell(batteries, 2, "cycles", "2.5")
    batteries = with_cell(batteries, 4, "price", "-3")
    motors = files["motors.csv"].replace("thrust [N]", "thrust [kg]")
    problems = problems_of(
        tmp_path, {"batteries.csv": batteries, "motors.csv": motors, "fuses.csv": ""}
    )
    assert [
        (Path(problem.file).name, problem.row, problem.column, problem.value)
        for problem in problems
    ] == [
        ("batteries.csv", 2, "mass [kg]", "NaN"),
        ("batteries.csv", 2, "cycles", "2.5"),
        ("batteries.csv", 4, "price", "-3"),
        ("fuses.csv", None, None, None),
        ("motors.csv", 1, "thrust [kg]", None),
    ]


def test_a_file_of_more_parts_than_are_taken(tmp_path: Path) -> None:
    lines = small_catalog_text()["fuses.csv"].splitlines()
    rows = [f"fuse-{n}{lines[1][lines[1].index(',') :]}" for n in range(MOST_ROWS + 1)]
    (problem,) = problems_of(tmp_path, {"fuses.csv": "\n".join([lines[0], *rows])})
    assert problem.row == MOST_ROWS + 2
    assert_says(problem, f"too many: {MOST_ROWS} are taken; leave out")
    assert not problems_of(tmp_path, {"fuses.csv": "\n".join([lines[0], *rows[:-1]])})
