"""Which banks and drives can be placed at all, and in which couples, wiring at its lightest."""

from dataclasses import dataclass, field

import numpy as np

from keelwatt.boat.arrays import Bools, Ints
from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.block import TILTS
from keelwatt.choose.sums import Sum, limit_sums
from keelwatt.kits import Table, Types

NOWHERE = int(np.iinfo(np.int64).max // 8)
"""What a type adds to a sum where it cannot be placed."""

PLACED = (*TILTS, "stability", "freeboard", "compartment_load")
"""Limits that depend on where a bank and a drive are placed."""

SIDES = (1.0, -1.0)
"""A craft leans to either: two sums for each of ``TILTS``."""

MOST_TOGETHER = 20_000
"""Couples of one voltage and place that are put together to see which of them stand."""


@dataclass(frozen=True)
class Placed:
    """One sum: by (bank type, compartment), (drive type, mount), (compartment, mount)."""

    name: str
    banks: Ints
    drives: Ints
    wiring: Ints
    bound: int

    def room(self, box: int, mount: int) -> int:
        """What banks and drives may come to there."""
        return self.bound - int(self.wiring[box, mount])


@dataclass(frozen=True)
class Standing:
    """Sums over places that every kit of a question must keep."""

    types: Types
    sums: tuple[Placed, ...]
    known: list[tuple[Bools, Bools, tuple[Bools, Bools]]] = field(default_factory=list)

    @classmethod
    def of(cls, table: Table, case: LoadCase, kept: frozenset[str]) -> "Standing":
        """``table``: that of :func:`keelwatt.kits.everything`; ``kept``: the limits that hold."""
        types = table.types
        fits, hangs = types.fits, types.hangs

        def placed(limit: Sum) -> Placed:
            banks = np.full(fits.shape, NOWHERE, dtype=np.int64)
            drives = np.full(hangs.shape, NOWHERE, dtype=np.int64)
            banks[fits], drives[hangs] = limit.of[0], limit.of[1]
            wiring = limit.of[2].reshape(fits.shape[1], hangs.shape[1])
            return Placed(limit.name, banks, drives, wiring, limit.bound)

        sums = (placed(limit) for limit in limit_sums(table, case) if limit.name in kept)
        return cls(types, tuple(sums))

    def beside(self, banks: Bools, drives: Bools) -> tuple[Bools, Bools]:
        """Of bank and drive types those with a place where some of the others stand beside them.

        As far as is known: fewer types than before are not looked at anew.
        """
        for of_banks, of_drives, stood in self.known:
            if not ((banks & ~of_banks).any() or (drives & ~of_drives).any()):
                return banks & stood[0], drives & stood[1]
        stood = self._some(banks, drives) if self.sums else (banks, drives)
        self.known.append((banks, drives, stood))
        return stood

    def _some(self, banks: Bools, drives: Bools) -> tuple[Bools, Bools]:
        types = self.types
        good = np.zeros_like(banks), np.zeros_like(drives)
        volts = types.bank["system_v"], types.drive["system_v"]
        for v in np.unique(volts[0][banks]).tolist():
            here, there = banks & (volts[0] == v), drives & (volts[1] == v)
            for box, mount in np.ndindex(types.fits.shape[1], types.hangs.shape[1]):
                b = np.flatnonzero(here & types.fits[:, box])
                d = np.flatnonzero(there & types.hangs[:, mount])
                if b.size and d.size:
                    self._stand(b, d, (box, mount), good)
        return good

    def _stand(
        self, banks: Ints, drives: Ints, place: tuple[int, int], good: tuple[Bools, ...]
    ) -> None:
        """Marks those of one voltage that stand in one place beside some of the others."""
        for placed in self.sums:
            b, d = placed.banks[banks, place[0]], placed.drives[drives, place[1]]
            room = placed.room(*place)
            banks, drives = banks[b + d.min() <= room], drives[d + b.min() <= room]
            if not (banks.size and drives.size):
                return
        start, end, drives = self._narrowest(banks, drives, place)
        count = end - start
        if count.sum() > MOST_TOGETHER:
            good[0][banks[count > 0]] = True
            good[1][drives] = True
            return
        bank = np.repeat(banks, count)
        within = np.arange(bank.size) - np.repeat(np.cumsum(count) - count, count)
        drive = drives[np.repeat(start, count) + within]
        keeps = np.ones(bank.shape, dtype=bool)
        for placed in self.sums:
            whole = placed.banks[bank, place[0]] + placed.drives[drive, place[1]]
            keeps &= whole <= placed.room(*place)
        good[0][bank[keeps]] = True
        good[1][drive[keeps]] = True

    def _narrowest(
        self, banks: Ints, drives: Ints, place: tuple[int, int]
    ) -> tuple[Ints, Ints, Ints]:
        """(start, end) of the drives each bank may stand beside, and the drives in their order.

        A craft leans to either side, and both sums of a drive come to no less than some least: so
        both bounds leave a stretch of the drives in the order of one.
        """
        found = [(np.zeros(banks.shape, np.int64), np.full(banks.shape, drives.size), drives)]
        for name in TILTS:
            sides = [placed for placed in self.sums if placed.name == name]
            if len(sides) == len(SIDES):
                one, other = sides
                inorder = drives[np.argsort(one.drives[drives, place[1]])]
                own = one.drives[inorder, place[1]]
                both = int((own + other.drives[inorder, place[1]]).min())
                most = one.room(*place) - one.banks[banks, place[0]]
                least = both + other.banks[banks, place[0]] - other.room(*place)
                start = np.searchsorted(own, least, side="left")
                end = np.searchsorted(own, most, side="right")
                found.append((start, np.maximum(start, end), inorder))
        return min(found, key=lambda each: int((each[1] - each[0]).sum()))

    def couples(self, bank: Ints, drive: Ints) -> Bools:
        """Which couples have a place where every sum keeps."""
        return np.asarray(self.places(bank, drive).any(axis=(1, 2)))

    def places(self, bank: Ints, drive: Ints) -> Bools:
        """Where every sum of couples keeps, shape (couples, compartments, mounts)."""
        boxes, mounts = self.types.fits.shape[1], self.types.hangs.shape[1]
        good = np.zeros((bank.size, boxes, mounts), dtype=bool)
        for box, mount in np.ndindex(boxes, mounts):
            rows = np.arange(bank.size)
            for placed in self.sums:
                whole = placed.banks[bank[rows], box] + placed.drives[drive[rows], mount]
                rows = rows[whole <= placed.room(box, mount)]
            good[rows, box, mount] = True
        return good
