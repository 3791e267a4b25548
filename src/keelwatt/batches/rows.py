"""The rows of a batch: their columns, what each is recognised by, and those of bad input."""

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING

from keelwatt import __version__
from keelwatt.errors import Problem

if TYPE_CHECKING:
    from keelwatt.choose.solver import SolverName
    from keelwatt.choose.sums import Measure

COLUMNS = {
    "file": "the outing, as named to the command",
    "title": "the outing's title",
    "status": "best, impossible (no kit meets every limit), invalid (to be put right), or bug",
    "price": "what is still to buy, in the outing's currency",
    "mass_kg": "what is carried; the charger stays ashore",
    "season_price": "cost a season, in the outing's currency",
    "displacement_kg": "craft, people, gear and kit",
    "battery": "part id",
    "series": "batteries in series",
    "parallel": "strings in parallel",
    "compartment": "where the batteries stand",
    "motor": "part id",
    "mount": "where the motor hangs",
    "controller": "part id, empty where there is none",
    "cable": "part id",
    "run_m": "one way",
    "fuse": "part id",
    "connector": "part id",
    "charger": "part id, empty where there is none",
    "box": "part id, empty where batteries are strapped down without",
    "hours_at_limit": "how many times the outing's hours the bank serves, empty if without end",
    "problem": "what to put right, or that nothing fits",
    "key": "SHA-256 of the outing's text, the catalog, the options and the version",
}
"""Column -> meaning."""

WHOLE = frozenset({"series", "parallel"})
NUMBERS = WHOLE | {"price", "mass_kg", "season_price", "displacement_kg", "run_m", "hours_at_limit"}

MOST_PROBLEMS = 3
"""Problems of one outing that its row tells in full."""

Row = dict[str, str]
"""A text for each of ``COLUMNS``, empty where there is nothing to say."""


@dataclass(frozen=True)
class Options:
    """What is asked of every outing alike."""

    by: "Measure | None" = None
    solver: "SolverName" = "highs"


@dataclass(frozen=True)
class Task:
    """An outing to work out, whoever has its file."""

    file: str
    text: str
    key: str


def key(text: str, catalog_sha256: str, options: Options) -> str:
    """Tells whether a row would come out the same again."""
    whole = (text, catalog_sha256, str(options.by), options.solver, __version__)
    return sha256("\0".join(whole).encode()).hexdigest()


def invalid(file: str, problems: Sequence[Problem], key: str = "") -> Row:
    """The row of an outing that cannot be worked out; without a key it is tried again."""
    told = [_told(problem) for problem in problems[:MOST_PROBLEMS]]
    if more := len(problems) - len(told):
        told.append(f"and {more} more: see keelwatt pick")
    return cells(file=file, status="invalid", problem="; ".join(told), key=key)


def _told(problem: Problem) -> str:
    line = f"line {problem.row}" if problem.row is not None else None
    place = ", ".join(part for part in (line, problem.key) if part)
    value = f"{problem.value!r} " if problem.value is not None else ""
    return f"{place}{': ' if place else ''}{value}{problem.what} -> {problem.remedy}"


def cells(**known: str) -> Row:
    return {column: known.get(column, "") for column in COLUMNS}
