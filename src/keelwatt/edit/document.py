"""Values changed in a TOML text, its comments and layout kept."""

import tomllib
from collections.abc import Mapping
from typing import Any

import tomlkit
from tomlkit.items import AoT, InlineTable, Item, Table

from keelwatt.errors import InternalError
from keelwatt.files.outing.toml_lines import Key

Raw = str | int | float | list[str]
"""A value as TOML has it."""


def rewritten(text: str, values: Mapping[Key, Raw | None]) -> str:
    """The text with these values, None to take the key out.
    A new key goes below the last of its table, a new table to the end.
    InternalError: if the text does not then hold what was asked for, and all else as before."""
    wanted = tomllib.loads(text.replace("\r\n", "\n"))
    document = tomlkit.parse(text)
    for path, value in values.items():
        put(wanted, path, value)
        document = _with(document, path, value)
    changed = tomlkit.dumps(document)
    if tomllib.loads(changed.replace("\r\n", "\n")) != wanted:
        raise InternalError(f"the file cannot be edited: {', '.join(map(str, values))}")
    return changed


def put(data: dict[str, Any], path: Key, value: Raw | None) -> None:
    table: Any = data
    for part in path[:-1]:
        if value is None and not isinstance(part, int) and part not in table:
            return
        table = table[part] if isinstance(part, int) else table.setdefault(part, {})
    if value is None:
        table.pop(path[-1], None)
    else:
        table[path[-1]] = value


def _with(document: Any, path: Key, value: Raw | None) -> Any:
    *tables, name = path
    table = document
    for part in tables:
        if not isinstance(part, int) and part not in table:
            if value is None:
                return document
            if not isinstance(table, InlineTable):
                end, header = _newline(document), ".".join(map(str, tables))
                text = tomlkit.dumps(document).rstrip()
                return _with(tomlkit.parse(f"{text}{end}{end}[{header}]{end}"), path, value)
            table[part] = tomlkit.inline_table()
        table = table[part]
    if value is None:
        if name in table:
            del table[name]
    elif name in table:
        _replace(table, str(name), value)
    else:
        _add(table, str(name), value, _newline(document))
        return tomlkit.parse(tomlkit.dumps(document))
    return document


def _newline(document: Any) -> str:
    return "\r\n" if "\r\n" in tomlkit.dumps(document) else "\n"


def _replace(table: Any, name: str, value: Raw) -> None:
    """A comment behind the value keeps its column where there is room."""
    before: Item = tomlkit.item(table[name])
    width = len(before.as_string())
    table[name] = value
    after: Item = table[name] if isinstance(table[name], Item) else tomlkit.item(table[name])
    gap = after.trivia.comment_ws
    if after.trivia.comment and not gap.strip(" "):
        after.trivia.comment_ws = " " * max(2, len(gap) + width - len(after.as_string()))


def _add(table: Any, name: str, value: Raw, newline: str) -> None:
    """Below the last key of the table, above blank lines and comments that follow it."""
    item = tomlkit.item(value)
    if not isinstance(table, Table):
        table[name] = item
        return
    item.trivia.trail = newline
    body = table.value.body
    keys = [
        place
        for place, (key, inner) in enumerate(body)
        if key is not None and not isinstance(inner, Table | AoT)
    ]
    rest = body[max(keys, default=-1) + 1 :]
    del body[len(body) - len(rest) :]
    table.add(name, item)
    body.extend(rest)
