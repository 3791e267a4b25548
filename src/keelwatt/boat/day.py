"""The outing for many pairs of bank and drive, in boats of any displacement."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, in_parts
from keelwatt.boat.bank import Bank
from keelwatt.boat.drive import Drive
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.powertrain import Powertrain
from keelwatt.boat.resistance import Displacements
from keelwatt.boat.running import Running
from keelwatt.boat.turned import Turned

CHUNK = 512


@dataclass(frozen=True)
class Day:
    """``bank`` and ``drive`` hold an entry a type."""

    case: LoadCase
    displacements: Displacements
    bank: Bank
    drive: Drive

    @cached_property
    def turned(self) -> Turned:
        return Turned(self.case, float(self.drive.no_thrust_speed_m_s.max(initial=0.0)))

    def train(self, bank_type: Ints, drive_type: Ints) -> Powertrain:
        drop = self.case.outing.limits.voltage_drop
        return Powertrain(self.bank.of(bank_type), self.drive.of(drive_type), drop)

    def running(
        self,
        bank_type: Ints,
        drive_type: Ints,
        displacement_g: Ints,
        fastest_m_s: float | None = None,
    ) -> Running:
        """These pairs, all of shape (n,), up to a speed or as fast as they go."""
        water = self.displacements.resistance(displacement_g, fastest_m_s)
        return Running(self.case, self.case.legs, self.train(bank_type, drive_type), water)

    def in_chunks(
        self, bank_type: Ints, drive_type: Ints, displacement_g: Ints
    ) -> Iterator[tuple[slice, Running]]:
        """Some hundred at a time: each holds a ladder of waves for every displacement."""
        for part in in_parts(displacement_g.size, CHUNK):
            yield part, self.running(bank_type[part], drive_type[part], displacement_g[part])

    def met(self, demand: str, bank_type: Ints, drive_type: Ints, displacement_g: Ints) -> Bools:
        """Which of these pairs meet a demand at these displacements, shape (n,)."""
        return self.asked(bank_type, drive_type, displacement_g).met(demand)

    def has(self, bank_type: Ints, drive_type: Ints, displacement_g: Ints) -> dict[str, Floats]:
        """What these pairs have of each demand, see :meth:`Running.has`; likewise in parts."""
        parts = in_parts(max(1, displacement_g.size), CHUNK)
        each = [self.asked(bank_type[p], drive_type[p], displacement_g[p]).has() for p in parts]
        return {name: np.concatenate([of[name] for of in each]) for name in each[0]}

    def asked(self, bank_type: Ints, drive_type: Ints, displacement_g: Ints) -> Running:
        """These pairs, up to the fastest that is asked for.
        A switch alternates with the next faster step: only a chopper is never faster than asked."""
        top_m_s = self.case.outing.limits.top_speed_m_s or 0.0
        fastest = max(float(self.case.water_speeds_m_s.max()), top_m_s)
        slow_enough = fastest if self.drive.chopper[drive_type].all() else None
        return self.running(bank_type, drive_type, displacement_g, slow_enough)

    def full_throttle_a(self, bank_type: Ints, drive_type: Ints) -> Floats:
        """What these pairs draw tethered at full throttle with every device on, shape (n,)."""
        devices_w = sum(device.power_w for device in self.case.outing.devices)
        return self.train(bank_type, drive_type).full_throttle_a(devices_w)
