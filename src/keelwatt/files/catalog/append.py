"""One more part at the end of a catalog's file, in the columns the file has."""

import csv
import io
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from keelwatt.errors import InputError, Problem
from keelwatt.files.catalog.cells import columns_of
from keelwatt.files.catalog.parts import FILES
from keelwatt.files.catalog.sheet import SAVE_AS_CSV, Sheet, is_comment, read_sheet
from keelwatt.files.catalog.table import places_of, rows_of
from keelwatt.files.csv_cells import csv_text
from keelwatt.units import money_cents


def problems_of_row(stem: str, cells: Mapping[str, str]) -> list[Problem]:
    """All there is to object to in the part that these cells make, by field."""
    columns = {column.field: column for column in columns_of(FILES[stem])}
    header = tuple(columns[field].header for field in cells)
    sheet = Sheet(f"{stem}.csv", b"", header, 1, ((2, tuple(cells.values())),), False)
    problems: list[Problem] = []
    list(rows_of(sheet, FILES[stem], problems))
    return problems


def ids_of(folder: Path) -> frozenset[str]:
    """Every id that can be read in a catalog's files, whatever else is wrong there."""
    found: set[str] = set()
    for stem, model in FILES.items():
        names = {column.name for column in columns_of(model)}
        with suppress(InputError):
            sheet = read_sheet(folder / f"{stem}.csv", names, example="", missing="", problems=[])
            found |= {id_ for _, id_, _ in rows_of(sheet, model, []) if id_}
    return frozenset(found)


def with_row(path: Path, stem: str, cells: Mapping[str, str]) -> tuple[str, str, int]:
    """The file's text, the text with these cells in a row at its end, and that row's number.
    Columns that the file lacks are added at its right; a file that is not there has those answered.
    Prices are plain numbers, a cable's a metre.
    InputError: if the file's header must be put right first, or it is not UTF-8."""
    columns = columns_of(FILES[stem])
    problems: list[Problem] = []
    names = {column.name for column in columns}
    if not path.exists():
        given = [column for column in columns if cells.get(column.field)]
        sheet = Sheet(str(path), b"", (), 1, (), False)
        lines = [column.header for column in given], [cells[column.field] for column in given]
        return "", csv_text(lines), 2
    sheet = read_sheet(path, names, example="", missing="", problems=problems)
    try:
        text = sheet.data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError.at(path, "is not UTF-8 text", SAVE_AS_CSV) from None
    bare = replace(sheet, rows=())
    places = tuple(places_of(bare, columns, problems, every=False))
    if wrong := [problem for problem in problems if not problem.warning]:
        raise InputError(wrong)
    row = [""] * len(sheet.header)
    fields = {column.name: column.field for column in columns}
    for place in places:
        row[place.index] = _cell(cells.get(place.column.field, ""), place.times, sheet)
        if several := place.several:
            pieces = (cells.get(fields[name], "") for name in several.columns)
            row[place.index] = several.between.join(pieces)
    there = {place.column.field for place in places}
    new = [column for column in columns if cells.get(column.field) and column.field not in there]
    row += [cells[column.field] for column in new]
    end = "\r\n" if "\r\n" in text else "\n"
    if new:
        text_before = _widened(text, sheet, [column.header for column in new], end)
    else:
        text_before = text if text.endswith("\n") else text + end
    after = text_before + csv_text([row], separator=sheet.separator, end=end)
    return text, after, after.count("\n")


def _cell(text: str, times: float, sheet: Sheet) -> str:
    if times != 1.0 and text:
        text = f"{money_cents(text) / 100 / times:.4g}"
    plain = text.replace(".", "", 1).isdigit()
    return text.replace(".", ",") if sheet.decimal_comma and plain else text


def _widened(text: str, sheet: Sheet, headers: list[str], end: str) -> str:
    """Every row with empty cells for new columns; blank lines and comments as they were."""
    out: list[list[str]] = []
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=sheet.separator)
    for number, row in enumerate(rows, 1):
        blank = not any(cell.strip() for cell in row) or is_comment(row[0].strip())
        more = headers if number == sheet.header_row else [""] * len(headers)
        as_it_was = blank or number < sheet.header_row
        out.append(row if as_it_was else [*row[: len(sheet.header)], *more])
    return csv_text(out, separator=sheet.separator, end=end, own=True)
