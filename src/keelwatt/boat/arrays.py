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


def in_parts(count: int, size: int) -> Iterator[slice]:
    """So many entries in their order, at the most ``size`` at a time."""
    return (slice(at, at + size) for at in range(0, count, size))


def alike(*columns: npt.ArrayLike) -> tuple[Ints, Ints]:
    """(the first row of each kind, the kind of each row): of a kind are rows equal in every column.
    Kinds are numbered as their values rise, the first column's first."""
    kind, count = np.zeros(len(np.asarray(columns[0])), dtype=np.int64), 1
    for column in columns:
        values, of = np.unique(column, return_inverse=True)
        if count * values.size > MANY:
            kind = np.unique(kind, return_inverse=True)[1]
            count = kind.size
        kind, count = kind * values.size + of, count * values.size
    _, first, kind = np.unique(kind, return_index=True, return_inverse=True)
    return first, kind


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
