"""Every kit of some couples, its sums, and the limits it breaks.

A kit here is a bank, a drive, a wiring set and a charger. Wiring sets beaten on price and mass, and
chargers beaten on price and time, are not in it: every limit grows with the one or the other, so
neither a best kit nor a smallest loosening ever needs them.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import tan

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, alike
from keelwatt.boat.day import Day
from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.moments import Moments
from keelwatt.choose.sums import Measure, Parts, Sum, limit_sums, measure_sums, total
from keelwatt.files.kit import Kit, just_above
from keelwatt.files.outing import Outing
from keelwatt.kits import Table, Types, charging_h
from keelwatt.kits.ground import CHARGER_CENT
from keelwatt.kits.pairs import coarser_g
from keelwatt.limits import LIMITS, MEASURED

TILTS = ("trim", "heel", "turn_heel")
"""Wishes that may be loosened so far and are never given up."""

SETS, CHARGERS = 1 << 12, 1 << 10
"""More than there are wiring sets in a zone, or chargers for a bank."""


@dataclass(frozen=True)
class Block:
    """Kits as rows of a table. ``broken`` has bit i set where a kit breaks ``names[i]``.

    ``beyond`` has bit i set where it leans further than ``TILTS[i]`` may be loosened to. ``rank``
    orders kits as the catalog does, across blocks. ``coarse``: boats are taken a little lighter.
    """

    table: Table
    names: tuple[str, ...]
    bank: Ints
    drive: Ints
    wiring: Ints
    charger: Ints
    measures: dict[Measure, Ints]
    broken: Ints
    beyond: Ints
    rank: Ints
    couple: Ints
    coarse: bool = False
    amounts: dict[str, Floats] = field(default_factory=dict)
    """What kits have of a wish, as far as anybody asked: NaN where not."""
    orders: dict[tuple[Measure, ...], Ints] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        table: Table,
        names: tuple[str, ...],
        worth: "Worth | None" = None,
        *,
        timely: bool = False,
    ) -> "Block":
        """The kits of a table; ``names`` are those of :func:`limit_names`.

        ``worth``: which kits are worth keeping, asked of a block without chargers. ``timely``: of
        the chargers that recharge in time the cheapest alone.
        """
        rows: tuple[Ints, ...] = table.kits
        if worth:
            kept = np.flatnonzero(worth(cls.bare(table, names)))
            rows = tuple(of[kept] for of in rows)
        offers = _offers(table)
        offers = _timely(table, offers) if timely else offers
        return cls._made(table, names, rows, offers)._judged()

    @classmethod
    def bare(cls, table: Table, names: tuple[str, ...]) -> "Block":
        """The kits of a table without chargers."""
        return cls._uncharged(table, names)._judged()

    @classmethod
    def lighter(cls, table: Table, names: tuple[str, ...]) -> "Block":
        """The same on boats a little lighter, of few different weights, and nothing judged: they
        have no less of what falls with mass."""
        return replace(cls._uncharged(table, names), coarse=True)

    @classmethod
    def _uncharged(cls, table: Table, names: tuple[str, ...]) -> "Block":
        banks = np.arange(len(table.banks))
        none = np.full(banks.shape, -1, dtype=np.int64)
        return cls._made(table, names, table.kits, (banks, none, none))

    @classmethod
    def _made(
        cls,
        table: Table,
        names: tuple[str, ...],
        rows: tuple[Ints, ...],
        offers: tuple[Ints, Ints, Ints],
    ) -> "Block":
        """With each of the chargers on offer for its bank, not judged yet."""
        types = table.types
        bank, drive, wiring, couple, within = rows
        count = np.bincount(offers[0], minlength=len(table.banks))
        start, count = (np.cumsum(count) - count)[bank], count[bank]
        every = np.repeat(np.arange(bank.size), count)
        number = np.arange(every.size) - np.repeat(np.cumsum(count) - count - start, count)
        charger, place = offers[1][number], offers[2][number]
        bank, drive, wiring, couple = (of[every] for of in (bank, drive, wiring, couple))
        kind = table.banks["charging"][bank]
        measures = {
            name: total(of, bank, drive, wiring) + charged(types, name)[kind, charger]
            for name, of in measure_sums(table).items()
        }
        boxes, mounts = types.fits.shape[1], types.hangs.shape[1]
        rank = (table.banks.type * boxes + table.banks.place)[bank] * len(types.hangs) * mounts
        rank += (types.driver[table.drives.type] * mounts + table.drives.place)[drive]
        rank = (rank * SETS + within[every]) * CHARGERS + place
        return cls(
            table,
            names,
            bank,
            drive,
            wiring,
            charger,
            measures,
            np.zeros(bank.shape, dtype=np.int64),
            np.zeros(bank.shape, dtype=np.int64),
            rank,
            couple,
        )

    def _judged(self) -> "Block":
        """Itself, its bits set."""
        for limit in limit_sums(self.table, self.case):
            self._breaks(limit.name, self._over(limit))
        for name, w_max in self.table.pairs.w_max_g.items():
            self._breaks(name, self.displacement_g > w_max[self.couple])
        within_h = self.case.outing.limits.recharge_within_h
        if within_h is not None:
            self._breaks("recharge", self.recharge_h > just_above(within_h))
        if self.table.types.charger_required:
            self._breaks("chemistry", self.charger < 0)
        for limit in limit_sums(self.table, LoadCase(loosest(self.outing))):
            if limit.name in TILTS:
                self.beyond[self._over(limit)] |= 1 << TILTS.index(limit.name)
        return self

    def _breaks(self, name: str, broken: Bools) -> None:
        self.broken[broken] |= 1 << self.names.index(name)

    def _over(self, limit: Sum) -> Bools:
        return np.asarray(self.count(limit.name, limit.of) > limit.bound)

    def count(self, name: str, of: Parts | None) -> Ints:
        """What every kit comes to of a limit, its charger's price too."""
        if of is None or name in MEASURED:
            return self.measures[MEASURED[name]]
        return total(of, self.bank, self.drive, self.wiring)

    @property
    def case(self) -> LoadCase:
        return self.table.case

    @property
    def outing(self) -> Outing:
        return self.table.case.outing

    @property
    def day(self) -> Day:
        return self.table.types.day

    @cached_property
    def moments(self) -> Moments:
        return Moments(self.table)

    @cached_property
    def bank_type(self) -> Ints:
        return self.table.banks.type[self.bank]

    @cached_property
    def drive_type(self) -> Ints:
        return self.table.drives.type[self.drive]

    def ordered(self, measures: tuple[Measure, ...]) -> Ints:
        """All kits from the least in some measures, of equals the first in the catalog."""
        if measures not in self.orders:
            keys = [self.rank, *(self.measures[measure] for measure in reversed(measures))]
            self.orders[measures] = np.lexsort(keys)
        return self.orders[measures]

    @cached_property
    def placed(self) -> Ints:
        """A number for every bank and motor in their places: the rest of a kit apart."""
        types = self.table.types
        boxes, mounts = types.fits.shape[1], types.hangs.shape[1]
        bank = (types.banked[self.table.banks.type] * boxes + self.table.banks.place)[self.bank]
        motor = types.drive_types[self.drive_type, 0] * mounts
        motor = motor + self.table.drives.place[self.drive]
        return np.asarray(bank * len(types.motors) * mounts + motor)

    @cached_property
    def displacement_g(self) -> Ints:
        displacement_g = np.asarray(self.case.bare_g + self.measures["mass"])
        return coarser_g(self.case, displacement_g) if self.coarse else displacement_g

    @cached_property
    def recharge_h(self) -> Floats:
        """Hours the kit's charger needs; without end where there is none."""
        return _charging_h(self.table, self.bank, self.charger)

    def angle_rad(self, name: str, kits: Ints) -> Floats:
        """Trim or a heel of the numbered kits, as the rows count it; a right angle if unstable."""
        case, moments = self.case, self.moments
        along, across, _ = case.bare_moments_kg_m
        bare, turning = (along, moments.along) if name == "trim" else (across, moments.across)
        bank, drive, wiring = self.bank[kits], self.drive[kits], self.wiring[kits]
        if name == "turn_heel":
            tipping = moments.turned()[drive]
        else:
            tipping = np.abs(bare + turning.banks[bank] + turning.motors[drive])
            tipping = tipping + turning.controllers[drive] + turning.wiring[wiring]
        if name == "trim":
            return np.asarray(np.arctan2(tipping, case.trim_stiffness_kg_m))
        return np.asarray(np.arctan2(tipping, self._righting_kg_m(kits)))

    def turning_room_kg_m(self, kits: Ints) -> Floats:
        """What may lean each of the numbered kits, its motor across; no end where it is fixed."""
        most = tan(self.outing.limits.turn_heel_rad) * self._righting_kg_m(kits)
        return np.where(self.moments.turns[self.drive[kits]], most, np.inf)

    def _righting_kg_m(self, kits: Ints) -> Floats:
        case, (banks, drives, wiring) = self.case, self.moments.rising
        rise = banks[self.bank[kits]] + drives[self.drive[kits]] + wiring[self.wiring[kits]]
        bare = case.waterplane_stiffness_kg_m - case.bare_moments_kg_m[2]
        return np.asarray(np.maximum(0.0, bare - rise))

    def amount(self, name: str, kits: Ints, reading: Callable[["Block", Ints], Floats]) -> Floats:
        """What the numbered kits have of a wish, read at most once."""
        known = self.amounts.setdefault(name, np.full(self.bank.shape, np.nan))
        new = kits[np.isnan(known[kits])]
        if new.size:
            known[new] = reading(self, new)
        return np.asarray(known[kits])

    def lightest(self, kits: Ints) -> Ints:
        """The lightest of each couple among the numbered kits, in the couples' order."""
        by_mass = kits[np.argsort(self.displacement_g[kits], kind="stable")]
        return np.asarray(by_mass[alike(self.couple[by_mass])[0]])

    def bit(self, names: Iterable[str]) -> int:
        return sum(1 << self.names.index(name) for name in names if name in self.names)

    @property
    def size_bytes(self) -> int:
        return 8 * self.bank.size * (12 + len(self.amounts) + len(self.orders))

    def kit(self, number: int) -> Kit:
        return self.table.kit(
            int(self.bank[number]),
            int(self.drive[number]),
            int(self.wiring[number]),
            int(self.charger[number]),
        )


Worth = Callable[[Block], Bools]
"""Which kits of a block are worth keeping."""


def _offers(table: Table) -> tuple[Ints, Ints, Ints]:
    """(bank row, charger, its place among the bank's) of each charger on offer."""
    options = table.types.chargers_of
    each = [options[kind] for kind in table.banks["charging"].tolist()]
    none = np.zeros(0, dtype=np.int64)
    places = [np.arange(len(of)) for of in each]
    banks = np.repeat(np.arange(len(each)), [len(of) for of in each])
    return banks, np.concatenate([none, *each]), np.concatenate([none, *places])


def _timely(table: Table, offers: tuple[Ints, Ints, Ints]) -> tuple[Ints, Ints, Ints]:
    """Of each bank's chargers that recharge in time the cheapest alone."""
    bank, charger, place = offers
    within_h = table.case.outing.limits.recharge_within_h or 0.0
    in_time = _charging_h(table, bank, charger) <= just_above(within_h)
    price = table.types.charged_cents[table.banks["charging"][bank], charger]
    inorder = np.lexsort((place, price, bank))
    inorder = inorder[in_time[inorder]]
    first = inorder[np.unique(bank[inorder], return_index=True)[1]]
    return bank[first], charger[first], place[first]


def _charging_h(table: Table, bank: Ints, charger: Ints) -> Floats:
    """Hours to recharge banks of a table; without end where there is no charger."""
    charge_ah, slow_end_h = (table.banks[name][bank] for name in ("charge_ah", "slow_end_h"))
    return charging_h(charge_ah, slow_end_h, table.types.charger["current_a"][charger])


def charged(types: Types, measure: Measure) -> Ints:
    """What each charger, and last none, adds to a measure, its inlet too, by class of banks."""
    return np.asarray(CHARGER_CENT[measure] * types.charged_cents)


def loosest(outing: Outing) -> Outing:
    """The outing with trim and heel at their loosest: no answer leans a craft further."""
    limits = {LIMITS[name].field: LIMITS[name].loosest_si for name in TILTS}
    return outing.model_copy(update={"limits": outing.limits.model_copy(update=limits)})
