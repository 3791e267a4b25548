"""The one place where a user's file is opened to be read."""

from pathlib import Path

from keelwatt.errors import InputError

MOST_BYTES = 20_000_000
"""More than any file read here has reason to hold."""


def contents(path: Path, *, absent: str) -> bytes:
    """All that a plain file holds; ``absent`` says what to do where there is none.
    InputError: if it is not there, may not be read, is too large, or is no plain file: a pipe would
    be waited for without end."""
    try:
        if path.exists() and not path.is_file():
            what = "is a folder" if path.is_dir() else "is no plain file"
            raise InputError.at(path, what, "name a file, saved to disk")
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise InputError.at(path, "is not there", absent) from None
    except OSError as error:
        what = f"cannot be opened: {error.strerror or error}"
        raise InputError.at(path, what, "name a file that you may read") from None
    if len(data) > MOST_BYTES:
        raise InputError.at(
            path, f"is larger than {MOST_BYTES // 10**6} MB", "name the file meant here"
        )
    return data
