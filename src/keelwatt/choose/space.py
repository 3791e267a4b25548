"""All kits of a table as sums over banks, drives and wiring sets, some limits perhaps lifted."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from keelwatt.choose.sums import Ints, Measure, Parts, Sum, limit_sums, measure_sums
from keelwatt.files.kit import just_below
from keelwatt.kits import DEMANDS, FILTERS, NEVER, Table
from keelwatt.limits import enters

Bools = npt.NDArray[np.bool_]
Keep = tuple[Bools, Bools, Bools]
"""Which rows of banks, drives and wiring are considered."""

THEN: dict[Measure, Measure] = {"cost": "mass", "mass": "cost", "season": "mass"}
"""Which measure decides between equals of the first."""

NOTHING = int(np.iinfo(np.int64).max // 4)
"""Stands for a measure no kit has."""


@dataclass(frozen=True)
class Kits:
    """Kits as table rows, three arrays of one shape."""

    bank: Ints
    drive: Ints
    wiring: Ints

    def total(self, of: Parts) -> Ints:
        return np.asarray(of[0][self.bank] + of[1][self.drive] + of[2][self.wiring])

    def __getitem__(self, index: Ints | Bools) -> "Kits":
        return Kits(self.bank[index], self.drive[index], self.wiring[index])


@dataclass(frozen=True)
class Ground:
    """What every space over one table shares, whichever limits it lifts."""

    table: Table

    @cached_property
    def types(self) -> tuple[Ints, Ints]:
        """The types of the rows of banks and drives, the indices of the pair tables."""
        banks, drives = self.table.banks, self.table.drives
        return banks["type"].to_numpy(np.int64), drives["type"].to_numpy(np.int64)

    @enters(FILTERS, "recharge", "chemistry")
    def charger_rows(self, timed: bool) -> Ints:
        """Each bank's charger: of those that do, the cheapest, then the first; -1 for none."""
        banks, chargers = self.table.banks, self.table.chargers
        rows = np.full(len(banks), -1, dtype=np.int64)
        least = np.full(len(banks), NOTHING, dtype=np.int64)
        chemistry = banks["chemistry"].to_numpy()
        volts, needed_a = banks["system_v"].to_numpy(), banks["charger_a"].to_numpy(dtype=float)
        for row, (suited, system_v, current_a, price) in enumerate(
            zip(
                chargers["chemistries"],
                chargers["system_v"],
                chargers["current_a"],
                chargers["price_cents"],
                strict=True,
            )
        ):
            suits = np.isin(chemistry, suited.split("|")) & (volts == system_v)
            if timed:
                suits &= just_below(needed_a) <= current_a
            better = suits & (price < least)
            least[better] = price
            rows[better] = row
        return rows

    def priced(self, charger_rows: Ints) -> tuple[dict[Measure, Parts], tuple[Sum, ...]]:
        """Measures and limits with these chargers' prices in the banks'."""
        measures = measure_sums(self.table, charger_rows)
        return measures, limit_sums(self.table, measures)

    @cached_property
    def with_timed_charger(self) -> tuple[Ints, dict[Measure, Parts], tuple[Sum, ...]]:
        rows = self.charger_rows(timed=True)
        return rows, *self.priced(rows)

    @cached_property
    def with_any_charger(self) -> tuple[Ints, dict[Measure, Parts], tuple[Sum, ...]]:
        rows = self.charger_rows(timed=False)
        return rows, *self.priced(rows)

    @cached_property
    def without_charger(self) -> tuple[Ints, dict[Measure, Parts], tuple[Sum, ...]]:
        rows = np.full(len(self.table.banks), -1, dtype=np.int64)
        return rows, *self.priced(rows)

    @cached_property
    def w_max_g(self) -> dict[str, Ints]:
        """W_max by (bank type, drive type): each demand, and the rule on the bank's current."""
        pairs = self.table.pairs
        never = np.where(pairs.matched & ~pairs.carried, NEVER, pairs.cap_g)
        return {"bank_current": never, **{demand: pairs.w_max_g[demand] for demand in DEMANDS}}

    @cached_property
    def zones(self) -> tuple[Ints, Ints, Ints]:
        """(zone of every bank and drive, first wiring row of every zone, its end).

        A zone is the wiring for one (harness, level, box, mount). The last zone is empty: that of
        couples no wiring serves or whose voltages differ.
        """
        t = self.table
        heads = t.wiring[["harness", "level", "box", "mount"]].to_numpy(dtype=np.int64)
        starts = np.flatnonzero(np.any(np.diff(heads, axis=0, prepend=-1), axis=1))
        ends_of = (
            t.drives["harness"].to_numpy(dtype=np.int64)[None, :],
            t.banks["level"].to_numpy(dtype=np.int64)[:, None],
            t.banks["place"].to_numpy(dtype=np.int64)[:, None],
            t.drives["place"].to_numpy(dtype=np.int64)[None, :],
        )
        shape = [int(index.max(initial=0)) + 1 for index in ends_of]
        lookup = np.full(shape, starts.size, dtype=np.int64)
        lookup[tuple(heads[starts].T)] = np.arange(starts.size)
        zone = np.where(t.pairs.matched[np.ix_(*self.types)], lookup[ends_of], starts.size)
        none = np.array([len(heads)])
        ends = np.append(starts[1:], none) if starts.size else starts
        return zone, np.append(starts, none), np.append(ends, none)


@dataclass(frozen=True)
class Space:
    """A table with some limits lifted."""

    table: Table
    lifted: frozenset[str] = frozenset()
    shared: Ground | None = None

    def lifting(self, *names: str) -> "Space":
        """The same kits with more limits lifted."""
        return Space(self.table, self.lifted | frozenset(names), self.ground)

    @cached_property
    def ground(self) -> Ground:
        return self.shared or Ground(self.table)

    @cached_property
    def bare_g(self) -> int:
        return self.table.facts.bare_g

    @property
    def _timed(self) -> bool:
        wished = self.table.facts.outing.limits.recharge_within_h is not None
        return wished and "recharge" not in self.lifted

    @property
    def charger_needed(self) -> bool:
        return self._timed or self.table.charger_required

    @property
    def _priced(self) -> tuple[Ints, dict[Measure, Parts], tuple[Sum, ...]]:
        if self._timed:
            return self.ground.with_timed_charger
        if self.table.charger_required:
            return self.ground.with_any_charger
        return self.ground.without_charger

    @property
    def charger_rows(self) -> Ints:
        """Each bank's charger, -1 where there is or needs to be none."""
        return self._priced[0]

    @property
    def measures(self) -> dict[Measure, Parts]:
        return self._priced[1]

    @cached_property
    def sums(self) -> tuple[Sum, ...]:
        sums = self._priced[2]
        if self.charger_needed:
            t = self.table
            none = [np.zeros(len(frame), dtype=np.int64) for frame in (t.drives, t.wiring)]
            without = (self.charger_rows < 0).astype(np.int64)
            name = "recharge" if self._timed else "chemistry"
            sums = (*sums, Sum(name, (without, none[0], none[1]), 0))
        return tuple(limit for limit in sums if limit.name not in self.lifted)

    @cached_property
    def w_max_g(self) -> dict[str, Ints]:
        """W_max by (bank type, drive type) for what is not lifted."""
        tables = self.ground.w_max_g
        return {name: w_max for name, w_max in tables.items() if name not in self.lifted}

    @property
    def zones(self) -> tuple[Ints, Ints, Ints]:
        return self.ground.zones

    def typed(self, of_types: Ints) -> Ints:
        """A (bank type, drive type) array spread over the rows of banks and drives."""
        return of_types[np.ix_(*self.ground.types)]

    def least_wiring(self, measure: Measure) -> Ints:
        """The least a zone's wiring adds to a measure, NOTHING for the empty zone."""
        _, starts, _ = self.zones
        values = self.measures[measure][2]
        least = np.minimum.reduceat(values, starts[:-1]) if starts.size > 1 else values[:0]
        return np.append(least, NOTHING)

    def expand(self, bank: Ints, drive: Ints) -> Kits:
        """Every kit of these banks and drives, a bank's and drive's wiring in table order."""
        zone, starts, ends = self.zones
        first, count = starts[zone[bank, drive]], (ends - starts)[zone[bank, drive]]
        offset = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
        return Kits(
            np.repeat(bank, count), np.repeat(drive, count), np.repeat(first, count) + offset
        )

    def keeps(self, kits: Kits) -> Bools:
        """Which of these kits keep every limit that is not lifted."""
        good = np.ones(kits.bank.shape, dtype=bool)
        for limit in self.sums:
            good &= kits.total(limit.of) <= limit.bound
        displacement = self.bare_g + kits.total(self.measures["mass"])
        bank_types, drive_types = self.ground.types
        bank_type, drive_type = bank_types[kits.bank], drive_types[kits.drive]
        for w_max in self.w_max_g.values():
            good &= displacement <= w_max[bank_type, drive_type]
        return good
