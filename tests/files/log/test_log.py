"""Logs as people write them, and as they should not."""

from pathlib import Path

import pytest

from keelwatt.errors import InputError, Problem
from keelwatt.files.log import LogRow, TripLog, read_log
from samples import assert_says

HEADER = (
    "speed [km/h],current [A],voltage [V],throttle [%],step,run,heading,hours [h],charged [Ah]\n"
)


def log(tmp_path: Path, text: str | bytes) -> TripLog:
    path = tmp_path / "log.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_log(path)


def problems(tmp_path: Path, text: str | bytes) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        log(tmp_path, text)
    return caught.value.problems


def test_units_separators_and_decimal_commas_do_not_matter(tmp_path: Path) -> None:
    plain = log(tmp_path, "speed [km/h],current [A],headwind [m/s],throttle [%]\n5.4,7.5,2,60\n")
    other = log(
        tmp_path,
        "# a spreadsheet's\nheadwind [km/h];speed [m/s];throttle;current [mA]\n7,2;1,5;0,6;7500\n",
    )
    (row,), (same,) = plain.rows.values(), other.rows.values()
    assert row == same
    assert row == LogRow(speed_m_s=1.5, current_a=7.5, headwind_m_s=2.0, throttle=0.6)
    assert list(other.rows) == [3]


def test_a_cell_may_bring_its_own_unit(tmp_path: Path) -> None:
    text = "speed [km/h],hours [h],charged [Ah]\n3 mph,1 h 30 min,9\n"
    (row,) = log(tmp_path, text).rows.values()
    assert (row.speed_m_s, row.duration_h, row.charged_ah) == (1.34112, 1.5, 9.0)
    assert row.whole_trip


def test_a_note_is_the_writers_own(tmp_path: Path) -> None:
    (row,) = log(tmp_path, "speed [km/h],current [A],note\n5,7,off the jetty\n").rows.values()
    assert row.note == "off the jetty"


def test_words_may_be_written_in_any_case(tmp_path: Path) -> None:
    text = "speed [km/h],current [A],run,heading,devices,step\n5,7,A,Out,NO,3\n5,7,A,BACK,yes,0\n"
    out, back = log(tmp_path, text).rows.values()
    assert (out.heading, out.devices, out.step, out.motor_off) == ("out", False, 3, False)
    assert (back.heading, back.devices, back.step, back.motor_off) == ("back", True, 0, True)


def test_another_code_page_is_read_with_a_warning(tmp_path: Path) -> None:
    text = "speed [km/h],current [A],run,heading\n5,7,früh,out\n5,7,früh,back\n".encode("cp1252")
    found = log(tmp_path, text)
    assert {row.run for row in found.rows.values()} == {"früh"}
    assert [problem.warning for problem in found.warnings] == [True]


@pytest.mark.parametrize(
    ("cells", "column", "says"),
    [
        ("fast,7,,,,,,,", "speed [km/h]", "is not a number"),
        (",7,,,,,,,", "speed [km/h]", "is empty; write its"),
        ("50,7,,,,,,,", "speed [km/h]", "is above 25.2 km/h|is above 7 m/s"),
        ("-5,7,,,,,,,", "speed [km/h]", "is below 0"),
        ("5,nan,,,,,,,", "current [A]", "is not a number"),
        ('5,"1,250",,,,,,,', "current [A]", "can be read in two ways"),
        ("5,,,,,,,,", "current [A]", "no whole trip either; write the current"),
        ("5,,,,,,,2,", "current [A]", "both hours and charged"),
        ("5,7,,,,,,2,9", "current [A]", "given along with hours or charged"),
        ("5,7,,160,,,,,", "throttle [%]", "is above 100 %"),
        ("5,7,,60,3,,,,", "step", "along with throttle"),
        ("5,7,,,2.5,,,,", "step", "not a whole number"),
        ("5,,,60,,,,2,9", "throttle [%]", "is given for a whole trip"),
        ("5,7,,,,a,,,", "heading", "is empty, and run is given; write out or back"),
        ("5,7,,,,,out,,", "run", "is empty, and heading is given"),
        ("5,7,,,,a,home,,", "heading", "is not one of the words"),
        ("5,7,,,,a,out,,", "run", "has no row back"),
        ("5,7,,,,,,,,9", None, "has 10 cells, and the header has 9"),
    ],
)
def test_bad_cells(tmp_path: Path, cells: str, column: str | None, says: str) -> None:
    (problem,) = problems(tmp_path, f"{HEADER}{cells}\n")
    assert (problem.row, problem.column) == (2, column)
    assert problem.file.endswith("log.csv")
    assert_says(problem, says)


@pytest.mark.parametrize(
    ("header", "column", "says"),
    [
        ("speed,current [A]", "speed", r"has no unit; write speed \[km/h\]"),
        ("speed [A],current [A]", "speed [A]", "is a current, not a speed"),
        ("speeed [km/h],speed [km/h],current [A]", "speeed [km/h]", 'did you mean "speed"'),
        ("speed [km/h],speed [km/h],current [A]", "speed [km/h]", "is there twice"),
        ("current [A],voltage [V]", "speed [km/h]", "is missing from the header"),
        ("a,b", None, "is not the header of this file"),
    ],
)
def test_bad_headers(tmp_path: Path, header: str, column: str | None, says: str) -> None:
    first, *_ = problems(tmp_path, f"{header}\n")
    assert (first.row, first.column) == (1, column)
    assert_says(first, says)


def test_every_problem_comes_at_once(tmp_path: Path) -> None:
    rows = "fast,7,,,,,,,\n5,x,,60,3,,,,\n"
    found = {(p.row, p.column) for p in problems(tmp_path, HEADER + rows)}
    assert found == {(2, "speed [km/h]"), (3, "current [A]"), (3, "step")}


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", r"is empty; give it a header and rows; the header: speed \[km/h\]"),
        (HEADER.encode(), "holds no rows; add one"),
        (b"PK\x03\x04", "is a spreadsheet workbook"),
    ],
)
def test_files_that_are_no_log(tmp_path: Path, data: bytes, says: str) -> None:
    (problem,) = problems(tmp_path, data)
    assert_says(problem, says)


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    for path, says in ((tmp_path / "no.csv", "is not there"), (tmp_path, "is a folder")):
        with pytest.raises(InputError) as caught:
            read_log(path)
        assert_says(caught.value.problems[0], says)
