"""From a CSV file to a log, or every problem in it at once."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from keelwatt.errors import InputError, Problem
from keelwatt.files.catalog.cells import columns_of
from keelwatt.files.catalog.sheet import UnreadableError, read_sheet
from keelwatt.files.catalog.table import rows_of
from keelwatt.files.log.model import LogRow, findings

EXAMPLE = "speed [km/h],current [A],voltage [V],headwind [m/s]"


@dataclass(frozen=True)
class TripLog:
    """The rows of a log by the number a spreadsheet gives them, and warnings on reading it."""

    file: str
    rows: Mapping[int, LogRow]
    warnings: tuple[Problem, ...] = ()


def read_log(path: Path) -> TripLog:
    """The log in the file; every problem comes in one InputError, with its row and column."""
    columns = columns_of(LogRow)
    problems: list[Problem] = []
    try:
        data = path.read_bytes()
        sheet, warnings = read_sheet(path, data, {column.name for column in columns}, EXAMPLE)
    except FileNotFoundError:
        raise InputError.at(
            path, "is not there", f"name a CSV file with a header: {EXAMPLE}"
        ) from None
    except OSError:
        raise InputError.at(
            path, "cannot be opened", "see that it is a file you may read"
        ) from None
    except UnreadableError as unreadable:
        raise InputError([unreadable.problem]) from None
    problems += warnings
    found = tuple(rows_of(sheet, LogRow, problems, findings=findings))
    rows = {number: row for number, _, row in found if row is not None}
    if len(rows) == len(found):
        problems += _one_way(str(path), rows)
    if any(not problem.warning for problem in problems):
        raise InputError(problems)
    return TripLog(str(path), rows, tuple(problems))


def _one_way(file: str, rows: Mapping[int, LogRow]) -> Iterator[Problem]:
    """A problem at the first row of each run that was gone one way only."""
    runs: dict[str, dict[str, int]] = defaultdict(dict)
    for number, row in rows.items():
        if row.run is not None and row.heading is not None:
            runs[row.run].setdefault(row.heading, number)
    for run, headings in runs.items():
        if len(headings) == 1:
            ((heading, number),) = headings.items()
            other = "back" if heading == "out" else "out"
            yield Problem(
                file=file,
                row=number,
                column="run",
                value=run,
                what=f"has no row {other}, so its stream cannot be found",
                remedy=f"add a row of this run going {other}, or leave run and heading empty and "
                "write the stream if you know it",
            )
