"""Which banks and drives can be placed at all, and in which couples, wiring at its lightest."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.block import TILTS, Bools
from keelwatt.choose.sums import Ints, limit_sums
from keelwatt.kits import Table

NOWHERE = int(np.iinfo(np.int64).max // 8)
"""What a type adds to a sum where it cannot be placed."""

PLACED = (*TILTS, "stability", "compartment_load")
"""Limits that depend on where a bank and a drive are placed."""

Placed = tuple[Ints, Ints, Ints, int]
"""One sum: by (bank type, compartment), (drive type, mount), (compartment, mount); its bound."""


@dataclass(frozen=True)
class Standing:
    """Sums over places that every kit of a question must keep."""

    sums: tuple[Placed, ...]
    sizes: tuple[int, int]

    @classmethod
    def of(cls, table: Table, case: LoadCase, kept: frozenset[str]) -> "Standing":
        """``table``: that of :func:`keelwatt.kits.everything`; ``kept``: the limits that hold."""
        types = table.types
        fits, hangs = types.fits, types.hangs

        def placed(limit_of: tuple[Ints, Ints, Ints], bound: int) -> Placed:
            banks = np.full(fits.shape, NOWHERE, dtype=np.int64)
            drives = np.full(hangs.shape, NOWHERE, dtype=np.int64)
            banks[fits], drives[hangs] = limit_of[0], limit_of[1]
            return banks, drives, limit_of[2].reshape(fits.shape[1], hangs.shape[1]), bound

        sums = [
            placed(limit.of, limit.bound) for limit in limit_sums(table, case) if limit.name in kept
        ]
        return cls(tuple(sums), (len(fits), len(hangs)))

    @cached_property
    def banks(self) -> Bools:
        """Bank types with a place where, beside the least of any drive, every sum keeps."""
        return self._types(0)

    @cached_property
    def drives(self) -> Bools:
        """Drive types with such a place."""
        return self._types(1)

    def _types(self, at: int) -> Bools:
        if not self.sums or not all(self.sizes):
            return np.ones(self.sizes[at], dtype=bool)
        good = np.ones(1, dtype=bool)
        for banks, drives, wiring, bound in self.sums:
            least = (banks, drives)[1 - at].min(axis=0)
            own = (banks[:, :, None], drives[:, None, :])[at]
            other = (least[None, :], least[:, None])[at]
            good = good & (own + other + wiring <= bound)
        return np.asarray(good.any(axis=(1, 2)))

    def couples(self, bank: Ints, drive: Ints) -> Bools:
        """Which couples have a place where every sum keeps."""
        good = np.ones((bank.size, 1, 1), dtype=bool)
        for banks, drives, wiring, bound in self.sums:
            whole = banks[bank][:, :, None] + drives[drive][:, None, :] + wiring
            good = good & (whole <= bound)
        return np.asarray(good.any(axis=(1, 2)))
