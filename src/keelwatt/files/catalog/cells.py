"""From a cell's text to a field's value."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from types import NoneType
from typing import Literal, get_args, get_origin

from pydantic import BaseModel

from keelwatt.files.fields import Measure, default_words, extra, meaning, written
from keelwatt.units import (
    Kind,
    UnitError,
    clean,
    did_you_mean,
    money_cents,
    number,
    quantity,
    to_si,
)

YES_OR_NO: Mapping[str, bool] = {
    **dict.fromkeys(["yes", "y", "true", "1"], True),
    **dict.fromkeys(["no", "n", "false", "0"], False),
}


@dataclass(frozen=True)
class Column:
    """A column of a catalog file: its header is ``name [unit]``."""

    owner: type[BaseModel]
    field: str
    name: str
    unit: str
    kind: Measure
    type: object
    required: bool
    taken: str = ""
    source: str = ""

    @property
    def meaning(self) -> str:
        return meaning(self.owner, self.field).split("\n")[0]

    @property
    def header(self) -> str:
        return f"{self.name} [{self.unit}]" if self.unit else self.name


@cache
def columns_of(model: type[BaseModel]) -> tuple[Column, ...]:
    return tuple(
        Column(
            model,
            field,
            mark.name,
            mark.unit,
            mark.kind,
            _given(info.annotation),
            info.is_required(),
            default_words(info, mark.kind, mark.unit),
            extra(info, "source"),
        )
        for field, info in model.model_fields.items()
        for mark in [written(field, info)]
    )


def _given(annotation: object) -> object:
    """The type of a cell that is not empty: int where a field is ``int | None``."""
    args = get_args(annotation)
    others = [each for each in args if each is not NoneType]
    return others[0] if len(others) == 1 < len(args) else annotation


def read_cell(cell: str, column: Column, unit: str, decimal_comma: bool) -> object:
    """The value in a cell that is not empty; UnitError if it cannot be read."""
    if column.kind == "money":
        return _cents(cell, decimal_comma, whole=column.type is int)
    if column.kind is not None and get_origin(column.type) is tuple:
        each = re.split(r"\s*[|;]\s*", cell)
        return tuple(_measured(one, column.kind, unit, decimal_comma) for one in each)
    if column.kind is not None:
        return _measured(cell, column.kind, unit, decimal_comma)
    if read := _READERS.get(column.type):
        return read(cell, decimal_comma)
    if get_origin(column.type) is tuple:
        return tuple(word.lower() for word in re.split(r"\s*[|,;/]\s*", cell) if word)
    return cell.lower() if get_origin(column.type) is Literal else _text(cell, decimal_comma)


def _cents(cell: str, decimal_comma: bool, whole: bool) -> float:
    cents = money_cents(cell, decimal_comma=decimal_comma)
    if whole and cents != round(cents):
        raise UnitError("has more than two decimals", "write an amount such as 1299.00")
    return round(cents) if whole else cents


def _measured(cell: str, kind: Kind, unit: str, decimal_comma: bool) -> float:
    """A number in the header's unit, or a quantity with a unit of its own."""
    try:
        value = number(cell, decimal_comma=decimal_comma)
    except UnitError:
        if re.fullmatch(r"[+-]?[0-9.,' ]+[^0-9.,'_ -].*", clean(cell)):
            return quantity(cell, kind)
        raise
    return to_si(value, unit, kind)


def _text(cell: str, _: bool) -> str:
    if not cell.isprintable():
        raise UnitError("contains unprintable characters", "type it again")
    return cell


def _count(cell: str, decimal_comma: bool) -> int:
    value = number(cell, decimal_comma=decimal_comma)
    if value != round(value):
        raise UnitError("is not a whole number", "write a count such as 4")
    return round(value)


def _yes_or_no(cell: str, _: bool) -> bool:
    try:
        return YES_OR_NO[cell.lower()]
    except KeyError:
        hint = did_you_mean(cell, ["yes", "no", "true", "false"])
        raise UnitError("is neither yes nor no", f"{hint}write yes or no") from None


_READERS: Mapping[object, Callable[[str, bool], object]] = {
    str: _text,
    int: _count,
    bool: _yes_or_no,
    float: lambda cell, decimal_comma: number(cell, decimal_comma=decimal_comma),
}
