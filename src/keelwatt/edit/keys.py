"""Keys of an outing as a user writes them: ``limits.budget``, ``leg.home.speed``, ``budget``."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any, Literal, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from keelwatt.files.outing import Outing
from keelwatt.files.outing.convert import Entry, entries_of
from keelwatt.files.outing.toml_lines import Key
from keelwatt.limits import LIMITS
from keelwatt.units import Kind, UnitError, did_you_mean

ALIASES: Mapping[str, str] = {
    **{name: f"limits.{declared.key}" for name, declared in LIMITS.items() if declared.key},
    "by": "wish.by",
}
"""The plain names of wishes that stand for one key."""

WHOLE_DAY = ("hours", "speed")
"""The plain names that stand for every leg, and the devices' hours with them."""

Form = Kind | Literal["money", "whole", "number", "text", "list"]
"""What a value is: a quantity, money, a whole or any number, a text, a list of texts."""

BY_NAME: Mapping[str, Form] = {"cable_run": "length", "own_pieces": "whole"}
"""Tables whose keys are names of things."""

Table = Mapping[str, Any]


class UnknownKeyError(UnitError):
    """Not the value cannot be read, but the key."""


@dataclass(frozen=True)
class Target:
    """A key found: its path in the file, and what its value is. ``signed``: the value may lie below
    nothing. ``default``: what the outing takes where the file is silent, None for nothing; a
    quantity as the tool keeps it. ``optional``: it may be left out."""

    path: Key
    form: Form
    signed: bool = False
    default: Any = None
    optional: bool = True


def target(words: str, data: Table) -> Target:
    """The key written in ``words``, for an outing whose file holds ``data``. Tables of one name go
    by their name in any case, or by their number from 1; a name may stand in quotes.
    UnknownKeyError: if there is no such key, with the one that was probably meant."""
    search = _Search(words, data)
    return search.below(Outing, data, ALIASES.get(words.lower(), words), ())


@dataclass(frozen=True)
class _Search:
    words: str
    data: Table

    def below(self, model: type[BaseModel], table: Table, words: str, path: Key) -> Target:
        entries = entries_of(model)
        head, _, rest = words.partition(".")
        head, rest = head.strip().strip("\"'"), rest.strip()
        entry = entries.get(head) or entries.get(head.lower())
        if entry is None:
            raise self.unknown()
        at = (*path, entry.name)
        inner = table.get(entry.name)
        if entry.model and rest and entry.many:
            rows = [row for row in inner or () if isinstance(row, Mapping)]
            number, rest = self.row(rest, rows, entry.name)
            return self.below(entry.model, rows[number], rest, (*at, number))
        if entry.model and rest:
            return self.below(entry.model, inner or {}, rest, at)
        if entry.model or (entry.name in BY_NAME and not rest):
            raise self.whole_table(entry)
        if entry.name in BY_NAME:
            return Target((*at, rest.strip("\"'")), BY_NAME[entry.name])
        if rest:
            raise self.unknown()
        info = entry.info
        least = (getattr(each, "ge", getattr(each, "gt", float("-inf"))) for each in info.metadata)
        return Target(
            at,
            entry.kind or _form(info),
            signed=not any(bound >= 0 for bound in least),
            default=None if info.is_required() else info.default,
            optional=not entry.required,
        )

    def row(self, words: str, rows: list[Table], table: str) -> tuple[int, str]:
        """The place of the row that is addressed, and the key below it."""
        number = re.match(r"([0-9]+)\.(.+)", words)
        if number and 1 <= int(number[1]) <= len(rows):
            return int(number[1]) - 1, number[2]
        found = []
        names = [str(row.get("name", "")) for row in rows]
        for place, name in enumerate(names):
            for spelled in (f'"{name}"', f"'{name}'", name):
                if words.lower().startswith(f"{spelled.lower()}."):
                    found.append((len(spelled), words.startswith(spelled), -place))
        if not found:
            meant = did_you_mean(words.rpartition(".")[0] or words, names)
            those = f"there is {', '.join(names)}" if names else "there is none in the file"
            what = f"names no {table} of this outing"
            remedy = f"{meant}{those}; write {table}.NAME.KEY, or the number from 1 for the name"
            raise UnknownKeyError(what, remedy)
        length, _, place = max(found)
        return -place, words[length + 1 :]

    def unknown(self) -> UnknownKeyError:
        known = {key.lower(): key for key in known_keys(self.data)}
        word = re.sub(r"[\"']", "", self.words.lower())
        ending = [key for key in known if key.endswith(f".{word}")]
        close = ending or get_close_matches(word, known, n=1)
        meant = f"did you mean {known[close[0]]}? " if close else ""
        return UnknownKeyError(
            "is not a key of this outing",
            f"{meant}write one of {', '.join([*WHOLE_DAY, *ALIASES])}, or table.key as in the "
            "file, such as limits.budget",
        )

    def whole_table(self, entry: Entry) -> UnknownKeyError:
        beginning = f"{entry.name}."
        known = [key for key in known_keys(self.data) if beginning in f"{key}."]
        such_as = f", such as {known[-1]}" if known else ""
        return UnknownKeyError("is a whole table", f"write one of its keys{such_as}")


def _form(info: FieldInfo) -> Form:
    if get_origin(info.annotation) is tuple:
        return "list"
    if info.annotation is int:
        return "whole"
    return "number" if info.annotation is float else "text"


def known_keys(data: Table) -> Iterator[str]:
    """Every key that can be set in this outing, as a user would write it."""
    yield from WHOLE_DAY
    yield from ALIASES
    yield from _keys(Outing, data, "")


def _keys(model: type[BaseModel], table: Table, prefix: str) -> Iterator[str]:
    for entry in entries_of(model).values():
        key, inner = f"{prefix}{entry.name}", table.get(entry.name)
        if entry.model and entry.many:
            for row in inner or ():
                yield from _keys(entry.model, row, f"{key}.{row.get('name', '')}.")
        elif entry.model:
            yield from _keys(entry.model, inner or {}, f"{key}.")
        elif entry.name in BY_NAME:
            yield from (f"{key}.{name}" for name in inner or ())
        else:
            yield key


def told(path: Key, data: Table) -> str:
    """The path as a user writes it, rows by their names."""
    words: list[str] = []
    found: Any = data
    for part in path:
        if isinstance(part, int):
            found = found[part]
            words.append(str(found["name"]))
        else:
            found = found.get(part, {}) if isinstance(found, Mapping) else {}
            words.append(part)
    return ".".join(words)
