"""Cells of the CSV files keelwatt writes: none is a formula to the spreadsheet that opens it."""

import csv
import io
import re
from collections.abc import Iterable

FORMULA_SIGNS = frozenset("=+-@\t\r＝＋－＠")
"""A cell beginning with one of these a spreadsheet may take for a formula."""

BLANKS = re.compile(r"^['\s]+")
"""What a spreadsheet may take off before it looks: every blank of Unicode."""


NUMBER = re.compile(r"-[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?")
"""What begins with a minus and is no formula."""


def csv_text(
    rows: Iterable[Iterable[str]], *, separator: str = ",", end: str = "\n", own: bool = False
) -> str:
    """Rows as a CSV file's text, every cell guarded: the one way any of them leaves.
    ``own``: they stood in the user's file before, and stay as they were."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=separator, lineterminator=end)
    writer.writerows(row if own else map(guarded, row) for row in rows)
    return out.getvalue()


def guarded(cell: str) -> str:
    """The cell with an apostrophe in front where it could be a formula."""
    return f"'{cell}" if _risky(cell) else cell


def unguarded(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and _risky(cell[1:]) else cell


def _risky(cell: str) -> bool:
    """Also behind blanks, and behind apostrophes, so that each guard is taken off once; a number
    that begins with a minus is none."""
    bare = cell.lstrip("'")
    if NUMBER.fullmatch(bare):
        return False
    return bare[:1] in FORMULA_SIGNS or BLANKS.sub("", bare)[:1] in FORMULA_SIGNS
