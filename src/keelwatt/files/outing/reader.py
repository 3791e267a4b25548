"""From a TOML file to an outing, or every problem in it at once."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from keelwatt.errors import InputError, Problem
from keelwatt.files.fields import complaints, plain
from keelwatt.files.opened import contents
from keelwatt.files.outing.convert import Conversion
from keelwatt.files.outing.model import Outing
from keelwatt.files.outing.rules import broken_rules
from keelwatt.files.outing.toml_lines import Key, Located, dotted, locate
from keelwatt.units.shown import Units
from keelwatt.units.writing import spelled_units

_SYNTAX = (
    ("Cannot overwrite a value", "the key is there twice", "leave out one of the two"),
    ("twice", "the table is there twice",
     "give it once; where several are meant, as with legs, write two brackets: [[leg]]"),
    ("Expected '=' after a key", "there is no = after the key", 'write key = "value"'),
    ("Invalid initial character for a key", "the line begins with no key", 'write key = "value"'),
    ("Invalid statement", "the line begins with no key", 'write key = "value"'),
    ("Illegal character", "contains an unprintable character", "type the line again"),
    ("Unescaped '\\'", "there is a backslash in double quotes",
     "write the value in single quotes: 'value'"),
    ("Expected newline or end of document", "something follows the value",
     "put the whole value in one pair of quotes, and each key on a line of its own"),
    ("Unclosed array", "a list is not closed, or a comma is missing in it", 'write ["a", "b"]'),
    ("nclosed inline table", "a table in braces is not closed, or a comma is missing in it",
     'write {x = "1 m", y = "0 m", z = "0.2 m"}'),
    ("Expected ']'", "a table's bracket is not closed", "write [craft] or [[leg]]"),
    ("Invalid value", "there is no value after the =", 'write key = "value"'),
)  # fmt: skip
"""What tomllib says, what it means, and what to do."""


LONG_NUMBER = re.compile("[0-9A-Fa-f_]{1000}")
"""Longer than Python turns into text again."""


def read_outing(path: str | Path) -> Outing:
    """The outing in the file; every problem comes in one InputError, with its line and key."""
    return outing_from_text(read_text(path), str(path))


def read_text(path: str | Path) -> str:
    """What is written in the file, its line ends as they are; InputError where it is no text."""
    file = str(path)
    data = contents(Path(path), absent="check its name; `keelwatt start` writes one")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError.at(file, "is not UTF-8 text", "save it as plain text, in UTF-8") from None


def outing_from_text(text: str, file: str) -> Outing:
    """The outing in ``text``, which came from ``file``."""
    text = text.replace("\r\n", "\n")
    if not re.sub(r"(?m)^\s*(#.*)?$", "", text).strip():
        raise InputError.at(file, "is empty", "`keelwatt start` writes an outing to begin from")
    if long := LONG_NUMBER.search(text):
        row = text.count("\n", 0, long.start()) + 1
        what = "holds a number of a thousand digits"
        raise InputError.at(file, what, "write a number of everyday size", row=row)
    try:
        reading = _Reading(file, locate(text))
        outing = reading.outing()
    except RecursionError:
        raise InputError.at(file, "is nested too deeply", "close the brackets and braces") from None
    if outing is None:
        raise InputError(sorted(reading.problems, key=lambda problem: problem.row or 0))
    return outing


@dataclass
class _Reading:
    """A text on its way to becoming an outing."""

    file: str
    located: Located
    table: Mapping[str, Any] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    told: set[Key] = field(default_factory=set)

    def outing(self) -> Outing | None:
        for bare in self.located.unquoted:
            self._tell(bare.key, bare.value, bare.what, bare.remedy)
        try:
            self.table = tomllib.loads(self.located.patched)
        except ValueError as error:
            row, what, remedy = _syntax(str(error), self.located)
            self.problems.append(Problem(file=self.file, row=row, what=what, remedy=remedy))
            return None
        conversion = Conversion(self._complain)
        values = conversion.values(Outing, self.table)
        for key, what, remedy in broken_rules(self.table):
            self._complain(key, what, remedy)
        try:
            outing = Outing.model_validate(
                {**values, "file": self.file, "units": Units.typed(conversion.typed)}
            )
        except ValidationError as error:
            for wrong in complaints(error):
                key, kind = conversion.written(wrong["loc"])
                if key not in self.told:
                    context = wrong.get("ctx", {})
                    units = spelled_units(_scalar(self.table, key) or "")
                    told = plain(wrong["type"], context, wrong["input"], kind, units)
                    self._complain(key, *told)
            if not self.problems:
                raise
            return None
        return None if self.problems else outing

    def _complain(self, key: Key, what: str, remedy: str) -> None:
        self.told.add(key)
        self._tell(key, _scalar(self.table, key), what, remedy)

    def _tell(self, key: Key, value: str | None, what: str, remedy: str) -> None:
        problem = Problem(
            file=self.file,
            row=self.located.line(key),
            key=dotted(key),
            value=value,
            what=what,
            remedy=remedy,
        )
        self.problems.append(problem)


def _scalar(found: Any, key: tuple[Any, ...]) -> str | None:
    """The value at ``key`` as written, if there is one and it is no table and no list."""
    for part in key:
        if not isinstance(found, Mapping | list):
            return None
        try:
            found = found[part]
        except (KeyError, IndexError, TypeError):
            return None
    return None if isinstance(found, Mapping | list) else str(found)


def _syntax(message: str, located: Located) -> tuple[int, str, str]:
    """The line, what is wrong and what to do, of text that is not TOML."""
    text = located.patched
    if located.unclosed:
        return located.unclosed, "a quote is not closed", "close it at the end of the value"
    place = re.search(r"\(at line (\d+), column \d+\)", message)
    row = int(place[1]) if place else text.count("\n", 0, len(text.rstrip())) + 1
    for said, what, remedy in _SYNTAX:
        if said in message:
            return row, what, remedy
    return row, "is not TOML", 'write key = "value", one to a line'
