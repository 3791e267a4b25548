"""The cables, fuses and connectors to choose from, as arrays."""

from bisect import bisect_left
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, alike, in_parts
from keelwatt.boat.load_case import LoadCase
from keelwatt.files.catalog.beside import Beside
from keelwatt.files.catalog.parts import Cable, Connector, Fuse
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import grams, just_above, just_below, lengths_cents, to_buy
from keelwatt.kits.joints import SINGLE, Join
from keelwatt.physics import cable as cable_physics
from keelwatt.physics import joining, protection
from keelwatt.physics.metric import conductor_ohm_m

SMALLEST_MM2 = protection.SMALLEST_CONDUCTOR_MM2


MANY = 1 << 20
"""More pieces of a part than any kit takes."""

TOGETHER = 64
"""Rows held at a time against those that no other beats."""


class Harness(NamedTuple):
    """What a class of drives asks of its wiring.

    ``ends_ohm``: of what is not bought by the metre, the motor's own lead and the contacts.
    ``over``: whether the run goes over a separate control.
    """

    current_a: float
    system_v: int
    ends_ohm: float
    over: bool


@dataclass(frozen=True)
class Shelf:
    """What the outing allows of the three kinds, in catalog order."""

    case: LoadCase
    catalog: Catalog
    cables: tuple[Cable, ...]
    fuses: tuple[Fuse, ...]
    connectors: tuple[Connector, ...]
    known: dict[tuple[object, ...], tuple[Ints, Ints]] = field(default_factory=dict, repr=False)

    @cached_property
    def area_mm2(self) -> Floats:
        return np.array([cable.area_mm2 for cable in self.cables])

    @cached_property
    def ampacity_a(self) -> Floats:
        return np.asarray(
            cable_physics.ampacity_a(
                area_mm2=self.area_mm2,
                insulation_c=np.array([cable.insulation_c for cable in self.cables]),
                place_temperature_c=self.case.outing.policy.place_temperature_c,
            )
        )

    @cached_property
    def largest_fuse_a(self) -> Floats:
        """What each cable carries on a bank below 50 V and on one from there, shape (2, cables)."""
        policy, volts = self.case.outing.policy, np.array([[0.0], [protection.HIGHER_VOLTAGE_V]])
        return np.asarray(
            protection.largest_fuse_at_a(
                ampacity_a=self.ampacity_a,
                over_ampacity=policy.fuse_over_ampacity,
                bank_voltage_v=volts,
            )
        )

    @cached_property
    def like(self) -> tuple[Ints, Ints, Ints]:
        """Number of each cable's, fuse's and connector's like: what every rule takes alike."""
        cables = alike(self.area_mm2, self.ohm_m, self.ampacity_a)[1]
        fuses = alike(self.rating_a, *self.fuses_stand)[1]
        return cables, fuses, alike(self.plug_a, *self.plug_range_mm2)[1]

    @cached_property
    def paired(self) -> tuple[Ints, Ints, Ints]:
        """The same, by what a part asks of those it stands beside alone."""
        cables = alike(self.area_mm2, self.ampacity_a)[1]
        return cables, alike(self.rating_a)[1], alike(*self.plug_range_mm2)[1]

    @cached_property
    def rating_a(self) -> Floats:
        return np.array([fuse.rating_a for fuse in self.fuses])

    @cached_property
    def fuses_stand(self) -> tuple[Floats, Floats]:
        """The fault current and the voltage each fuse stands."""
        return (
            np.array([fuse.interrupts_a for fuse in self.fuses]),
            np.array([fuse.max_voltage_v for fuse in self.fuses]),
        )

    @cached_property
    def plug_a(self) -> Floats:
        return np.array([plug.current_a for plug in self.connectors])

    @cached_property
    def plug_range_mm2(self) -> tuple[Floats, Floats]:
        """The smallest and the largest cable of each connector."""
        return (
            np.array([plug.smallest_mm2 for plug in self.connectors], dtype=float),
            np.array([plug.largest_mm2 for plug in self.connectors], dtype=float),
        )

    @cached_property
    def takes_cable(self) -> Bools:
        """Whether a connector takes a cable's size, shape (cables, connectors)."""
        smallest, largest = self.plug_range_mm2
        area = self.area_mm2[:, None]
        return np.asarray((just_below(smallest) <= area) & (area <= just_above(largest)))

    @cached_property
    def beside(self) -> Beside:
        return Beside(self.catalog, self.case.outing)

    def fuse_sums(self, join: Join = SINGLE) -> tuple[Ints, Ints]:
        """Price to pay and mass of each fuse, one for each string too, and of the joints."""
        cents, mass_g, owned = self._fuses
        price, mass = np.maximum(0, join.fuses - owned) * cents, join.fuses * mass_g
        if join.parallel == 1:
            return price, mass
        bars_cents, bars_g = self._bars(join.parallel, join.charging_v)
        return price + bars_cents, mass + bars_g

    def _bars(self, parallel: int, charging_v: float) -> tuple[Ints, Ints]:
        """Price to pay and mass of both bars behind each fuse."""
        key = parallel, bisect_left(self.beside.stands_v, just_below(charging_v))
        if key not in self.known:
            devices = len(self.case.outing.devices)
            studs = joining.studs_asked(parallel=parallel, devices=devices)
            ratings, of = np.unique(self.rating_a, return_inverse=True)
            bars = [
                self.beside.bar(parallel * rating_a, studs, charging_v)
                for rating_a in ratings.tolist()
            ]
            cents = _ints([2 * round(bar.to_pay) for bar in bars])
            bars_g = _ints([2 * round(bar.grams) for bar in bars])
            self.known[key] = cents[of.ravel()], bars_g[of.ravel()]
        return self.known[key]

    @cached_property
    def _fuses(self) -> tuple[Ints, Ints, Ints]:
        """Cents and grams of each fuse, and how many are owned."""
        parts = self.case.outing.parts
        return (
            _ints([fuse.price_cents for fuse in self.fuses]),
            _ints([grams(fuse.mass_kg) for fuse in self.fuses]),
            _ints([MANY - to_buy(parts, fuse.id, MANY) for fuse in self.fuses]),
        )

    @cached_property
    def plug_sums(self) -> tuple[Ints, Ints]:
        """Price to pay and mass of each connector, as often as it parts the circuit."""
        parts, count = self.case.outing.parts, self.case.outing.policy.disconnects
        price = [to_buy(parts, plug.id, count) * plug.price_cents for plug in self.connectors]
        return _ints(price), _ints([count * grams(plug.mass_kg) for plug in self.connectors])

    def cable_sums(self, run_m: float, join: Join = SINGLE) -> tuple[Ints, Ints]:
        """Price to pay and mass of each cable on a run and in the bank, and of its lugs.

        Red and black apart, by the whole metre or foot.
        """
        unit_m, lugs = self.case.outing.cable_unit_m, joining.MAIN_LUGS + join.lugs
        cents_m, grams_m, lug_cents, lug_g = self._lengths
        price, mass = lugs * lug_cents, lugs * lug_g
        for more_m in join.lengths_m:
            price = price + _rounded(lengths_cents(cents_m, run_m + more_m, unit_m))
            mass = mass + _rounded((run_m + more_m) * grams_m)
        return price, mass

    @cached_property
    def _lengths(self) -> tuple[Floats, Floats, Ints, Ints]:
        """Cents to pay and grams of a metre of each cable, and of a lug on it."""
        parts = self.case.outing.parts
        areas_mm2, of = np.unique(self.area_mm2, return_inverse=True)
        lugs = [self.beside.lug(area_mm2, "") for area_mm2 in areas_mm2.tolist()]
        return (
            np.array([to_buy(parts, c.id, 1) * c.price_cents_m for c in self.cables]),
            np.array([1000.0 * cable.mass_kg_m for cable in self.cables]),
            _ints([round(lug.to_pay) for lug in lugs])[of.ravel()],
            _ints([round(lug.grams) for lug in lugs])[of.ravel()],
        )

    @cached_property
    def ohm_m(self) -> Floats:
        """Resistance of one conductor of each cable."""
        return np.array(
            [
                conductor_ohm_m(area_mm2=c.area_mm2, by_area=c.by_area, tinned=c.tinned)
                for c in self.cables
            ]
        )

    def drops_v(self, run_m: float, harness: Harness) -> Floats:
        """What each cable on a run, the motor's own lead and the contacts lose of the voltage."""
        return np.asarray(harness.current_a * (2 * run_m * self.ohm_m + harness.ends_ohm))


@dataclass(frozen=True)
class Level:
    """A class of banks by the fuses that break their fault and stand their voltage on the charger.

    ``high``: whether that is 50 V or more, where a fuse has less leave. ``fresh``: the number of
    their voltage when fresh.
    """

    interrupting: Bools
    fuse_voltage: Bools
    high: bool
    fresh: int

    @classmethod
    def of(cls, shelf: Shelf, short_circuit_a: float, charging_v: float, fresh: int) -> "Level":
        breaks_a, stands_v = shelf.fuses_stand
        return cls(
            breaks_a >= just_below(short_circuit_a),
            stands_v >= just_below(charging_v),
            charging_v >= protection.HIGHER_VOLTAGE_V,
            fresh,
        )


@dataclass(frozen=True)
class Harnesses:
    """Classes of drives that one wiring suits, shape (n,); ``rated_a`` by the bank, (fresh, n).

    ``current_a`` is what the drop is reckoned at, ``rated_a`` what all must stand.
    """

    system_v: Ints
    current_a: Floats
    ends_ohm: Floats
    over: Bools
    rated_a: Floats

    def only(self, numbers: Ints) -> "Harnesses":
        """Some of them."""
        volts, current_a, ends_ohm = self.system_v, self.current_a, self.ends_ohm
        own = volts[numbers], current_a[numbers], ends_ohm[numbers], self.over[numbers]
        return Harnesses(*own, self.rated_a[:, numbers])

    def asks(self, number: int) -> Harness:
        """What one class asks, its drop reckoned at nominal voltage."""
        return Harness(
            float(self.current_a[number]),
            int(self.system_v[number]),
            float(self.ends_ohm[number]),
            bool(self.over[number]),
        )


def first_not_beaten(group: Ints, price: Ints, mass: Ints) -> Ints:
    """Within each group, those not beaten on price and mass; of equals, the first. In order.

    Groups are numbered from 0.
    """
    order = np.lexsort((mass, price, group))
    stride = int(mass.max(initial=0)) + 1
    falling = mass[order] - group[order] * stride
    lightest = np.minimum.accumulate(falling) if order.size else falling
    new = np.diff(lightest, prepend=np.iinfo(np.int64).max // 2) < 0
    return np.sort(order[new])


def worthwhile(price: Ints, mass: Ints, virtues: Floats) -> Ints:
    """Those that no other beats, in order; ``virtues`` has a row each, more being better.

    One beats another if it is no dearer and no heavier and lacks none of its virtues, and is truly
    cheaper or lighter or comes first.
    """
    order = np.lexsort((mass, price))
    each = np.column_stack([-mass, virtues])[order]
    kept = np.empty(0, dtype=np.int64)
    for part in in_parts(order.size, TOGETHER):
        new = np.arange(order.size)[part]
        rows = np.concatenate([kept, new])
        beats = (each[rows][:, None] >= each[new]).all(axis=2) & (rows[:, None] < new)
        kept = np.concatenate([kept, new[~beats.any(axis=0)]])
    return np.sort(order[kept])


def _rounded(values: Floats) -> Ints:
    return np.asarray(np.rint(values), dtype=np.int64)


def _ints(values: list[int]) -> Ints:
    return np.array(values, dtype=np.int64)
