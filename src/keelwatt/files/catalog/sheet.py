"""A CSV file as a spreadsheet shows it: a header and numbered rows of cells."""

import codecs
import csv
import io
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from keelwatt.errors import InputError, Problem
from keelwatt.files.csv_cells import unguarded
from keelwatt.files.opened import contents
from keelwatt.units import split_header

SAVE_AS_CSV = "save the sheet as CSV UTF-8"
SPREADSHEET_ERRORS = {"#REF!", "#N/A", "#NAME?", "#VALUE!", "#DIV/0!", "#NUM!", "#NULL!"}

_COMMA_DECIMAL = re.compile(r"-?[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})(?:\s*[€$£%])?|-?0,[0-9]+")
_POINT_DECIMAL = re.compile(r"[$€£]?-?[0-9]+\.(?:[0-9]{1,2}|[0-9]{4,})(?:\s*[€$£%])?|-?0\.[0-9]+")


@dataclass(frozen=True)
class Sheet:
    """Cells, each row with the number a spreadsheet gives it; ``data`` is what the file holds."""

    file: str
    data: bytes
    header: tuple[str, ...]
    header_row: int
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    decimal_comma: bool
    separator: str = ","

    def problem(
        self,
        row: int,
        what: str,
        remedy: str,
        column: str | None = None,
        value: str | None = None,
        *,
        warning: bool = False,
    ) -> Problem:
        return Problem(
            file=self.file,
            row=row,
            column=column,
            value=value,
            what=what,
            remedy=remedy,
            warning=warning,
        )


def read_sheet(
    path: Path, columns: Collection[str], *, example: str, missing: str, problems: list[Problem]
) -> Sheet:
    """The sheet in the file, any warnings added to the problems; InputError where it is no table.
    ``columns`` are the names its header may hold, ``example`` is one such header, ``missing`` what
    to do where there is no file."""
    data = contents(path, absent=missing)
    text = _decoded(path, data, problems)
    named = re.match(r'"?sep=([,;\t])"?\r?(?=\n)', text)  # the spreadsheet's own line
    text = text[named.end() :] if named else text
    separator = named[1] if named else _separator(text, columns)
    rows = _rows(path, text, separator)
    first = next(rows, None)
    if first is None:
        raise InputError.at(path, "is empty", f"give it a header and rows; the header: {example}")
    header_row, header = first
    while header and not header[-1]:
        header = header[:-1]
    body = tuple(rows)
    marked = (
        any(mark.fullmatch(cell) for _, row in body for cell in row)
        for mark in (_POINT_DECIMAL, _COMMA_DECIMAL)
    )
    comma = not next(marked) and next(marked)
    return Sheet(str(path), data, header, header_row, body, comma, separator)


def _decoded(path: Path, data: bytes, problems: list[Problem]) -> str:
    if data.startswith(b"PK\x03\x04"):
        raise InputError.at(path, "is a spreadsheet workbook, not CSV", SAVE_AS_CSV)
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)) or b"\0" in data:
        raise InputError.at(path, "is not UTF-8 text", SAVE_AS_CSV)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        pass
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError:
        raise InputError.at(path, "is not text", SAVE_AS_CSV) from None
    what = "is not UTF-8 and was read as Windows-1252"
    remedy = f"{SAVE_AS_CSV} if a name looks wrong"
    problems.append(Problem(file=str(path), what=what, remedy=remedy, warning=True))
    return text


def _rows(path: Path, text: str, separator: str) -> Iterator[tuple[int, tuple[str, ...]]]:
    """The rows that are neither blank nor a comment."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number, tidy = 0, cache(lambda cell: unguarded(" ".join(cell.split())))
    try:
        for number, row in enumerate(reader, 1):
            cells = tuple(map(tidy, row))
            if any(cells) and not is_comment(cells[0]):
                yield number, cells
    except csv.Error:
        what = "holds a quote mark that is not closed, or text after one"
        remedy = 'put both quote marks round the whole cell, and write a quote inside it twice: ""'
        raise InputError.at(path, what, remedy, row=number + 1) from None


def is_comment(cell: str) -> bool:
    return cell.startswith("#") and cell.upper() not in SPREADSHEET_ERRORS


def _separator(text: str, columns: Collection[str]) -> str:
    """The separator that splits the header into the most columns known."""
    lines = (line.strip().lstrip('"') for line in text.splitlines())
    header = next((line for line in lines if line.strip(",;\t ") and not is_comment(line)), "")

    def known(separator: str) -> int:
        return sum(split_header(cell.strip('" '))[0] in columns for cell in header.split(separator))

    return max(",;\t", key=known)
