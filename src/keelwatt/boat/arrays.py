"""Records of arrays that broadcast: one value for all, or one an entry on the last axis."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, Self

import numpy as np
import numpy.typing as npt

from keelwatt.physics.real import Bools, Floats, Ints

__all__ = ["Bools", "Floats", "Ints", "Record", "alike", "in_parts"]

MANY = 1 << 62
"""More than whole numbers count."""

CLOSE = 4
"""Whole numbers lie close together whose range is at most so many times their count."""


def in_parts(count: int, size: int) -> Iterator[slice]:
    """So many entries in their order, at the most ``size`` at a time."""
    return (slice(at, at + size) for at in range(0, count, size))


def alike(*columns: npt.ArrayLike) -> tuple[Ints, Ints]:
    """(the first row of each kind, the kind of each row): of a kind are rows equal in every column.
    Kinds are numbered as their values rise, the first column's first."""
    kind, count = np.zeros(len(np.asarray(columns[0])), dtype=np.int64), 1
    for column in columns:
        of, values = _ranks(np.asarray(column))
        if count * values > MANY:
            kind, count = _ranks(kind)
        kind, count = kind * values + of, count * values
    kind, count = _ranks(kind)
    first = np.empty(count, dtype=np.int64)
    first[kind[::-1]] = np.arange(kind.size)[::-1]
    return first, kind


def _ranks(column: npt.NDArray[Any]) -> tuple[Ints, int]:
    """(each entry's place among the values that occur, how many occur); whole numbers that lie
    close together are counted, which takes a tenth of sorting them."""
    if column.size and column.dtype.kind == "i":
        above = np.subtract(column, column.min(), dtype=np.int64)
        if (span := int(above.max()) + 1) <= CLOSE * column.size:
            occurs = np.bincount(above, minlength=span) > 0
            return (np.cumsum(occurs) - 1)[above], int(np.count_nonzero(occurs))
    values, of = np.unique(column, return_inverse=True)
    return of, values.size


@dataclass(frozen=True)
class Record:
    """Fields are arrays, records of arrays, or marked ``for_all`` and never taken apart."""

    @classmethod
    def of_columns(cls, columns: Mapping[str, Any]) -> Self:
        return cls(**{field.name: np.asarray(columns[field.name]) for field in fields(cls)})

    def of(self, entries: Ints) -> Self:
        """The record of these entries of the last axis, in this order."""
        apart = [field.name for field in fields(self) if not field.metadata.get("for_all")]
        return replace(self, **{name: _take(getattr(self, name), entries) for name in apart})


def _take(value: Any, entries: Ints) -> Any:
    if isinstance(value, Record):
        return value.of(entries)
    for_all = np.ndim(value) == 0 or (np.ndim(value) > 1 and np.shape(value)[-1] == 1)
    return value if for_all else value[..., entries]
