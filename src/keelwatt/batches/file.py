"""The results file of a batch: whole at every moment, and never written over what is not ours."""

import csv
import io
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from keelwatt.batches.rows import COLUMNS, Row
from keelwatt.errors import InputError
from keelwatt.files.csv_cells import csv_text, unguarded
from keelwatt.files.whole import undisturbed

if sys.platform != "win32":
    import fcntl

ELSEWHERE = "name another file with --out"


def check_place(path: Path, outings: Iterable[Path]) -> None:
    """Refuse a place for the results before any work is done.
    InputError: if it is one of the outings, neither free nor a plain file, or in no folder to write
    to."""
    if path.resolve() in {outing.resolve() for outing in outings}:
        raise InputError.at(path, "is one of the outings", ELSEWHERE)
    if path.exists() and not path.is_file():
        raise InputError.at(path, "is no plain file", "name a CSV file with --out")
    if not os.access(path.resolve().parent, os.W_OK):
        raise _unwritable(path, "its folder is not there, or not yours to write to")


@contextmanager
def held(path: Path) -> Iterator[None]:
    """No other batch writes the results meanwhile; where files cannot be locked, nothing is held.
    The lock is let go with the process, however that ends.
    InputError: if another batch holds them, or the lock beside them cannot be made."""
    lock = _locked(path)
    try:
        yield
    finally:
        if lock:
            with undisturbed():
                _beside(path, "lock").unlink(missing_ok=True)
                lock.close()


def _locked(path: Path) -> IO[bytes] | None:
    """The lock, opened once more if the batch that held it took it away in between."""
    if sys.platform == "win32":
        return None
    place = _beside(path, "lock")
    while True:
        try:
            lock = place.open("ab")
        except OSError as error:
            raise _unwritable(path, error.strerror or str(error)) from None
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            lock.close()
            what = "is being written by another batch"
            raise InputError.at(path, what, f"wait for its end, or {ELSEWHERE}") from None
        except OSError:  # a file system without locks
            return lock
        if _is_at(lock, place):
            return lock
        lock.close()


def _is_at(file: IO[bytes], place: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(file.fileno()), place.stat())
    except FileNotFoundError:
        return False


def _beside(path: Path, ending: str) -> Path:
    place = path.resolve()
    return place.with_name(f".{place.name}.{ending}")


def read_rows(path: Path, *, again: bool = False) -> list[Row]:
    """The rows of a results file; none where there is no file yet, or to begin ``again``.
    InputError: if what is there is no results file: by its header, and if it is to be gone on with
    also by every row."""
    if not path.exists():
        return []
    try:
        text = path.read_bytes().decode("utf-8-sig", errors="replace" if again else "strict")
        lines = csv.reader(io.StringIO(text), strict=True)
        header = next(lines)
        rows = [] if again else list(lines)
    except (OSError, ValueError, csv.Error, StopIteration):
        raise _foreign(path) from None
    if header != list(COLUMNS) or any(len(row) != len(COLUMNS) for row in rows):
        raise _foreign(path)
    return [dict(zip(COLUMNS, map(unguarded, row), strict=True)) for row in rows]


def write_rows(path: Path, rows: Iterable[Row]) -> None:
    """Put the rows in place of the file at once: whoever reads it finds the old or the new.
    The new one has always the same name, so that a killed batch leaves one at most, and the next
    takes that away.
    InputError: if the file cannot be written."""
    whole = _beside(path, "new")
    try:
        with undisturbed():
            whole.unlink(missing_ok=True)
            try:
                with whole.open("x", encoding="utf-8-sig", newline="") as file:
                    file.write(csv_text([COLUMNS, *(row.values() for row in rows)]))
                whole.replace(path.resolve())
            finally:
                whole.unlink(missing_ok=True)
    except OSError as error:
        raise _unwritable(path, error.strerror or str(error)) from None


def _unwritable(path: Path, why: str) -> InputError:
    return InputError.at(
        path, f"cannot be written: {why}", "name a file in a folder you may write to"
    )


def _foreign(path: Path) -> InputError:
    return InputError.at(path, "is there already and holds no results of this command", ELSEWHERE)
