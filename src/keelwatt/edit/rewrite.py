"""A file's text replaced at one stroke, the old one kept beside it."""

import contextlib
import os
import shutil
import stat
import tempfile
from difflib import unified_diff
from itertools import count
from pathlib import Path

from keelwatt.errors import InputError

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
    backup: Path | None = None
    fresh: Path | None = None
    done = False
    try:
        _check(path, place.stat())
        old = place.read_bytes()
        mark = BOM if old.startswith(BOM) else b""
        if old != mark + expected.encode():
            what = "has changed in the meantime; nothing changed"
            raise InputError.at(path, what, "run the command again")
        handle, name = tempfile.mkstemp(prefix=f".{place.name}-", dir=place.parent)
        fresh = Path(name)
        with os.fdopen(handle, "wb") as stream:
            stream.write(mark + text.encode())
            stream.flush()
            os.fsync(stream.fileno())
        shutil.copymode(place, fresh)
        backup = _kept(place, old)
        os.replace(fresh, place)  # noqa: PTH105
        done = True
    except OSError as error:
        what = f"cannot be written: {error.strerror or error}; nothing changed"
        remedy = "see that the file and its folder may be written to"
        raise InputError.at(path, what, remedy) from None
    finally:
        if fresh is not None:
            fresh.unlink(missing_ok=True)
        if backup is not None and not done:
            backup.unlink()
    return path.with_name(backup.name) if path.parent.resolve() == place.parent else backup


def _check(path: Path, found: os.stat_result) -> None:
    if not found.st_mode & stat.S_IWUSR:
        what = "is read-only; nothing changed"
        raise InputError.at(path, what, "allow it to be written, or work on a copy")
    if found.st_nlink > 1:
        what = f"has {found.st_nlink} names (hard links); nothing changed"
        raise InputError.at(path, what, "work on a copy, which has one name")


def _kept(place: Path, data: bytes) -> Path:
    """The old text beside the file, under the first name that is free."""
    for number in count(1):
        backup = place.with_name(f"{place.name}.bak{number if number > 1 else ''}")
        with contextlib.suppress(FileExistsError), backup.open("xb") as stream:
            try:
                stream.write(data)
                stream.flush()
                shutil.copymode(place, backup)
            except BaseException:
                backup.unlink()
                raise
            return backup
    raise AssertionError
