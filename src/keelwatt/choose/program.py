"""A program as plain data: one variable a candidate, named rows, whole-number sums.

Banks (x), drives (y) and wiring columns (z) are binary; exactly one x and one y are chosen. A z
serves one class of drives on one mount and one class of banks, joined alike, in one
compartment: two families of equalities link it to both, which makes the relaxation nearly
integral. The charger stays ashore and touches nothing but the price, so each bank already carries
its cheapest charger, and the inlet for it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf
from typing import Literal

import numpy as np

from keelwatt.boat.arrays import Bools, Ints
from keelwatt.choose.block import charged
from keelwatt.choose.sums import Measure, Sum, limit_sums, measure_sums
from keelwatt.files.kit import just_above
from keelwatt.kits import FILTERS, NEVER, Table, charging_h
from keelwatt.limits import MEASURED, enters

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
    """A binary variable for each bank, drive and wiring set, rows, and one objective a measure."""

    rows: tuple[Row, ...]
    objectives: dict[Measure, Ints]

    @property
    def size(self) -> int:
        return len(next(iter(self.objectives.values())))

    @property
    def limits(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(row.name for row in self.rows if row.name != LINK))

    def with_rows(self, *rows: Row) -> "Program":
        return Program((*self.rows, *rows), self.objectives)

    def other_than(self, chosen: Bools) -> Row:
        """The row that shuts out exactly one choice of three."""
        ones = np.flatnonzero(chosen)
        return Row(LINK, ones, np.ones(ones.size, dtype=np.int64), "<=", ones.size - 1)

    def holds(self, chosen: Bools) -> bool:
        """Whether a choice keeps every row, in exact arithmetic."""
        return all(row.holds(chosen) for row in self.rows)


def build(table: Table) -> Program:
    """The program over the rows of a table; each bank carries its cheapest charger that does."""
    maker = _Builder(table)
    charger, kind = cheapest_chargers(table), table.banks["charging"]
    measures = {
        name: (np.asarray(banks + charged(table.types, name)[kind, charger]), drives, wiring)
        for name, (banks, drives, wiring) in measure_sums(table).items()
    }
    sums = [
        replace(limit, of=measures[MEASURED[limit.name]]) if limit.name in MEASURED else limit
        for limit in limit_sums(table, table.case)
    ]
    if table.types.timed or table.types.charger_required:
        name = "recharge" if table.types.timed else "chemistry"
        _, drives, wiring = measures["mass"]
        without = (charger < 0).astype(np.int64), np.zeros_like(drives), np.zeros_like(wiring)
        sums.append(Sum(name, without, 0))
    rows = [*maker.links(), *(maker.sum(limit) for limit in sums)]
    for demand, w_max in table.pairs.w_max_g.items():
        rows.extend(maker.demand(demand, w_max))
    objectives = {measure: np.concatenate(values) for measure, values in measures.items()}
    return Program(tuple(rows), objectives)


@enters(FILTERS, "recharge", "chemistry")
def cheapest_chargers(table: Table) -> Ints:
    """Each bank's charger: of those that do, the cheapest, then the first; -1 for none."""
    types, banks = table.types, table.banks
    within_h = just_above(table.case.outing.limits.recharge_within_h or inf)
    current_a, price = types.charger["current_a"], types.charged_cents
    found = np.full(len(banks), -1, dtype=np.int64)
    kind = banks["charging"]
    for number, chargers in enumerate(types.chargers_of):
        of = price[number].tolist()
        dearest_first = sorted(chargers[chargers >= 0].tolist(), key=lambda c: (-of[c], -c))
        for row in dearest_first:
            hours = charging_h(banks["charge_ah"], banks["slow_end_h"], current_a[row])
            found[(kind == number) & (hours <= within_h)] = row
    return found


class _Builder:
    def __init__(self, table: Table) -> None:
        self.table = table
        sizes = len(table.banks), len(table.drives), len(table.zone)
        starts = np.cumsum([0, *sizes])
        self.x, self.y, self.z = (np.arange(a, b) for a, b in pairwise(starts))

    def _row(
        self, name: str, terms: Sequence[tuple[Ints, Ints | int]], sense: Sense, bound: int
    ) -> Row:
        variables = np.concatenate([v for v, _ in terms])
        coefficients = np.concatenate([np.broadcast_to(c, v.shape) for v, c in terms])
        used = coefficients != 0
        return Row(name, variables[used], coefficients[used].astype(np.int64), sense, int(bound))

    def sum(self, limit: Sum) -> Row:
        terms = list(zip((self.x, self.y, self.z), limit.of, strict=True))
        return self._row(limit.name, terms, "<=", limit.bound)

    def links(self) -> Iterator[Row]:
        one, minus = 1, -1
        for variables in (self.x, self.y):
            yield self._row(LINK, [(variables, one)], "==", 1)
        table, types = self.table, self.table.types
        harness, level, box, mount, join = table.zone.T
        banks = table.banks
        joined = types.joins.of(banks.type, banks.place)
        volts = types.harnesses.system_v
        for ends, heads, variables in (
            (
                np.column_stack((types.harness[table.drives.type], table.drives.place)),
                np.column_stack((harness, mount)),
                self.y,
            ),
            (
                np.column_stack((banks["system_v"], banks["level"], banks.place, joined)),
                np.column_stack((volts[harness], level, box, join)),
                self.x,
            ),
        ):
            number = np.unique(np.vstack([ends, heads]), axis=0, return_inverse=True)[1].ravel()
            for key in range(int(number.max(initial=-1)) + 1):
                here, there = number[: len(ends)] == key, number[len(ends) :] == key
                terms = [(variables[here], one), (self.z[there], minus)]
                yield self._row(LINK, terms, "==", 0)

    def demand(self, demand: str, w_max_of_couples: Ints) -> Iterator[Row]:
        """A drive may only go with a bank that serves it, and no heavier than W_max.

        Drives that the same banks serve share one row. Where displacement decides, for each drive:
        W + sum((cap - W_max) x) + R y <= cap + R, with R the largest of those gaps.
        """
        table = self.table
        w_max = _by_rows(table, w_max_of_couples)
        bare_g = table.case.bare_g
        bank_g, drive_g, wiring_g = measure_sums(table)["mass"]
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


def _by_rows(table: Table, of_couples: Ints) -> Ints:
    """A number of every couple by rows of banks and drives, NEVER for what is no couple."""
    banks, drives = np.unique(table.banks.type), np.unique(table.drives.type)
    whole = np.full((banks.size, drives.size), NEVER, dtype=np.int64)
    placed = np.isin(table.pairs.bank, banks) & np.isin(table.pairs.drive, drives)
    bank, drive = table.pairs.bank[placed], table.pairs.drive[placed]
    whole[np.searchsorted(banks, bank), np.searchsorted(drives, drive)] = of_couples[placed]
    rows = np.searchsorted(banks, table.banks.type), np.searchsorted(drives, table.drives.type)
    return whole[np.ix_(*rows)]
