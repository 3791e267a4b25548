"""From a CSV file to a log, or every problem in it at once."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from keelwatt.errors import InputError, Problem
from keelwatt.files.catalog.cells import columns_of
from keelwatt.files.catalog.sheet import Sheet, read_sheet
from keelwatt.files.catalog.table import rows_of
from keelwatt.files.log.model import LogRow

EXAMPLE = "speed [km/h],current [A],voltage [V],headwind [m/s]"


@dataclass(frozen=True)
class TripLog:
    """The rows of a log by the number a spreadsheet gives them, and warnings on reading it."""

    file: str
    rows: Mapping[int, LogRow]
    warnings: tuple[Problem, ...] = ()


def read_log(path: str | Path) -> TripLog:
    """The log in the file; every problem comes in one InputError, with its row and column."""
    problems: list[Problem] = []
    sheet = read_sheet(
        Path(path),
        {column.name for column in columns_of(LogRow)},
        example=EXAMPLE,
        missing=f"name a CSV file with a header: {EXAMPLE}",
        problems=problems,
    )
    found = tuple(rows_of(sheet, LogRow, problems))
    rows = {number: row for number, _, row in found if row is not None}
    if len(rows) == len(found):
        problems += _one_way(sheet, rows)
    if any(not problem.warning for problem in problems):
        raise InputError(problems)
    return TripLog(str(path), rows, tuple(problems))


def _one_way(sheet: Sheet, rows: Mapping[int, LogRow]) -> Iterator[Problem]:
    """A problem at the first row of each run that was gone one way only."""
    runs: dict[str, dict[str, int]] = defaultdict(dict)
    for number, row in rows.items():
        if row.run is not None and row.heading is not None:
            runs[row.run].setdefault(row.heading, number)
    for run, headings in runs.items():
        if len(headings) == 1:
            ((heading, number),) = headings.items()
            other = "back" if heading == "out" else "out"
            what = f"has no row {other}, so its stream cannot be found"
            remedy = (
                f"add a row of this run going {other}, or leave run and heading empty and write "
                "the stream if you know it"
            )
            yield sheet.problem(number, what, remedy, "run", run)
