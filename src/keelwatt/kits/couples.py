"""The couples of a bank type and a drive type, by what a kit of theirs comes to at the least."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from math import prod

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.files.kit import just_above, just_below
from keelwatt.kits.ground import Found, Ground, Group
from keelwatt.kits.least import NEVER
from keelwatt.kits.needs import AS_WISHED, Span

FEW = 1_000_000
"""So many couples at the most, counted by their floors alone, are looked at wherever they stand."""

CELLS = 1 << 18
"""About so many couples are put into one array."""


@dataclass(frozen=True)
class Bounds:
    """What every kit asked about must keep; None, 0 or nothing where a limit is lifted.

    ``most``: of a measure. ``hours``: the share of the day a bank must serve; ``spans``: at some
    speed within one of these. ``legs``: the share of the legs' speeds a motor must hold.
    """

    by: str
    most: tuple[tuple[str, int], ...] = ()
    lift_g: int | None = None
    hours: float = 1.0
    spans: tuple[Span, ...] = (AS_WISHED,)
    legs: float = 1.0
    top_m_s: float | None = None
    recharge_h: float | None = None
    charger: bool = False


@dataclass(frozen=True)
class Couples:
    """Every couple that may keep some bounds, by what a kit of theirs comes to at the least.

    A couple's floor is its parts' own sum, with the cheapest charger for the bank and the least
    wiring for the drive and the bank's fault current. ``beside`` leaves of bank and drive types
    those with a place beside some of the others.
    """

    ground: Ground
    bounds: Bounds
    beside: Callable[[Bools, Bools], tuple[Bools, Bools]]

    @cached_property
    def _most(self) -> Mapping[str, int]:
        return dict(self.bounds.most)

    @cached_property
    def _banks(self) -> dict[str, Ints]:
        ground, bounds = self.ground, self.bounds
        return {
            name: ground.of_banks(name, bounds.recharge_h, charger=bounds.charger)
            for name in {bounds.by, *self._most}
        }

    @cached_property
    def _kept(self) -> tuple[Bools, Bools]:
        """Types that keep the bounds, the least of the others counted, wherever they are placed."""
        types, lift_g = self.ground.types, self.bounds.lift_g
        banks = self._banks[self.bounds.by] < NEVER
        drives = self.ground.able(self.bounds.legs, self.bounds.top_m_s)
        if lift_g is not None:
            banks = banks & (types.bank["piece_g"] <= lift_g)
            drives = drives & (types.drive["piece_g"] <= lift_g)
        for measure, most in self._most.items():
            of_banks, of_drives = self._banks[measure], self.ground.of_drives(measure)[0]
            banks = banks & (of_banks + of_drives.min(initial=NEVER, where=drives) <= most)
            drives = drives & (of_drives + of_banks.min(initial=NEVER, where=banks) <= most)
        return banks, drives

    @property
    def _groups(self) -> tuple[Group, ...]:
        return self._sorted[0]

    @property
    def _floors(self) -> tuple[Ints, Ints]:
        """The least a kit with each bank type, and with each drive type, can come to."""
        return self._sorted[1]

    @cached_property
    def _sorted(self) -> tuple[tuple[Group, ...], tuple[Ints, Ints]]:
        """Types worth a look, and their floors: where they are many, those that stand somewhere."""
        groups = self._grouped(*self._kept)
        floors = self._lowest(groups)
        if prod(int((floor <= self.most).sum()) for floor in floors) <= FEW:
            return groups, floors
        groups = self._grouped(*self.beside(*self._kept))
        return groups, self._lowest(groups)

    def _grouped(self, bearable: Bools, able: Bools) -> tuple[Group, ...]:
        share, found = just_below(self.bounds.hours), []
        for banks, drives, supply, wants in self.ground.groups(self.bounds.spans if share else ()):
            b, d = np.flatnonzero(bearable[banks]), np.flatnonzero(able[drives])
            some, others = self._beside(banks[b], drives[d])
            b, d = b[some], d[others]
            found.append((banks[b], drives[d], supply[b], wants[d] * share))
        return tuple(found)

    def may(self, bank: Ints, drive: Ints) -> Bools:
        """Which couples may keep the bounds, wherever they are placed."""
        types, share = self.ground.types, just_below(self.bounds.hours)
        good = self._kept[0][bank] & self._kept[1][drive]
        good &= types.stood[types.bank["fresh"][bank], drive]
        if share > 0.0:
            supply, asked = self.ground.charge(self.bounds.spans, bank, drive)
            good &= just_above(supply) >= asked * share
        for measure, most in self._most.items():
            good &= self.least(measure, bank, drive) <= most
        return np.asarray(good)

    def _beside(self, banks: Ints, drives: Ints) -> tuple[Bools, Bools]:
        """Those that with the least of the others keep within what a kit may come to."""
        some, able = np.ones(banks.shape, dtype=bool), np.ones(drives.shape, dtype=bool)
        for measure, most in self._most.items():
            of_banks = self._banks[measure][banks]
            of_drives = self.ground.of_drives(measure)[0][drives]
            some &= of_banks + of_drives.min(initial=NEVER, where=able) <= most
            able &= of_drives + of_banks.min(initial=NEVER, where=some) <= most
        return some, able

    def again(self, found: Found) -> Found:
        """Of couples found by easier bounds those that may keep these, by what they come to now."""
        found = found[self.may(found.bank, found.drive)]
        floor = self.least(self.bounds.by, found.bank, found.drive)
        return Found(found.bank, found.drive, floor)[np.argsort(floor, kind="stable")]

    def least(self, measure: str, bank: Ints, drive: Ints) -> Ints:
        """What no kit of a couple comes to less than."""
        ground, bounds = self.ground, self.bounds
        of_banks = ground.of_banks(measure, bounds.recharge_h, charger=bounds.charger)
        return np.asarray(
            of_banks[bank] + ground.with_wiring(measure, ground.bank_class[bank], drive)
        )

    def _lowest(self, groups: tuple[Group, ...]) -> tuple[Ints, Ints]:
        banks = self._banks[self.bounds.by]
        drives = self.ground.of_drives(self.bounds.by)[0]
        bank_floor = np.full(banks.shape, NEVER, dtype=np.int64)
        drive_floor = np.full(drives.shape, NEVER, dtype=np.int64)
        for b, d, supply, wants in groups:
            enough = np.searchsorted(-supply, -wants, side="right")
            drive_floor[d] = drives[d] + _running_min(banks[b])[enough]
            able = np.searchsorted(wants, supply, side="right")
            bank_floor[b] = np.minimum(bank_floor[b], banks[b] + _running_min(drives[d])[able])
        return np.minimum(bank_floor, NEVER), np.minimum(drive_floor, NEVER)

    @property
    def most(self) -> int:
        """No kit asked about comes to more."""
        return self._most.get(self.bounds.by, NEVER - 1)

    @cached_property
    def highest(self) -> int:
        """No couple that may be part of a kit has a higher floor."""
        drives = self.ground.of_drives(self.bounds.by)[1]
        banks = self._banks[self.bounds.by][self._kept[0]]
        return int(banks.max(initial=0) + drives.max(initial=0))

    def level(self, size: int) -> int:
        """A level that lets about so many couples in, the types' floors alone counted."""
        levels, couples = self._levels
        at = int(np.searchsorted(couples, size))
        return int(levels[at]) if at < levels.size else self.highest

    @cached_property
    def _levels(self) -> tuple[Ints, Ints]:
        """Every floor of a type, rising, and how many couples no higher ones make."""
        banks, drives = (np.sort(floor[floor < NEVER]) for floor in self._floors)
        levels = np.sort(np.concatenate([banks, drives]), kind="stable")
        within = (np.searchsorted(floor, levels, side="right") for floor in (banks, drives))
        return levels, np.prod(list(within), axis=0)

    def up_to(self, level: int) -> Found:
        """Every couple whose floor does not pass a level."""
        return self.between(-1, level)

    def between(self, low: int, high: int) -> Found:
        """Every couple whose floor is above one level and does not pass another."""
        bank_floor, drive_floor = self._floors
        found: list[tuple[Ints, Ints, Ints]] = []
        for b, d, supply, wants in self._groups:
            some, able = bank_floor[b] <= high, drive_floor[d] <= high
            found += self._within((b[some], supply[some]), (d[able], wants[able]), low, high)
        b, d, floor = (
            np.concatenate([np.empty(0, dtype=np.int64), *arrays])
            for arrays in (zip(*found, strict=True) if found else ((), (), ()))
        )
        order = np.lexsort((d, b, floor))
        return Found(b[order], d[order], floor[order])

    def _within(
        self, of_banks: tuple[Ints, Floats], of_drives: tuple[Ints, Floats], low: int, high: int
    ) -> Iterator[tuple[Ints, Ints, Ints]]:
        """Couples of these whose sums and supply are enough, some banks at a time.

        Both go from the lowest: a few banks of nearly one price leave a band of drives.
        """
        own, types = self._banks[self.bounds.by], self.ground.types
        (banks, supply), (drives, wants) = _from_lowest(of_banks, own), of_drives
        least, most = self.ground.of_drives(self.bounds.by)
        (drives, wants), own = _from_lowest((drives, wants), least), own[banks]
        least, most, start = least[drives], most[drives], 0
        while start < banks.size:
            upto = int(np.searchsorted(least, high - own[start], side="right"))
            part = slice(start, start + max(1, CELLS // max(1, upto)))
            start = part.stop
            some, classes = banks[part], self.ground.bank_class[banks[part]]
            here = np.flatnonzero(
                (most[:upto] > low - own[part][-1]) & (wants[:upto] <= supply[part].max())
            )
            floor = self.ground.with_wiring(self.bounds.by, classes[:, None], drives[here])
            floor += self._banks[self.bounds.by][some][:, None]
            at = np.nonzero((floor > low) & (floor <= min(self.most, high)))
            at = tuple(each[supply[part][at[0]] >= wants[here][at[1]]] for each in at)
            bank, drive, floor = some[at[0]], drives[here][at[1]], floor[at]
            good = types.stood[types.bank["fresh"][bank], drive]
            for measure in {*self._most} - {self.bounds.by}:
                good &= self.least(measure, bank, drive) <= self._most[measure]
            yield bank[good], drive[good], floor[good]


def _from_lowest(types: tuple[Ints, Floats], values: Ints) -> tuple[Ints, Floats]:
    """Types and what goes with them, from the lowest value."""
    order = np.argsort(values[types[0]], kind="stable")
    return types[0][order], types[1][order]


def _running_min(values: Ints) -> Ints:
    """The least of the first k values, for k from 0."""
    return np.concatenate([[NEVER], np.minimum.accumulate(values)]).astype(np.int64)
