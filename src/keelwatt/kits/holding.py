"""Ways to hold a bank's batteries down and cover their posts: strap and covers, or a box each."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from keelwatt.files.catalog.beside import COVERS, Beside
from keelwatt.files.catalog.parts import Battery, Enclosure
from keelwatt.files.kit import grams, to_buy
from keelwatt.kits.shelf import worthwhile
from keelwatt.physics import stowage

Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

STRAP = -1
"""The number of strap and covers; every other way is a box's."""


@dataclass(frozen=True)
class Holding:
    """The boxes an outing allows, and whether a battery may do without one.

    On offer is what no other way beats: nobody buys a box that is dearer, heavier and larger than
    what else holds the same battery, as ballast say.
    """

    beside: Beside
    boxes: tuple[Enclosure, ...]
    strapped: bool

    def sums(self, units: int) -> tuple[Ints, Ints]:
        """Cents to pay and grams of each way, the strap last, for so many batteries."""
        parts, (down, cover) = self.beside.outing.parts, self.beside.strap()
        cents = [to_buy(parts, box.id, units) * box.price_cents for box in self.boxes]
        cents.append(units * (round(down.to_pay) + COVERS * round(cover.to_pay)))
        mass_g = [units * grams(box.mass_kg) for box in self.boxes]
        mass_g.append(units * (round(down.grams) + COVERS * round(cover.grams)))
        return np.array(cents, dtype=np.int64), np.array(mass_g, dtype=np.int64)

    @cached_property
    def _smaller(self) -> npt.NDArray[np.float64]:
        """How little room each box takes, shape (boxes, 3)."""
        sides = [(*sorted(box.outer_m[:2]), box.outer_m[2]) for box in self.boxes]
        return -np.array(sides, dtype=float).reshape(-1, 3)

    def taking(self, battery: Battery) -> Ints:
        """The boxes a battery stands in, as numbers."""
        good = [stowage.stands_in(unit_m=battery.size_m, inner_m=box.inner_m) for box in self.boxes]
        return np.flatnonzero(good)

    def offered(self, batteries: tuple[Battery, ...], types: Ints) -> Ints:
        """Every way on offer for bank types (battery, n_s, n_p), as a fourth column."""
        units = types[:, 1] * types[:, 2]
        found = []
        sums = {count: self.sums(count) for count in np.unique(units).tolist()}
        tempting = {count: self._tempting(*of) for count, of in sums.items()}
        for number in np.unique(types[:, 0]).tolist() if self.boxes else ():
            takes = self.taking(batteries[number])
            for count in np.unique(units[types[:, 0] == number]).tolist():
                at = takes[tempting[count][takes]]
                cents, mass_g = (of[at] for of in sums[count])
                at = at[worthwhile(cents, mass_g, self._smaller[at])]
                rows = np.flatnonzero((types[:, 0] == number) & (units == count))
                found += [(row, way) for row in rows.tolist() for way in at.tolist()]
        if self.strapped:
            found += [(row, STRAP) for row in range(len(types))]
        rows, ways = np.array(sorted(found), dtype=np.int64).reshape(-1, 2).T
        return np.column_stack([types[rows], ways])

    def _tempting(self, cents: Ints, mass_g: Ints) -> Bools:
        """Boxes that beat the strap in price or mass; all where there is none."""
        least = (cents[:-1] < cents[-1]) | (mass_g[:-1] < mass_g[-1])
        return least if self.strapped else np.ones_like(least)
