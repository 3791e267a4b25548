"""Every key and column there is, as Markdown made from the models.
``python -m keelwatt.files.reference > examples/REFERENCE.md`` writes it anew."""

import sys
from collections.abc import Iterator, Mapping
from typing import get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from keelwatt.files.catalog.cells import Column, columns_of
from keelwatt.files.catalog.parts import FILES
from keelwatt.files.fields import Measure, default_words, extra, meaning, words_of
from keelwatt.files.log import LogRow
from keelwatt.files.outing import Outing
from keelwatt.files.outing.comments import alternatives
from keelwatt.files.outing.convert import Entry, entries_of
from keelwatt.units import EXAMPLES

TOP = """\
# Every key and column

Made from the program by `python -m keelwatt.files.reference`; a test holds it to the program.
A key or column without a default must be given. Any unit of the right kind will do.
"""

HEAD = """
| {} | form | default | meaning | source of the default |
|---|---|---|---|---|
"""

TYPES: Mapping[object, str] = {int: "whole number", float: "number", bool: "yes or no", str: "text"}


def reference() -> str:
    """All keys of an outing, then all columns of the catalog's files and of a log."""
    return "".join(_pieces())


def _pieces() -> Iterator[str]:
    yield TOP
    yield "\n## The outing, a TOML file\n"
    yield from _tables(Outing, "")
    yield "\n## The catalog, a folder of CSV files\n"
    for stem, model in FILES.items():
        yield f"\n### {stem}.csv\n"
        yield from _columns(model)
    yield "\n## A log, a CSV file\n"
    yield from _columns(LogRow)


def _tables(model: type[BaseModel], path: str) -> Iterator[str]:
    """The keys of a table, then the tables in it."""
    entries = entries_of(model).values()
    yield HEAD.format("key")
    for entry in entries:
        if not entry.model:
            form = EXAMPLES[entry.kind] if entry.kind and entry.kind != "money" else ""
            yield _row(entry, form or _form(entry.info, entry.kind))
    for entry in entries:
        if entry.model:
            inner = f"{path}{entry.name}"
            yield f"\n### {f'[[{inner}]]' if entry.many else f'[{inner}]'}\n\n"
            yield entry.meaning
            words = default_words(entry.info, None)
            yield f" Left out: {words}.\n" if words and not entry.many else "\n"
            yield from _tables(entry.model, f"{inner}.")


def _columns(model: type[BaseModel]) -> Iterator[str]:
    yield HEAD.format("column")
    for column in columns_of(model):
        info = model.model_fields[column.field]
        yield _row(column, column.kind.replace("_", " ") if column.kind else _form(info, None))


def _row(of: Entry | Column, form: str) -> str:
    name, unit = (of.header, of.unit) if isinstance(of, Column) else (of.name, "")
    info, says = of.owner.model_fields[of.field], " ".join(meaning(of.owner, of.field).split())
    cells = (f"`{name}`", form, default_words(info, of.kind, unit), says, extra(info, "source"))
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |\n"


def _form(info: FieldInfo, kind: Measure) -> str:
    if kind == "money":
        return "amount of money"
    if words := words_of(info.annotation):
        return alternatives([f"`{word}`" for word in words])
    if get_origin(info.annotation) is Mapping:
        return "table: `{ name = 2 }`"
    if get_origin(next(iter(get_args(info.annotation)), None)) is tuple:
        return 'list: `[["2 kn", "20 N"], ["3 kn", "45 N"]]`'
    if get_origin(info.annotation) is tuple:
        return 'list: `["first", "second"]`'
    plain = (getattr(each, "__origin__", each) for each in get_args(info.annotation))
    given = next((each for each in plain if each in TYPES), info.annotation)
    return TYPES.get(given, "table")


if __name__ == "__main__":
    sys.stdout.write(reference())
