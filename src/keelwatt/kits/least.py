"""The least that the wiring between a bank and a drive must come to."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from keelwatt.files.kit import just_above, just_below, season_units
from keelwatt.kits.joints import SINGLE, Join
from keelwatt.kits.shelf import SMALLEST_MM2, Harness, Harnesses, Shelf
from keelwatt.physics import protection

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

NEVER = int(np.iinfo(np.int64).max // 16)
"""The bound of what cannot be part of any kit."""


@dataclass(frozen=True)
class LeastWiring:
    """What the cheapest and the lightest wiring set of a harness comes to on the shortest run.

    What a bank's voltage asks of the fuse is left out. ``runs_m``: of every compartment and mount,
    without and with a separate control.
    """

    shelf: Shelf
    runs_m: tuple[tuple[float, ...], tuple[float, ...]]
    most_join: Join = SINGLE
    """No bank takes more to join."""

    @cached_property
    def heaviest_g(self) -> int:
        """No wiring set is heavier."""
        longest = max(map(max, self.runs_m))
        kinds = (
            self.shelf.cable_sums(longest, self.most_join)[1],
            self.most_join.fuses * self.shelf.fuse_sums()[1],
            self.shelf.plug_sums[1],
        )
        bars_g = 2 * self.shelf.beside.heaviest_bar_g if self.most_join.parallel > 1 else 0
        return sum(int(masses.max(initial=0)) for masses in kinds) + bars_g

    @cached_property
    def faults_a(self) -> Floats:
        """The fault currents that the shelf's fuses break, rising."""
        return np.unique(self.shelf.fuses_stand[0])

    def fault_class(self, fault_a: Floats) -> Ints:
        """The first of ``faults_a`` that is enough, one past the last where none is."""
        return np.asarray(np.searchsorted(self.faults_a, just_below(fault_a)), dtype=np.int64)

    def least(self, measure: str, harnesses: Harnesses) -> Ints:
        """By class of banks and harness, shape (classes, harnesses)."""
        at = 1 if measure == "mass" else 0
        unit = season_units(1) if measure == "season" else 1
        shelf = self.shelf
        fresh, count = harnesses.rated_a.shape
        found = np.full((fresh, self.faults_a.size + 1, count), NEVER, dtype=np.int64)
        flat = self.classes(harnesses), count
        if not (shelf.cables and shelf.fuses and shelf.connectors):
            return found.reshape(flat)
        classes, first, of = np.unique(
            np.column_stack(
                [shelf.area_mm2, shelf.ohm_m, shelf.ampacity_a, shelf.largest_fuse_a[0]]
            ),
            axis=0,
            return_index=True,
            return_inverse=True,
        )
        area, _, ampacity, largest = classes.T
        shortest_m = [min(runs) for runs in self.runs_m]
        cables = np.full((len(shortest_m), len(classes)), NEVER, dtype=np.int64)
        for over, run_m in enumerate(shortest_m):
            np.minimum.at(cables[over], of.ravel(), shelf.cable_sums(run_m)[at])
        takes = shelf.takes_cable[first]
        fuses = self._fuses(at)
        known: dict[tuple[Harness, float], Ints] = {}
        for row, number in np.ndindex(fresh, count):
            asks, rated_a = harnesses.asks(number), float(harnesses.rated_a[row, number])
            key = asks, rated_a
            if key not in known:
                bound = shelf.case.outing.limits.voltage_drop * asks.system_v
                drop = shelf.drops_v(shortest_m[asks.over], asks)[first]
                good = (area >= just_below(SMALLEST_MM2)) & (drop <= just_above(bound))
                good &= ampacity >= just_below(rated_a)
                plugs = self._least_plug(at, takes & (shelf.plug_a >= just_below(rated_a)))
                rating_a = float(protection.smallest_fuse_a(max_current_a=rated_a))
                whole = np.where(good, cables[int(asks.over)] + plugs, NEVER)
                whole = whole + _least_fuse(fuses, rating_a, largest)
                known[key] = whole.min(axis=1)
            found[row, :-1, number] = known[key]
        found *= unit
        return np.minimum(found, NEVER, out=found).reshape(flat)

    def classes(self, harnesses: Harnesses) -> int:
        """How many classes of banks there are."""
        return len(harnesses.rated_a) * (self.faults_a.size + 1)

    def least_sum(self, measure: str) -> int:
        """No wiring set comes to less, whatever rules hold."""
        at = 1 if measure == "mass" else 0
        unit = season_units(1) if measure == "season" else 1
        shelf = self.shelf
        shortest_m = min(map(min, self.runs_m))
        sums = shelf.cable_sums(shortest_m), shelf.fuse_sums(), shelf.plug_sums
        return min(sum(int(kind[at].min(initial=NEVER)) for kind in sums) * unit, NEVER)

    def _least_plug(self, at: int, takes: Bools) -> Ints:
        """By class of cable."""
        return np.asarray(np.where(takes, self.shelf.plug_sums[at], NEVER).min(axis=1))

    def _fuses(self, at: int) -> tuple[Floats, Ints]:
        """(every rating, the least a fuse of it comes to by fault class and rating)."""
        shelf = self.shelf
        ratings, of = np.unique(shelf.rating_a, return_inverse=True)
        least = np.full((self.faults_a.size, ratings.size), NEVER, dtype=np.int64)
        for level, fault_a in enumerate(self.faults_a.tolist()):
            breaks = shelf.fuses_stand[0] >= fault_a
            np.minimum.at(least[level], of[breaks], shelf.fuse_sums()[at][breaks])
        return ratings, least


def _least_fuse(fuses: tuple[Floats, Ints], rating_a: float, largest_a: Floats) -> Ints:
    """By fault class and class of cable."""
    ratings, by_rating = fuses
    serves = (ratings >= just_below(rating_a)) & (just_below(ratings) <= largest_a[:, None])
    return np.asarray(np.where(serves, by_rating[:, None, :], NEVER).min(axis=2))
