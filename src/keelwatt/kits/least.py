"""The least that the wiring between a bank and a drive must come to."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Floats, Ints, alike
from keelwatt.files.kit import just_above, just_below, season_units
from keelwatt.kits.joints import SINGLE, Join
from keelwatt.kits.shelf import SMALLEST_MM2, Harnesses, Shelf
from keelwatt.physics import protection

NEVER = int(np.iinfo(np.int64).max // 16)
"""The bound of what cannot be part of any kit."""


TOO_MUCH_V = 1e9
"""No bar stands it."""


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
    joins: tuple[Join, ...] = (SINGLE,)
    """The least that each kind of bank takes to join; where it is no single battery, by kind."""
    known: dict[tuple[str, int, str], Ints] = field(default_factory=dict, repr=False)

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

    def least(self, measure: str, harnesses: Harnesses, lifted: str = "") -> Ints:
        """By class of banks and harness, shape (classes, harnesses); ``lifted``: a rule given up.

        Cables that ask the same are one kind, told apart by area, resistance and ampacity. Kinds
        within a drop or an ampacity, plugs and fuses within a rating are so many of a sorted list:
        so harnesses of the same four counts want the same, and each is looked at once.
        """
        at = 1 if measure == "mass" else 0
        unit = season_units(1) if measure == "season" else 1
        shelf, count = self.shelf, harnesses.rated_a.shape[1]
        classes = len(self.joins) * (self.faults_a.size + 1) * len(harnesses.rated_a)
        if not (classes and count and shelf.cables and shelf.fuses and shelf.connectors):
            return np.full((classes, count), NEVER, dtype=np.int64)
        asked = self._counts(harnesses, lifted)
        first, of = alike(*asked)
        least = self._of_counts(np.array(asked)[:, first].T, at, lifted)
        least = np.where(least < NEVER, least * unit, NEVER)
        return least[..., of].reshape(classes, count)

    def kinds(self, harnesses: Harnesses) -> tuple[Ints, Ints]:
        """(the first harness of each kind, the kind of each): of a kind all ask the same."""
        counts = (each.reshape(harnesses.rated_a.shape) for each in self._counts(harnesses, ""))
        return alike(harnesses.over, *np.concatenate(tuple(counts)))

    def bank_class(self, join: Ints, fault_a: Floats, fresh: Ints) -> Ints:
        """Banks by number of their join, the fuses that break their fault, and fresh voltage.

        ``fresh``: number of the voltage, of as many as the harnesses are rated at.
        """
        fault = np.searchsorted(self.faults_a, just_below(fault_a))
        count = int(fresh.max(initial=0)) + 1
        return np.asarray((join * (self.faults_a.size + 1) + fault) * count + fresh, dtype=np.int64)

    @cached_property
    def _kinds(self) -> tuple[Floats, Ints, Ints]:
        """(area, resistance, ampacity, largest fuse) of each kind of cable, its first, and of."""
        shelf = self.shelf
        asked = [shelf.area_mm2, shelf.ohm_m, shelf.ampacity_a, shelf.largest_fuse_a[0]]
        first, of = alike(*asked)
        return np.array(asked)[:, first], first, of

    @property
    def _shortest_m(self) -> tuple[float, float]:
        direct, over = map(min, self.runs_m)
        return direct, over

    def _counts(self, harnesses: Harnesses, lifted: str) -> tuple[Ints, ...]:
        """What each harness asks, each of shape (fresh * harnesses,).

        Whether it goes over a control; how many kinds drop little enough and how many carry too
        little; how many ratings of plugs and of fuses are too low.
        """
        (_, _, ampacity, _), first, _ = self._kinds
        rated_a, shelf = harnesses.rated_a, self.shelf
        dropping = np.full(rated_a.shape, len(first))
        if lifted != "voltage_drop":
            share = shelf.case.outing.limits.voltage_drop
            bound = just_above(np.asarray(share * harnesses.system_v))
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
        return tuple(np.asarray(each, dtype=np.int64).ravel() for each in few)

    def _of_counts(self, counts: Ints, at: int, lifted: str) -> Ints:
        """The least of every join and class of faults, the last being past all, by counts (n, 5).

        Shape (joins, faults + 1, n).
        """
        (_, ohm, ampacity, _), _, _ = self._kinds
        by_ohm, by_ampacity = (
            np.argsort(np.argsort(each, kind="stable")) for each in (ohm, ampacity)
        )
        cables = self._once(self._least_cables, at, lifted, "conductor")
        plugs = self._once(self._least_plugs, at, lifted, "connector_size")
        fuses = self._once(self._least_fuses, at, lifted, "interrupting", "ampacity")
        found = np.empty((*fuses.shape[1:3], len(counts)), dtype=np.int64)
        for row, (over, dropping, weak, plug, fuse) in enumerate(counts.tolist()):
            kept = (by_ohm < dropping) & (by_ampacity >= weak)
            whole = np.where(kept, cables[over] + plugs[plug], NEVER)
            found[..., row] = (whole[:, None, :] + fuses[fuse]).min(axis=-1)
        return found

    def _once(self, make: Callable[[int, str], Ints], at: int, lifted: str, *rules: str) -> Ints:
        """What is asked of many harnesses, of which only some rules decide."""
        key = make.__name__, at, lifted if lifted in rules else ""
        if key not in self.known:
            self.known[key] = make(*key[1:])
        return self.known[key]

    def _least_cables(self, at: int, lifted: str) -> Ints:
        """By whether the run goes over a control, join and kind of cable."""
        shelf, ((area, *_), first, of) = self.shelf, self._kinds
        cables = np.full((2, len(self.joins), len(first)), NEVER, dtype=np.int64)
        for over, run_m in enumerate(self._shortest_m):
            for number, join in enumerate(self.joins):
                np.minimum.at(cables[over, number], of, shelf.cable_sums(run_m, join)[at])
        if lifted != "conductor":
            cables[..., area < just_below(SMALLEST_MM2)] = NEVER
        return cables

    def _least_plugs(self, at: int, lifted: str) -> Ints:
        """By how many ratings are too low and kind of cable."""
        shelf, takes = self.shelf, self.shelf.takes_cable[self._kinds[1]]
        ratings, of = np.unique(shelf.plug_a, return_inverse=True)
        least = np.full((ratings.size + 1, len(takes)), NEVER, dtype=np.int64)
        of_plugs = np.where(takes | (lifted == "connector_size"), shelf.plug_sums[at], NEVER)
        np.minimum.at(least, of.ravel(), of_plugs.T)
        return _at_least(least)

    def _least_fuses(self, at: int, lifted: str) -> Ints:
        """By how many ratings are too low, join, class of faults and kind of cable."""
        shelf, largest_a = self.shelf, self._kinds[0][3]
        ratings, of = np.unique(shelf.rating_a, return_inverse=True)
        sums = np.array([self._fuse_sums(join)[at] for join in self.joins])
        own = np.full((ratings.size, self.faults_a.size + 1, len(sums)), NEVER, dtype=np.int64)
        for level, fault_a in enumerate(self.faults_a.tolist()):
            breaks = shelf.fuses_stand[0] >= fault_a
            np.minimum.at(own[:, level], of[breaks], sums[:, breaks].T)
        if lifted == "interrupting":
            own[:] = own[:, :1]
        carried = (just_below(ratings)[:, None] <= largest_a) | (lifted == "ampacity")
        least = np.full((ratings.size + 1, *own.T.shape[:2], largest_a.size), NEVER, dtype=np.int64)
        least[:-1] = np.where(carried[:, None, None, :], own.swapaxes(1, 2)[..., None], NEVER)
        return _at_least(least)

    def _fuse_sums(self, join: Join) -> tuple[Ints, Ints]:
        """Fuses with the least of bars: where none on sale stands the voltage, a typical one."""
        price, mass = self.shelf.fuse_sums(join)
        if join.parallel == 1:
            return price, mass
        typical = self.shelf.fuse_sums(join._replace(charging_v=TOO_MUCH_V))
        return np.minimum(price, typical[0]), np.minimum(mass, typical[1])

    def least_sum(self, measure: str) -> Ints:
        """No wiring set of each join comes to less, whatever rules hold."""
        at = 1 if measure == "mass" else 0
        unit = season_units(1) if measure == "season" else 1
        shelf = self.shelf
        shortest_m = min(map(min, self.runs_m))
        found = []
        for join in self.joins:
            sums = shelf.cable_sums(shortest_m, join), self._fuse_sums(join), shelf.plug_sums
            found.append(sum(int(kind[at].min(initial=NEVER)) for kind in sums))
        return np.array([each * unit if each < NEVER else NEVER for each in found], dtype=np.int64)


def _too_low(rising: Floats, asked: Floats, lifted: bool) -> Ints:
    """How many of some ratings do not reach what is asked; none where the rule is lifted."""
    found = np.searchsorted(rising, just_below(asked), side="left")
    return np.asarray(found * (not lifted), dtype=np.int64)


def _at_least(by_rating: Ints) -> Ints:
    """The least from each rating on."""
    return np.minimum.accumulate(by_rating[::-1], axis=0)[::-1]
