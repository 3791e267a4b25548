"""A program as plain data: one variable a candidate, named rows, whole-number sums.

Banks (x), drives (y) and wiring columns (z) are binary; exactly one x and one y are chosen. A z
serves one class of drives on one mount and one class of banks in one compartment: two families of
equalities link it to both, which makes the relaxation nearly integral. The charger stays ashore and
touches nothing but the price, so each bank already carries its cheapest charger.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
import pandas as pd

from keelwatt.choose.space import Bools, Keep, Space
from keelwatt.choose.sums import Ints, Measure, Sum
from keelwatt.kits import NEVER

Sense = Literal["<=", "=="]

LINK = "link"
"""Name of the rows that hold a kit together; no one may lift them."""


@dataclass(frozen=True)
class Row:
    """sum(coefficients * chosen[variables]) sense bound; both arrays have one shape."""

    name: str
    variables: Ints
    coefficients: Ints
    sense: Sense
    bound: int

    def holds(self, chosen: Bools) -> bool:
        value = int(self.coefficients[chosen[self.variables]].sum())
        return value == self.bound if self.sense == "==" else value <= self.bound


@dataclass(frozen=True)
class Program:
    """Binary variables in three groups, rows, and one objective a measure.

    ``groups``: for banks, drives and wiring the table rows the variables stand for, in the
    variables' order.
    """

    groups: tuple[Ints, Ints, Ints]
    rows: tuple[Row, ...]
    objectives: dict[Measure, Ints]

    @property
    def size(self) -> int:
        return sum(group.size for group in self.groups)

    @property
    def limits(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(row.name for row in self.rows if row.name != LINK))

    def with_rows(self, *rows: Row) -> "Program":
        return Program(self.groups, (*self.rows, *rows), self.objectives)

    def at_most(self, measure: Measure, bound: int) -> Row:
        """The row that keeps a measure within a bound."""
        return Row(measure, np.arange(self.size), self.objectives[measure], "<=", bound)

    def other_than(self, chosen: Bools) -> Row:
        """The row that shuts out exactly one choice of three."""
        ones = np.flatnonzero(chosen)
        return Row(LINK, ones, np.ones(ones.size, dtype=np.int64), "<=", ones.size - 1)

    def holds(self, chosen: Bools) -> bool:
        """Whether a choice keeps every row, in exact arithmetic."""
        return all(row.holds(chosen) for row in self.rows)

    def picked(self, chosen: Bools) -> tuple[int, int, int]:
        """The table rows of the chosen bank, drive and wiring."""
        ends = np.cumsum([0, *(group.size for group in self.groups)])
        bank, drive, wiring = (
            int(group[chosen[start : start + group.size]].item())
            for group, start in zip(self.groups, ends, strict=False)
        )
        return bank, drive, wiring


def build(space: Space, keep: Keep) -> Program:
    """The program over the kept candidates of a space."""
    banks, drives, wiring = (np.flatnonzero(mask) for mask in keep)
    maker = _Builder(space, (banks, drives, wiring))
    rows = [*maker.links(), *(maker.sum(limit) for limit in space.sums)]
    for demand, w_max in space.w_max_g.items():
        rows.extend(maker.demand(demand, w_max))
    objectives = {
        measure: np.concatenate([v[g] for v, g in zip(values, maker.groups, strict=True)])
        for measure, values in space.measures.items()
    }
    return Program(maker.groups, tuple(rows), objectives)


class _Builder:
    def __init__(self, space: Space, groups: tuple[Ints, Ints, Ints]) -> None:
        self.space = space
        self.groups = groups
        table = space.table
        starts = np.cumsum([0, *(group.size for group in groups)])
        self.x, self.y, self.z = (np.arange(a, b) for a, b in pairwise(starts))
        self.banks = table.banks.iloc[groups[0]]
        self.drives = table.drives.iloc[groups[1]]
        self.wiring = table.wiring.iloc[groups[2]]

    def _row(
        self, name: str, terms: Sequence[tuple[Ints, Ints | int]], sense: Sense, bound: int
    ) -> Row:
        variables = np.concatenate([v for v, _ in terms])
        coefficients = np.concatenate([np.broadcast_to(c, v.shape) for v, c in terms])
        used = coefficients != 0
        return Row(name, variables[used], coefficients[used].astype(np.int64), sense, int(bound))

    def sum(self, limit: Sum) -> Row:
        terms = [
            (variables, value[group])
            for variables, value, group in zip(
                (self.x, self.y, self.z), limit.of, self.groups, strict=True
            )
        ]
        return self._row(limit.name, terms, "<=", limit.bound)

    def links(self) -> Iterator[Row]:
        one, minus = 1, -1
        for variables in (self.x, self.y):
            yield self._row(LINK, [(variables, one)], "==", 1)
        for ends, heads, variables in (
            (
                _keys(self.drives, "harness", "place"),
                _keys(self.wiring, "harness", "mount"),
                self.y,
            ),
            (
                _keys(self.banks, "system_v", "level", "place"),
                _keys(self.wiring, "system_v", "level", "box"),
                self.x,
            ),
        ):
            for key in sorted({*ends, *heads}):
                here = np.array([k == key for k in ends], dtype=bool)
                there = np.array([k == key for k in heads], dtype=bool)
                terms = [(variables[here], one), (self.z[there], minus)]
                yield self._row(LINK, terms, "==", 0)

    def demand(self, demand: str, w_max_of_types: Ints) -> Iterator[Row]:
        """A drive may only go with a bank that serves it, and no heavier than W_max.

        Drives that the same banks serve share one row. Where displacement decides, for each drive:
        W + sum((cap - W_max) x) + R y <= cap + R, with R the largest of those gaps.
        """
        w_max = w_max_of_types[
            np.ix_(self.banks["type"].to_numpy(), self.drives["type"].to_numpy())
        ]
        bare_g = self.space.bare_g
        bank_g = self.banks["mass_g"].to_numpy(dtype=np.int64)
        drive_g = self.drives["mass_g"].to_numpy(dtype=np.int64)
        wiring_g = self.wiring["mass_g"].to_numpy(dtype=np.int64)
        served = w_max != NEVER
        together: dict[bytes, list[int]] = {}
        for j in range(drive_g.size):
            if not served[:, j].all():
                together.setdefault(served[:, j].tobytes(), []).append(j)
        for drives in together.values():
            able = served[:, drives[0]]
            yield self._row(
                demand,
                [(self.y[drives], 1), (self.x[able], -1)],
                "<=",
                0,
            )
        heaviest = bare_g + bank_g[:, None] + drive_g[None, :] + wiring_g.max(initial=0)
        decisive = served & (w_max < heaviest)
        cap = int(heaviest.max(initial=0))
        for j in np.flatnonzero(decisive.any(axis=0)).tolist():
            gap = np.where(decisive[:, j], cap - w_max[:, j], 0)
            slack = int(gap.max())
            terms = [
                (self.x, bank_g + gap),
                (self.y, drive_g + np.where(np.arange(drive_g.size) == j, slack, 0)),
                (self.z, wiring_g),
            ]
            yield self._row(demand, terms, "<=", cap + slack - bare_g)


def _keys(table: pd.DataFrame, *columns: str) -> list[tuple[int, ...]]:
    return [tuple(int(v) for v in row) for row in table[list(columns)].to_numpy()]
