"""The results file of a batch: whole at every moment, and never written over what is not ours."""

import csv
import io
import os
import tempfile
from collections.abc import Iterable
from pathlib import Path

from keelwatt.batches.rows import COLUMNS, Row
from keelwatt.errors import InputError


def check_place(path: Path, outings: Iterable[Path]) -> None:
    """Refuse a place for the results before any work is done.

    Raises
    ------
    InputError
        If it is one of the outings, neither free nor a plain file, or in no folder to write to.
    """
    if path.resolve() in {outing.resolve() for outing in outings}:
        raise InputError.at(path, "is one of the outings", "name another file with --out")
    if path.exists() and not path.is_file():
        raise InputError.at(path, "is no plain file", "name a CSV file with --out")
    if not os.access(path.resolve().parent, os.W_OK):
        raise _unwritable(path, "its folder is not there, or not yours to write to")


def read_rows(path: Path) -> list[Row]:
    """The rows of a results file; none where there is no file yet.

    Raises
    ------
    InputError
        If what is there is no results file.
    """
    if not path.exists():
        return []
    try:
        text = path.read_bytes().decode("utf-8-sig")
        header, *lines = csv.reader(io.StringIO(text), strict=True)
    except (OSError, ValueError, csv.Error):
        raise _foreign(path) from None
    if header != list(COLUMNS) or any(len(line) != len(COLUMNS) for line in lines):
        raise _foreign(path)
    return [dict(zip(COLUMNS, line, strict=True)) for line in lines]


def write_rows(path: Path, rows: Iterable[Row]) -> None:
    """Put the rows in place of the file at once: whoever reads it finds the old or the new.

    Raises
    ------
    InputError
        If the file cannot be written.
    """
    place = path.resolve()
    try:
        with tempfile.TemporaryDirectory(dir=place.parent, prefix=".keelwatt-") as made:
            whole = Path(made) / place.name
            with whole.open("w", encoding="utf-8-sig", newline="") as file:
                writer = csv.writer(file, lineterminator="\n")
                writer.writerow(COLUMNS)
                writer.writerows(row.values() for row in rows)
            whole.replace(place)
    except OSError as error:
        raise _unwritable(path, error.strerror or str(error)) from None


def _unwritable(path: Path, why: str) -> InputError:
    return InputError.at(
        path, f"cannot be written: {why}", "name a file in a folder you may write to"
    )


def _foreign(path: Path) -> InputError:
    what = "is there already and holds no results of this command"
    return InputError.at(
        path, what, "name another file with --out, or add --again to write over it"
    )
