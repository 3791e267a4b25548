"""Outings that are no TOML: values without quotes, syntax, and files of other kinds."""

from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.errors import InputError, Problem
from keelwatt.files.outing import outing_from_text, read_outing
from samples import assert_says, row_of, small_outing_text

GOOD = small_outing_text()


def problems_of(text: str) -> Sequence[Problem]:
    with pytest.raises(InputError) as caught:
        outing_from_text(text, "outing.toml")
    return caught.value.problems


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('currency = "USD"', 'currency = "USD', "a quote is not closed; close it"),
        ('currency = "USD"', "currency = 'USD", "a quote is not closed; close it"),
        ('currency = "USD"', 'currency = """USD', "a quote is not closed; close it"),
        ('currency = "USD"', 'currency "USD"', "no = after the key; write key ="),
        ('currency = "USD"', "currency =", "no value after the ="),
        ('currency = "USD"', 'currency = "USD" dollars', "something follows the value"),
        ('currency = "USD"', 'title = "USD"', "the key is there twice; leave out"),
        ('currency = "USD"', "= 3", "the line begins with no key"),
        ('currency = "USD"', r'currency = "\d"', "a backslash.*single quotes"),
        ('currency = "USD"', 'currency = "\x07"', "type the line again"),
        ("[wish]", "[craft]", r"the table is there twice.*\[\[leg\]\]"),
        ("[wish]", "[wish", "bracket is not closed"),
        ("own = []", 'own = ["a" "b"]', "a list is not closed, or a comma is missing"),
        ("own = []", 'own = {a = "1" b = "2"}', "a table in braces is not closed"),
    ],
)
def test_text_that_is_not_toml_is_told_with_its_line(old: str, new: str, says: str) -> None:
    (problem,) = problems_of(GOOD.replace(old, new, 1))
    assert problem.row == row_of(GOOD, old)
    assert_says(problem, says)


def test_a_table_of_legs_with_single_brackets_is_explained() -> None:
    (problem,) = problems_of(GOOD.replace("[[leg]]", "[leg]"))
    assert_says(problem, r"there twice; give it once; .*two brackets: \[\[leg\]\]")


def test_values_without_quotes_are_told_and_the_rest_is_read() -> None:
    text = (
        GOOD.replace('speed = "5 km/h"\ndistance', "speed = 3 mph  # easy\ndistance")
        .replace('"32 kg"', "70 kgf")
        .replace('x = "-1.2 m"', "x = -1.2 m")
        .replace("own = []", "own = [agm-100]")
        .replace('shape = "canoe"', "shape = kanoe")
        .replace('"82 kg"', '"82 V"')
        .replace('power = "5 W"', "power = 5 Wh")
    )
    problems = problems_of(text)
    told = {
        (problem.key, problem.value, problem.row): f"{problem.what}; {problem.remedy}"
        for problem in problems
        if "quotes" in problem.remedy
    }
    assert told == {
        (key, value, row_of(text, value)): f"has no quotes; put it in quotes: {better}"
        for key, value, better in (
            ("craft.shape", "kanoe", 'shape = "kanoe"'),
            ("craft.hull_mass", "70 kgf", 'hull_mass = "70 kgf"'),
            ("craft.controller_at.x", "-1.2 m", 'x = "-1.2 m"'),
            ("leg.1.speed", "3 mph", 'speed = "3 mph"'),
            ("device.1.power", "5 Wh", 'power = "5 Wh"'),
            ("parts.own.1", "agm-100", '"agm-100"'),
        )
    }
    others = [problem.key for problem in problems if "quotes" not in problem.remedy]
    assert others == ["craft.shape", "craft.hull_mass", "aboard.1.mass", "device.1.power"]


def test_a_number_toml_cannot_read_is_written_plainly() -> None:
    text = GOOD.replace('shape = "canoe"', 'shape = "canoe"\ndrag_factor = 1,4')
    (problem,) = problems_of(text)
    assert (problem.key, problem.value) == ("craft.drag_factor", "1,4")
    assert problem.row == row_of(text, "drag_factor")
    assert_says(problem, "not a number as TOML writes it; .*drag_factor = 1.4")


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read_outing(tmp_path / "none.toml")
    (problem,) = caught.value.problems
    assert problem.file == str(tmp_path / "none.toml")
    assert_says(problem, "is not there; check its name; `keelwatt start` writes one")


def test_a_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read_outing(tmp_path)
    assert_says(caught.value.problems[0], "is a folder; name a file")


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "is empty; `keelwatt start` writes"),
        (b"\xef\xbb\xbf\n  # only a remark\n", "is empty"),
        ('title = "Größe"'.encode("cp1252"), "not UTF-8 text; save it as plain text"),
        (b"\x89PNG\xff", "not UTF-8 text"),
        (b"a = " + b"[" * 100_000, "nested too deeply; close the brackets"),
    ],
)
def test_a_file_that_is_no_outing_is_told(tmp_path: Path, data: bytes, says: str) -> None:
    path = tmp_path / "outing.toml"
    path.write_bytes(data)
    with pytest.raises(InputError) as caught:
        read_outing(path)
    (problem,) = caught.value.problems
    assert problem.file == str(path)
    assert_says(problem, says)


LINES = GOOD.splitlines()
VALUES = [
    "3 mph",
    "nan",
    "-1",
    "1e999",
    "[]",
    "{}",
    "true",
    '""',
    '"x"',
    "'1 m'",
    "9" * 5000,
    "[1]",
]


@given(
    place=st.integers(0, len(LINES) - 1),
    value=st.one_of(st.sampled_from(VALUES), st.text(st.characters(codec="utf-8"), max_size=9)),
)
def test_any_value_is_read_or_told(place: int, value: str) -> None:
    key = LINES[place].split(" = ")[0]
    told_or_read("\n".join([*LINES[:place], f"{key} = {value}", *LINES[place + 1 :]]))


@given(st.text())
def test_any_text_is_read_or_told(text: str) -> None:
    told_or_read(text)


@given(st.lists(st.sampled_from(LINES)).map("\n".join))
def test_any_order_of_lines_is_read_or_told(text: str) -> None:
    told_or_read(text)


def told_or_read(text: str) -> None:
    try:
        outing_from_text(text, "outing.toml")
    except InputError as error:
        assert error.problems
        assert all(problem.what and problem.remedy for problem in error.problems)
