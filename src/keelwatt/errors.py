"""Problems of the input, and the one family of errors."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, kw_only=True)
class Problem:
    """One thing to put right in a user's file.

    ``row`` is the row a spreadsheet shows, or the line of a text file; ``column`` a CSV header;
    ``key`` a dotted key of the outing. A ``warning`` is shown and does not stop the work.
    """

    file: str
    row: int | None = None
    column: str | None = None
    key: str | None = None
    value: str | None = None
    what: str
    remedy: str
    warning: bool = False


class KeelwattError(Exception):
    """Whatever keelwatt raises on purpose."""


class InputError(KeelwattError):
    """Input to be put right: every problem found, of every file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(f"{len(self.problems)} problem(s) in the input")

    @classmethod
    def at(
        cls,
        file: str | Path,
        what: str,
        remedy: str,
        *,
        row: int | None = None,
        key: str | None = None,
        value: str | None = None,
    ) -> "InputError":
        """A single problem of a file, or of an option of the command line."""
        return cls(
            [Problem(file=str(file), row=row, key=key, value=value, what=what, remedy=remedy)]
        )


class InternalError(KeelwattError):
    """An answer that does not hold when recomputed from the parts: a bug, never an answer."""
