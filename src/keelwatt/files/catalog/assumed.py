"""What the files leave open and is taken at a safe default."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from keelwatt.files.catalog.cells import Column, columns_of
from keelwatt.files.catalog.parts import Fitting, Part
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.fields import shown


@dataclass(frozen=True)
class Assumed:
    """A column of a file that these parts leave open, what is taken, and where that is from."""

    file: str
    column: str
    taken: str
    source: str
    parts: tuple[str, ...]


CONCERNS: Mapping[str, frozenset[str]] = {
    "rating_a": frozenset({"bus bar", "inlet", "converter"}),
    "size": frozenset({"lug"}),
    "studs": frozenset({"bus bar"}),
    "output_v": frozenset({"converter"}),
    "max_voltage_v": frozenset({"bus bar", "inlet", "converter"}),
}
"""Which fittings a column of theirs is about: of the others nothing is open."""


def assumed(catalog: Catalog) -> Iterator[Assumed]:
    """Of every file, in the order of its columns."""
    for stem, parts in catalog.shelves().items():
        for column in columns_of(type(parts[0])) if parts else ():
            ids = tuple(part.id for part in parts if column in left_open(part))
            if ids:
                yield Assumed(f"{stem}.csv", column.name, column.taken, column.source, ids)


def left_open(part: Part) -> tuple[Column, ...]:
    """The columns of a part that were blank or missing and have a default."""
    return tuple(
        column
        for column in columns_of(type(part))
        if column.source
        and column.field not in part.model_fields_set | {"id"}
        and not (
            isinstance(part, Fitting) and part.what not in CONCERNS.get(column.field, {part.what})
        )
    )


OPEN_BEHIND: Mapping[str, tuple[str, str]] = {
    "bank_current": ("batteries.csv", "continuous"),
    "bank_size": ("batteries.csv", "max_series"),
    "interrupting": ("fuses.csv", "interrupts"),
    "fuse_voltage": ("fuses.csv", "max_voltage"),
    "ampacity": ("cables.csv", "insulation"),
    "control_heat": ("controllers.csv", "max_temperature"),
}
"""Rule -> the column that, left open, may be what it breaks on."""


def behind(rules: Iterable[str], catalog: Catalog, only: str | None = None) -> Iterator[Assumed]:
    """What is taken for these rules because the catalog is silent, of one part or of all."""
    asked = {OPEN_BEHIND[rule] for rule in rules if rule in OPEN_BEHIND}
    for one in assumed(catalog):
        if (one.file, one.column) in asked and (only is None or only in one.parts):
            yield one if only is None else replace(one, parts=(only,))


def as_catalogs_write(value: float, column: Column) -> str:
    return shown(value, column.kind, column.unit)


def value_left_open(
    part: Part, column: Column, written: Callable[[float, Column], str] = as_catalogs_write
) -> str:
    value = getattr(part, column.field)
    if isinstance(value, bool | str) or value is None:
        return f"{column.taken} ({column.source})"
    return f"{written(value, column)} ({column.source})"
