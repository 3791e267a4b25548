"""Help that fits the screen, narrow or wide, without the marks of the library that prints it."""

import re
from collections.abc import Sequence
from shutil import get_terminal_size
from typing import Any

from typer.core import TyperCommand, TyperGroup

NARROWEST, WIDEST = 36, 100
"""Columns; longer lines are hard to read."""

USAGE = (
    (re.compile(r"[{}]"), ""),
    (re.compile(r"\[\[(\w+)\](?:\.\.\.)?\]"), r"[\1]"),
    (re.compile(r"(?<=\.\.\.)\.+"), ""),
)
"""Marks in a usage line, and what is left of them."""

RANGE = re.compile(r"\s*\[(?:x|[0-9.]+)[<>=]+[^\]]*\]")

_Context: Any = TyperCommand.context_class
_Formatter: Any = _Context.formatter_class


class Lines(_Formatter):  # type: ignore[misc]
    """As wide as the screen; texts have two thirds of it at least."""

    def __init__(self, **_: Any) -> None:
        super().__init__(width=min(WIDEST, max(NARROWEST, get_terminal_size().columns)))

    def write_usage(self, prog: str, args: str = "", prefix: str | None = None) -> None:
        for mark, left in USAGE:
            args = mark.sub(left, args)
        super().write_usage(prog, args, prefix)

    def write_dl(
        self, rows: Sequence[tuple[str, str]], col_max: int = 30, col_spacing: int = 2
    ) -> None:
        # Older versions of the library escape their own brackets.
        bare = [(_name(first), RANGE.sub("", told.replace("\\[", "["))) for first, told in rows]
        super().write_dl(bare, min(col_max, self.width // 3), col_spacing)


def _name(first: str) -> str:
    """An argument's name without its kind; an option's words are what it takes."""
    return first if first.startswith("-") else first.partition(" <")[0]


class _Helped(_Context):  # type: ignore[misc]
    formatter_class = Lines


class Command(TyperCommand):
    context_class = _Helped


class Group(TyperGroup):
    context_class = _Helped
