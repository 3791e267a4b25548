"""The answers as a commented outing, in the words they were given in."""

from collections.abc import Iterator, Sequence

from keelwatt.files.outing.comments import HEADER, KEY, commented
from keelwatt.files.starter import template
from keelwatt.interview.answers import Answers, Table, mark_of

TOP = """\
# Your boat and your day, from your answers. Change what you like and run keelwatt pick again.
#
# Quantities are text in quotes with a unit, and any unit of the right kind will do.
# Places: x forward of midship, y to starboard, z up from the keel.
# "assumed": nobody was asked, it is usual for the kind of craft. "offered": you took what was
# offered. Measure where it matters.
# A line that begins with # is a comment; take the # away to use a key.
"""


def outing_text(found: Answers) -> str:
    """A file that reads back as what was answered, with the keys nobody asked for beside it."""
    return commented("\n".join(_blocks(found)))


def _blocks(found: Answers) -> Iterator[str]:
    """The answers in the order of the starter's tables, and the starter's where there are none."""
    answers = found.tables()
    yield TOP
    yield _keys({"title": found.title, "currency": found.currency})
    for path, block in starter_tables(us=found.us).items():
        if path == "parts" and (found.own or found.to_add):
            yield _parts(found)
            continue
        given = answers.get(path, ())
        if not given and block.startswith("# "):
            yield block
        for number, table in enumerate(given):
            header, *keys = block.removeprefix("# ").splitlines()
            spare = "" if number else _spare(keys, table)
            yield f"{header}\n{_keys(table)}{spare}"


def _parts(found: Answers) -> str:
    to_add = (f"# yours, not in the catalog yet: {name}\n" for name in found.to_add)
    own = f"own = [{', '.join(map(quoted, found.own))}]\n"
    return f"[parts]\n{''.join(to_add)}{own}"


def starter_tables(*, us: bool = False) -> dict[str, str]:
    """The lines of each table of the starter, where it stands first."""
    tables: dict[str, str] = {}
    for block in template(us=us).split("\n\n"):
        if header := HEADER.match(block):
            tables.setdefault(header["path"], block.rstrip("\n") + "\n")
    return tables


def _spare(keys: Sequence[str], given: Table) -> str:
    """The starter's keys that are not used here, as comments."""
    unused = [line for line in keys if (key := KEY.match(line)) and key["name"] not in given]
    return "".join(f"# {line.removeprefix('# ')}\n" for line in unused)


def _keys(table: Table) -> str:
    return "".join(
        f"{key} = {quoted(value)}{f'  # {mark}' if (mark := mark_of(value)) else ''}\n"
        for key, value in table.items()
    )


def quoted(text: str) -> str:
    r"""A TOML basic string.

    >>> print(quoted('a "b" \\ c'))
    "a \"b\" \\ c"
    """
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(map(_sign, escaped)) + '"'


def _sign(sign: str) -> str:
    return sign if sign.isprintable() else f"\\U{ord(sign):08x}"
