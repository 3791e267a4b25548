"""A program as plain data: one variable a candidate, named rows, whole-number sums.

Banks (x), drives (y), zones (w) and wiring sets (z) are binary; exactly one x and one y are chosen.
A zone stands for one class of drives on one mount and one class of banks, joined alike, in one
compartment: two families of equalities link it to both, and a third to the wiring sets of its run,
which makes the relaxation nearly integral. The charger stays ashore and touches nothing but the
price, so each bank already carries its cheapest charger, and the inlet for it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf
from typing import Literal

import numpy as np

from keelwatt.boat.arrays import Bools, Ints, alike
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
    """A binary variable for each bank, drive, zone and wiring set, rows, an objective a measure."""

    rows: tuple[Row, ...]
    objectives: dict[Measure, Ints]

    @property
    def size(self) -> int:
        return len(next(iter(self.objectives.values())))

    def with_rows(self, *rows: Row) -> "Program":
        return Program((*self.rows, *rows), self.objectives)

    def other_than(self, chosen: Bools) -> Row:
        """The row that shuts out exactly one choice."""
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
    rows = [*maker.links(), *(maker.sum(limit) for limit in sums if _may_break(limit))]
    rows.extend(maker.demands(table.pairs.w_max_g))
    zones = np.zeros(len(table.zones), dtype=np.int64)
    objectives = {
        measure: np.concatenate([banks, drives, zones, wiring])
        for measure, (banks, drives, wiring) in measures.items()
    }
    return Program(tuple(rows), objectives)


def _may_break(limit: Sum) -> bool:
    return sum(int(of.max(initial=0)) for of in limit.of) > limit.bound


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
        sizes = len(table.banks), len(table.drives), len(table.zones), len(table.run)
        starts = np.cumsum([0, *sizes])
        self.x, self.y, self.w, self.z = (np.arange(a, b) for a, b in pairwise(starts))

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
        harness, level, box, mount, join, run = table.zones.T
        banks = table.banks
        joined = types.joins.of(banks.type, banks.place)
        volts = types.harnesses.system_v
        for here, there, variables in (
            (
                (types.harness[table.drives.type], table.drives.place),
                (harness, mount),
                self.y,
            ),
            (
                (banks["system_v"], banks["level"], banks.place, joined),
                (volts[harness], level, box, join),
                self.x,
            ),
            ((table.run,), (run,), self.z),
        ):
            ends = [np.concatenate(both) for both in zip(here, there, strict=True)]
            _, number = alike(*ends)
            for key in range(int(number.max(initial=-1)) + 1):
                one_end, other = number[: variables.size] == key, number[variables.size :] == key
                terms = [(variables[one_end], one), (self.w[other], minus)]
                yield self._row(LINK, terms, "==", 0)

    def demands(self, w_max_g: dict[str, Ints]) -> Iterator[Row]:
        """A drive may only go with a bank that serves it, and no heavier than W_max.

        Drives that the same banks serve share one row, and demands that say the same.
        """
        told = set[tuple[bytes, ...]]()
        for demand, w_max_of_couples in w_max_g.items():
            w_max = _by_rows(self.table, w_max_of_couples)
            served = w_max != NEVER
            for kind in np.unique(served, axis=1).T:
                drives = np.flatnonzero((served == kind[:, None]).all(axis=0))
                key = kind.tobytes(), drives.tobytes()
                if not kind.all() and key not in told:
                    told.add(key)
                    yield self._row(demand, [(self.y[drives], 1), (self.x[kind], -1)], "<=", 0)
            yield from self._weights(demand, w_max, served)

    def _weights(self, demand: str, w_max: Ints, served: Bools) -> Iterator[Row]:
        """Where displacement decides, for a drive y and the wiring sets z that may go with it:
        W + sum((cap - W_max) x) + R y <= cap + R, with its heaviest kit for the cap, and R just as
        large that the row asks nothing of other drives.
        """
        table = self.table
        bank_g, drive_g, wiring_g = measure_sums(table)["mass"]
        harness, mount = table.types.harness[table.drives.type], table.drives.place
        for j in range(drive_g.size):
            zones = (table.zones[:, 0] == harness[j]) & (table.zones[:, 3] == mount[j])
            sets = np.isin(table.run, table.zones[zones, -1])
            heaviest = table.case.bare_g + drive_g[j] + bank_g + wiring_g[sets].max(initial=0)
            decisive = served[:, j] & (w_max[:, j] < heaviest)
            if decisive.any():
                cap = int(heaviest.max())
                without = bank_g + np.where(decisive, cap - w_max[:, j], 0)
                slack = max(0, int(without.max() - bank_g.max() - drive_g[j]))
                terms = [
                    (self.x, without),
                    (self.y[[j]], drive_g[[j]] + slack),
                    (self.z[sets], wiring_g[sets]),
                ]
                yield self._row(demand, terms, "<=", cap + slack - table.case.bare_g)


def _by_rows(table: Table, of_couples: Ints) -> Ints:
    """A number of every couple by rows of banks and drives, NEVER for what is no couple."""
    banks, drives = np.unique(table.banks.type), np.unique(table.drives.type)
    whole = np.full((banks.size, drives.size), NEVER, dtype=np.int64)
    placed = np.isin(table.pairs.bank, banks) & np.isin(table.pairs.drive, drives)
    bank, drive = table.pairs.bank[placed], table.pairs.drive[placed]
    whole[np.searchsorted(banks, bank), np.searchsorted(drives, drive)] = of_couples[placed]
    rows = np.searchsorted(banks, table.banks.type), np.searchsorted(drives, table.drives.type)
    return whole[np.ix_(*rows)]
