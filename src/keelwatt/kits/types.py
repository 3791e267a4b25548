"""Every type of bank and of drive that an outing allows, and what they are put together with."""

from dataclasses import dataclass
from functools import cached_property
from itertools import product

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, alike
from keelwatt.boat.bank import Bank
from keelwatt.boat.day import Day
from keelwatt.boat.drive import Drive
from keelwatt.boat.resistance import Displacements
from keelwatt.boat.turned import mount_moment_n_m
from keelwatt.files.kit import (
    just_below,
)
from keelwatt.kits.account import FILTERS
from keelwatt.kits.banks import BankTypes
from keelwatt.kits.joints import Join, Joins, least_join
from keelwatt.kits.least import NEVER, LeastWiring
from keelwatt.kits.shelf import Harnesses
from keelwatt.kits.wiring import Wirings
from keelwatt.limits import enters
from keelwatt.physics import joining, protection, stowage
from keelwatt.physics.battery import device_current_a

DEMANDS = ("leg_speed", "top_speed", "hours")
"""Wishes of the day, drawn days too."""


@dataclass(frozen=True)
class Types(BankTypes):
    """What the outing's rules leave of a catalog, and what it can be put together to."""

    def places(self, bank: Ints, drive: Ints) -> Bools:
        """Where couples of these types go at all, shape (couples, compartments, mounts)."""
        return np.asarray(self.fits[bank][:, :, None] & self.hangs[drive][:, None, :])

    @cached_property
    def least_wiring(self) -> LeastWiring:
        craft, run_m = self.case.outing.craft, self.case.run_m
        ends = tuple(product(craft.compartments, craft.mounts))
        direct, over = (
            tuple(run_m(box, mount, controlled=controlled) for box, mount in ends)
            for controlled in (False, True)
        )
        joins = self._least_joins[0]
        return LeastWiring(self.shelf, (direct, over), self._most_join, joins)

    @property
    def _most_join(self) -> Join:
        """As many strings as any, of as many, in the longest rows; bars at their heaviest."""
        sides = [*map(max, self._pieces[0].tolist())]
        series = max((b.max_series for b in self.batteries), default=1)
        parallel = max((b.max_parallel for b in self.batteries), default=1)
        side_m, units = max(sides, default=0.0), series * parallel
        lead_m = joining.string_lead_m(length_m=units * side_m, width_m=side_m)
        return Join(series, parallel, lead_m, joining.link_m(length_m=side_m, width_m=side_m))

    def _unit_of(self, bank: int) -> tuple[stowage.Triple, bool]:
        """Sides of what a bank type is made of, and whether it stands upright only."""
        sides, upright = self._pieces
        (piece,) = self._piece(self.bank_types[[bank]]).tolist()
        length_m, width_m, height_m = sides[piece].tolist()
        return (length_m, width_m, height_m), bool(upright[piece])

    @cached_property
    def joins(self) -> Joins:
        bank = self.bank
        return Joins(
            self.case.outing,
            self.bank_types,
            self._unit_of,
            self._devices_a(bank["voltage_v"]),
            bank["charging_v"],
        )

    @property
    def join_class(self) -> Ints:
        """Number of each bank type among the joins of :attr:`least_wiring`."""
        return self._least_joins[1]

    @cached_property
    def _least_joins(self) -> tuple[tuple[Join, ...], Ints]:
        """The least that banks of so many in series and parallel take to join, and of."""
        first, of = alike(*self.bank_types[:, 1:3].T)
        sides, upright = self._pieces
        stands = np.where(upright[:, None], sides[:, :2], np.sort(sides, axis=1)[:, :2])
        stands = stands[self._piece(self.bank_types)]
        joins = tuple(
            least_join(series, parallel, stands[of == number])
            for number, (series, parallel) in enumerate(self.bank_types[first, 1:3].tolist())
        )
        return joins, of

    def _devices_a(self, voltage_v: Floats) -> Floats:
        powers_w = [device.power_w for device in self.case.outing.devices]
        amperes = (device_current_a(power_w=w, bank_voltage_v=voltage_v) for w in powers_w)
        return np.asarray(sum(amperes, np.zeros(voltage_v.shape)))

    @cached_property
    def lightest_wiring_g(self) -> int:
        """No wiring set is lighter, whatever rules hold."""
        least = int(self.least_wiring.least_sum("mass").min(initial=NEVER))
        return least if least < NEVER else 0

    @cached_property
    def wirings(self) -> Wirings:
        """The wiring sets of every class of drives and level of banks, made as they are asked."""
        return Wirings(self.shelf, self._banks[2], self.harnesses, self.joins)

    @property
    def demands(self) -> tuple[str, ...]:
        """What the day asks of couples: the wishes, and a control's heat where it has a box."""
        boxed = self.case.outing.craft.control_box is not None
        return (*DEMANDS, "control_heat") if boxed else DEMANDS

    @cached_property
    def _fresh_v(self) -> Floats:
        """What banks give when fresh, each voltage once, shape (fresh, 1)."""
        return np.unique(self.bank["fresh_v"])[:, None]

    @cached_property
    def rated_a(self) -> Floats:
        """What wiring must stand by the banks' fresh voltage, shape (fresh, drive types)."""
        return np.asarray(self.alone.rated_a(self._fresh_v)[:, self.drive_types[:, 0]])

    @cached_property
    @enters(FILTERS, "controller_rating", "mount_moment")
    def stood(self) -> Bools:
        """Whether control and mount stand a motor by the banks' fresh voltage, (fresh, types)."""
        needed_a = np.asarray(protection.smallest_controller_a(max_current_a=self.rated_a))
        moment = mount_moment_n_m(self.alone, self._motors["claimed_n"], self._fresh_v)
        held = self._mount_kinds[0][self._drive_types[:, 2], 1]
        hangs = just_below(moment)[:, self.drive_types[:, 0]] <= held
        return np.asarray((just_below(needed_a) <= self.drive["control_a"]) & hangs)

    @cached_property
    def _harnesses(self) -> tuple[Ints, Harnesses]:
        asked = [self.drive[name] for name in ("system_v", "current_a", "ends_ohm", "over")]
        some, of = alike(self.drive_types[:, 0], asked[-1])
        first, number = alike(*(each[some] for each in (*asked, *self.rated_a)))
        first = some[first]
        volts, current_a, ends_ohm, over = (each[first] for each in asked)
        return number[of], Harnesses(volts, current_a, ends_ohm, over, self.rated_a[:, first])

    @cached_property
    def wiring_classes(self) -> tuple[Ints, Ints]:
        """(which of the least wiring's classes of banks there are, each bank's among these)."""
        asked = self.join_class, self.bank["short_circuit_a"], self.bank["fresh"]
        return np.unique(self.least_wiring.bank_class(*asked), return_inverse=True)

    @cached_property
    def wiring_kinds(self) -> tuple[Harnesses, Ints]:
        """(harnesses that ask different things of the least wiring, each drive type's of these)."""
        first, of = self.least_wiring.kinds(self.harnesses)
        return self.harnesses.only(first), of[self.harness]

    @property
    def harness(self) -> Ints:
        """Number of each drive type's class of wiring."""
        return self._harnesses[0]

    @property
    def harnesses(self) -> Harnesses:
        return self._harnesses[1]

    @cached_property
    def displacements(self) -> Displacements:
        fastest = float(self._idle_m_s.max(initial=0.1))
        low_kg, high_kg = self.case.bare_g / 1000.0, self.cap_g / 1000.0
        if self.known and self.known.reaches(high_kg, fastest):
            return self.known
        return Displacements.between(self.case, low_kg, high_kg, fastest)

    @cached_property
    def _idle_m_s(self) -> Floats:
        """The speed each drive without load reaches on the highest bank that suits it."""
        drive, bank = self.drive, self.bank
        volts = np.zeros(drive["system_v"].shape)
        for v in np.unique(drive["system_v"]).tolist():
            of = bank["voltage_v"][bank["system_v"] == v].max(initial=v)
            volts[drive["system_v"] == v] = of / v
        return np.asarray(volts / (1.0 - drive["winding"]) * drive["no_thrust_speed_m_s"])

    @cached_property
    def day(self) -> Day:
        bank, drive = Bank.of_columns(self.bank), Drive.of_columns(self.drive)
        return Day(self.case, self.displacements, bank, drive)

    @cached_property
    def cap_g(self) -> int:
        """The heaviest boat any kit of the catalog makes."""
        heaviest = (
            int(self.bank["mass_g"].max(initial=0)),
            int(self.drive["motor_g"].max(initial=0)),
            int(self._controller_sums[1].max()),
            self.least_wiring.heaviest_g,
        )
        return self.case.bare_g + sum(heaviest)
