"""Ways to hold a bank's batteries down and cover their posts: strap and covers, or a box each."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.files.catalog.beside import COVERS, Beside
from keelwatt.files.catalog.parts import Battery, Enclosure
from keelwatt.files.kit import grams, to_buy
from keelwatt.kits.shelf import worthwhile
from keelwatt.physics import stowage

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

    @cached_property
    def _inner_m(self) -> npt.NDArray[np.float64]:
        return np.array([box.inner_m for box in self.boxes]).reshape(-1, 3)

    def taking(self, battery: Battery) -> Ints:
        """The boxes a battery stands in, as numbers."""
        return np.flatnonzero(self.takes(np.array(battery.size_m), np.arange(len(self.boxes))))

    def takes(self, sizes_m: Floats, boxes: Ints) -> Bools:
        """Whether batteries of sizes (..., 3) stand in the numbered boxes; shapes broadcast."""
        return stowage.stands_in(unit_m=sizes_m, inner_m=self._inner_m[boxes])

    def offered(self, batteries: tuple[Battery, ...], types: Ints) -> Ints:
        """Every way on offer for bank types (battery, n_s, n_p), as a fourth column."""
        units = types[:, 1] * types[:, 2]
        # Unless boxes are owned, so many cost and weigh so many times one: the same are on offer.
        if not any(box.id in self.beside.outing.parts.own for box in self.boxes):
            units = np.ones_like(units)
        offers = {count: self._offers(batteries, count) for count in np.unique(units).tolist()}
        asked = zip(types[:, 0].tolist(), units.tolist(), strict=True)
        each = [offers[count][battery] for battery, count in asked]
        rows = np.repeat(np.arange(len(types)), [len(ways) for ways in each])
        ways = np.array([way for ways in each for way in ways], dtype=np.int64)
        return np.column_stack([types[rows], ways])

    def _offers(self, batteries: tuple[Battery, ...], units: int) -> list[list[int]]:
        """The ways for each battery; of boxes those that beat the strap in price or mass."""
        cents, mass_g = self.sums(units)
        better = (cents[:-1] < cents[-1]) | (mass_g[:-1] < mass_g[-1]) | (not self.strapped)
        boxes, strap = np.flatnonzero(better), [STRAP] if self.strapped else []
        sizes_m = np.array([battery.size_m for battery in batteries]).reshape(-1, 1, 3)
        takes = self.takes(sizes_m, boxes)
        kinds, of = np.unique(takes, axis=0, return_inverse=True)
        ways = list[list[int]]()
        for taking in kinds:
            at = boxes[taking]
            best = at[worthwhile(cents[at], mass_g[at], self._smaller[at])]
            ways.append(strap + best.tolist())
        return [ways[kind] for kind in of.ravel().tolist()]
