"""Whatever a log holds, the order of its rows and columns and its units change nothing."""

import random
import tempfile
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelwatt.files.log import LogRow, read_log

PLAIN = ("km/h", "A", "m/s", "%")
OTHER = ("mph", "mA", "kn", "%")
PER_PLAIN = (1.609344, 0.001, 1852 / 3600, 1.0)
"""One of the other unit in the plain one."""

NAMES = ("speed", "current", "headwind", "throttle")
Row = tuple[float, ...]

ROWS = st.lists(
    st.tuples(st.floats(0, 20), st.floats(0, 60), st.floats(-15, 15), st.floats(0, 100)),
    min_size=1,
    max_size=8,
)


def read(names: Sequence[str], rows: Sequence[Sequence[str]], separator: str) -> list[LogRow]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "log.csv")
        lines = [separator.join(cells) for cells in (names, *rows)]
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return list(read_log(path).rows.values())


def written(rows: Sequence[Row], units: Sequence[str]) -> tuple[list[str], list[list[str]]]:
    header = [f"{name} [{unit}]" for name, unit in zip(NAMES, units, strict=True)]
    return header, [[f"{value:.6f}" for value in row] for row in rows]


def numbers(row: LogRow) -> list[float]:
    assert row.current_a is not None
    assert row.throttle is not None
    return [row.speed_m_s, row.current_a, row.headwind_m_s, row.throttle]


@settings(deadline=None, max_examples=60)
@given(ROWS)
def test_units_do_not_matter(rows: list[Row]) -> None:
    others = [tuple(v / f for v, f in zip(row, PER_PLAIN, strict=True)) for row in rows]
    one, other = read(*written(rows, PLAIN), ","), read(*written(others, OTHER), ",")
    assert [numbers(row) for row in other] == [
        pytest.approx(numbers(row), rel=1e-5, abs=1e-5) for row in one
    ]
    assert [numbers(row)[:2] for row in one] == [
        pytest.approx([row[0] / 3.6, row[1]], rel=1e-5, abs=1e-6) for row in rows
    ]


@settings(deadline=None, max_examples=60)
@given(ROWS, st.randoms(use_true_random=False))
def test_the_order_of_rows_and_columns_does_not_matter(
    rows: list[Row], shuffle: random.Random
) -> None:
    names, cells = written(rows, PLAIN)
    places, columns = list(range(len(rows))), list(range(len(names)))
    shuffle.shuffle(places)
    shuffle.shuffle(columns)
    mixed = [[cells[place][column] for column in columns] for place in places]
    plain = read(names, cells, ",")
    found = read([names[column] for column in columns], mixed, ",")
    assert found == [plain[place] for place in places]


@settings(deadline=None, max_examples=60)
@given(ROWS)
def test_decimal_commas_do_not_matter(rows: list[Row]) -> None:
    names, cells = written(rows, PLAIN)
    commas = [[cell.replace(".", ",") for cell in row] for row in cells]
    assert read(names, commas, ";") == read(names, cells, ",")
