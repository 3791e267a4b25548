"""An outing's text with a comment beside each key. The comments stand in the model."""

import re

from pydantic import BaseModel

from keelwatt.files.fields import words_of
from keelwatt.files.outing.convert import Entry, entries_of
from keelwatt.files.outing.model import Outing

COMMENT_AT = 33
"""The column where comments begin, as far as the values leave it free."""

HEADER = re.compile(r"(?:# )?\[\[?(?P<path>[a-z_.]+)\]")
KEY = re.compile(r"(?:# )?(?P<name>[a-z_]+) = ")

MARK = re.compile(r"  # (assumed|offered)$")
"""Behind a value nobody typed; the key's comment follows it."""


def commented(text: str) -> str:
    """The text with the comment of each table and key, in use or not, each said once.
    A line that has a comment already keeps it."""
    told: set[str] = set()
    table: type[BaseModel] | None = Outing
    lines: list[str] = []
    for raw in text.splitlines():
        mark, line, said = MARK.search(raw), raw, ""
        key, header = KEY.match(line), HEADER.match(line)
        if header:
            entry = table_at(header["path"])
            table, said = entry.model, entry.meaning.split("\n")[0]
        elif key and table and (mark or " #" not in line):
            said = comment(entries_of(table)[key["name"]])
        if mark:
            line = f"{raw[: mark.start()]:<{COMMENT_AT - 1}} # {mark[1]}"
        if not said or said in told:
            lines.append(line)
        elif header:
            lines += [f"# {said}", line]
        else:
            lines.append(f"{line}; {said}" if mark else f"{line:<{COMMENT_AT - 1}} # {said}")
        told.add(said)
    return "\n".join(lines) + "\n"


def comment(entry: Entry) -> str:
    """What is said behind a key: the words it knows, and the first line of its comment."""
    first = entry.meaning.split("\n")[0].rstrip(".")
    words = alternatives([f'"{word}"' for word in words_of(entry.info.annotation)])
    return "; ".join(filter(None, [words, first[:1].lower() + first[1:]]))


def alternatives(words: list[str]) -> str:
    """As in "fresh" or "salt"."""
    return " or ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))


def table_at(path: str) -> Entry:
    """The table of that path in an outing, as in craft.compartment."""
    head, *rest = path.split(".")
    entry = entries_of(Outing)[head]
    for name in rest:
        entry = entries_of(entry.model or Outing)[name]
    return entry
