"""A file's text replaced at one stroke, the old one kept beside it."""

import contextlib
import os
import shutil
import stat
from difflib import unified_diff
from itertools import count
from pathlib import Path

from keelwatt.errors import InputError
from keelwatt.files.whole import beside, put

BOM = "\ufeff".encode()


def difference(before: str, after: str, file: str) -> str:
    """The lines that change, as a unified difference."""
    lines = unified_diff(
        before.splitlines(), after.splitlines(), f"{file} now", f"{file} then", n=1
    )
    return "\n".join(line.rstrip() for line in lines)


def rewrite(path: Path, text: str, expected: str) -> Path:
    """Replace the file's text, which must still be ``expected``; where the old one is kept. The
    file holds the old text or the new at any moment, and keeps its mode. An older backup is never
    overwritten. InputError: if the file is read-only, has a second name (a hard link, which would
    keep the old text), cannot be written, or is another by now; it is then as it was."""
    place = path.resolve()
    try:
        _check(path, place.stat())
        old = place.read_bytes()
        mark = BOM if old.startswith(BOM) else b""
        if old != mark + expected.encode():
            what = "has changed in the meantime; nothing changed"
            raise InputError.at(path, what, "run the command again")
        with beside(place) as made:
            kept = _written(made / "old", old, place)
            fresh = _written(made / "new", mark + text.encode(), place)
            backup = _kept(place, kept)
            try:
                os.replace(fresh, place)  # noqa: PTH105
            except BaseException:
                backup.unlink()
                raise
    except OSError as error:
        what = f"cannot be written: {error.strerror or error}; nothing changed"
        remedy = "see that the file and its folder may be written to"
        raise InputError.at(path, what, remedy) from None
    return path.with_name(backup.name) if path.parent.resolve() == place.parent else backup


def _check(path: Path, found: os.stat_result) -> None:
    if not found.st_mode & stat.S_IWUSR:
        what = "is read-only; nothing changed"
        raise InputError.at(path, what, "allow it to be written, or work on a copy")
    if found.st_nlink > 1:
        what = f"has {found.st_nlink} names (hard links); nothing changed"
        raise InputError.at(path, what, "work on a copy, which has one name")


def _written(path: Path, data: bytes, like: Path) -> Path:
    with path.open("xb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
    shutil.copymode(like, path)
    return path


def _kept(place: Path, old: Path) -> Path:
    """The old text beside the file, under the first name that is free."""
    for number in count(1):
        backup = place.with_name(f"{place.name}.bak{number if number > 1 else ''}")
        with contextlib.suppress(FileExistsError):
            put(old, backup)
            return backup
    raise AssertionError
