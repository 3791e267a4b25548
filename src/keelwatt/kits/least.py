"""The least that the wiring between a bank and a drive must come to."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from keelwatt.files.kit import just_above, just_below, season_units
from keelwatt.kits.joints import SINGLE, Join
from keelwatt.kits.shelf import SMALLEST_MM2, Harnesses, Shelf
from keelwatt.physics import protection

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

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

    def least(self, measure: str, harnesses: Harnesses, lifted: str = "") -> Ints:
        """By class of banks and harness, shape (classes, harnesses); ``lifted``: a rule given up.

        Cables that ask the same are one kind, told apart by area, resistance and ampacity. Kinds
        within a drop or an ampacity, plugs and fuses within a rating are so many of a sorted list:
        so harnesses of the same four counts want the same, and each is looked at once.
        """
        at = 1 if measure == "mass" else 0
        unit = season_units(1) if measure == "season" else 1
        shelf, (fresh, count) = self.shelf, harnesses.rated_a.shape
        found = np.full((fresh, count, self.faults_a.size + 1), NEVER, dtype=np.int64)
        if shelf.cables and shelf.fuses and shelf.connectors:
            keys = self._counts(harnesses, lifted)
            asked, of = np.unique(keys, axis=0, return_inverse=True)
            found[...] = self._of_counts(asked, at, lifted)[of.ravel()].reshape(found.shape)
            found = np.where(found < NEVER, found * unit, NEVER)
        return np.moveaxis(found, 2, 1).reshape(self.classes(harnesses), count)

    @cached_property
    def _kinds(self) -> tuple[Floats, Ints, Ints]:
        """(area, resistance, ampacity, largest fuse) of each kind of cable, its first, and of."""
        shelf = self.shelf
        asked = [shelf.area_mm2, shelf.ohm_m, shelf.ampacity_a, shelf.largest_fuse_a[0]]
        kinds, first, of = np.unique(
            np.column_stack(asked), axis=0, return_index=True, return_inverse=True
        )
        return kinds.T, first, of.ravel()

    @property
    def _shortest_m(self) -> tuple[float, float]:
        direct, over = map(min, self.runs_m)
        return direct, over

    def _counts(self, harnesses: Harnesses, lifted: str) -> Ints:
        """What each harness asks, shape (fresh * harnesses, 5).

        Whether it goes over a control; how many kinds drop little enough and how many carry too
        little; how many ratings of plugs and of fuses are too low.
        """
        (_, _, ampacity, _), first, _ = self._kinds
        rated_a, shelf = harnesses.rated_a, self.shelf
        dropping = np.full(rated_a.shape, len(first))
        if lifted != "voltage_drop":
            bound = just_above(shelf.case.outing.limits.voltage_drop * harnesses.system_v)
            run_m = np.array(self._shortest_m)[harnesses.over.astype(int)]
            per_a = 2 * run_m[:, None] * np.sort(shelf.ohm_m[first]) + harnesses.ends_ohm[:, None]
            drops_v = harnesses.current_a[:, None] * per_a
            dropping[:] = (drops_v <= bound[:, None]).sum(axis=1)
        least_a = np.asarray(protection.smallest_fuse_a(max_current_a=rated_a))
        few = (
            np.broadcast_to(harnesses.over, rated_a.shape),
            dropping,
            _too_low(np.sort(ampacity), rated_a, lifted == "ampacity"),
            _too_low(np.unique(shelf.plug_a), rated_a, lifted == "connector_rating"),
            _too_low(np.unique(shelf.rating_a), least_a, lifted == "protection"),
        )
        return np.column_stack([each.ravel() for each in few]).astype(np.int64)

    def _of_counts(self, counts: Ints, at: int, lifted: str) -> Ints:
        """The least of every class of faults, the last being past all, shape (n, faults + 1)."""
        shelf, ((area, ohm, ampacity, _), first, of) = self.shelf, self._kinds
        cables = np.full((2, len(first)), NEVER, dtype=np.int64)
        for over, run_m in enumerate(self._shortest_m):
            np.minimum.at(cables[over], of, shelf.cable_sums(run_m)[at])
        if lifted != "conductor":
            cables[:, area < just_below(SMALLEST_MM2)] = NEVER
        by_ohm, by_ampacity = (
            np.argsort(np.argsort(each, kind="stable")) for each in (ohm, ampacity)
        )
        plugs, fuses = self._least_plugs(at, lifted), self._least_fuses(at, lifted)
        found = np.empty((len(counts), fuses.shape[1]), dtype=np.int64)
        for row, (over, dropping, weak, plug, fuse) in enumerate(counts.tolist()):
            kept = (by_ohm < dropping) & (by_ampacity >= weak)
            whole = np.where(kept, cables[over] + plugs[plug], NEVER)
            found[row] = (whole + fuses[fuse]).min(axis=1)
        return found

    def _least_plugs(self, at: int, lifted: str) -> Ints:
        """By how many ratings are too low and kind of cable."""
        shelf, takes = self.shelf, self.shelf.takes_cable[self._kinds[1]]
        ratings, of = np.unique(shelf.plug_a, return_inverse=True)
        least = np.full((ratings.size + 1, len(takes)), NEVER, dtype=np.int64)
        of_plugs = np.where(takes | (lifted == "connector_size"), shelf.plug_sums[at], NEVER)
        np.minimum.at(least, of.ravel(), of_plugs.T)
        return _at_least(least)

    def _least_fuses(self, at: int, lifted: str) -> Ints:
        """By how many ratings are too low, class of faults and kind of cable."""
        shelf, largest_a = self.shelf, self._kinds[0][3]
        ratings, of = np.unique(shelf.rating_a, return_inverse=True)
        faults = self.faults_a.size
        own = np.full((faults + 1, ratings.size), NEVER, dtype=np.int64)
        for level, fault_a in enumerate(self.faults_a.tolist()):
            breaks = shelf.fuses_stand[0] >= fault_a
            np.minimum.at(own[level], of[breaks], shelf.fuse_sums()[at][breaks])
        if lifted == "interrupting":
            own[:] = own[0]
        carried = (just_below(ratings)[:, None] <= largest_a) | (lifted == "ampacity")
        least = np.full((ratings.size + 1, faults + 1, largest_a.size), NEVER, dtype=np.int64)
        least[:-1] = np.where(carried[:, None, :], own.T[:, :, None], NEVER)
        return _at_least(least)

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


def _too_low(rising: Floats, asked: Floats, lifted: bool) -> Ints:
    """How many of some ratings do not reach what is asked; none where the rule is lifted."""
    found = np.searchsorted(rising, just_below(asked), side="left")
    return np.asarray(found * (not lifted), dtype=np.int64)


def _at_least(by_rating: Ints) -> Ints:
    """The least from each rating on."""
    return np.minimum.accumulate(by_rating[::-1], axis=0)[::-1]
