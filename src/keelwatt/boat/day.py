"""The outing for many pairs of bank and drive, in boats of any displacement."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.boat.facts import Facts
from keelwatt.boat.legs import over
from keelwatt.boat.powertrain import Bank, Drive, Powertrain
from keelwatt.boat.resistance import Displacements
from keelwatt.boat.running import Running
from keelwatt.files.kit import just_above

CHUNK = 4096


@dataclass(frozen=True)
class Day:
    """``bank`` and ``drive`` hold an entry a type."""

    facts: Facts
    displacements: Displacements
    bank: Bank
    drive: Drive

    def train(self, bank_type: Ints, drive_type: Ints) -> Powertrain:
        drop = self.facts.outing.limits.voltage_drop
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
        return Running(self.facts, self.facts.legs, self.train(bank_type, drive_type), water)

    def in_chunks(
        self, bank_type: Ints, drive_type: Ints, displacement_g: Ints
    ) -> Iterator[tuple[slice, Running]]:
        """A few thousand at a time: each holds a ladder of waves for every displacement."""
        for at in range(0, displacement_g.size, CHUNK):
            part = slice(at, at + CHUNK)
            yield part, self.running(bank_type[part], drive_type[part], displacement_g[part])

    def meets(
        self, bank_type: Ints, drive_type: Ints, displacement_g: Ints
    ) -> tuple[dict[str, Bools], dict[str, Floats]]:
        """Which demands these pairs meet at these displacements, and how they do.

        Every array has shape (n,); the second kind is that of ``Pairs.lightest``.
        """
        top_m_s, wished = self.facts.outing.limits.top_speed_m_s, self.facts.water_speeds_m_s
        fastest = max(float(wished.max()), top_m_s or 0.0)
        running = self.running(bank_type, drive_type, displacement_g, fastest)
        legs, usable_ah = running.on_legs(running.legs.ground_m_s), running.train.bank.usable_ah
        used_ah = running.used_ah(legs.battery_a, running.legs.duration_h)
        met = {
            "leg_speed": np.asarray(legs.feasible.all(axis=0)),
            "top_speed": np.ones(bank_type.shape, dtype=bool),
            "hours": used_ah <= just_above(usable_ah),
        }
        values = {
            "leg_speed": legs.shaft_ratio.max(axis=0),
            "top_speed": np.zeros(bank_type.shape),
            "hours": self.facts.outing_hours * over(usable_ah, used_ah),
        }
        if top_m_s is not None:
            top = running.in_calm(np.array([top_m_s]))
            met["top_speed"], values["top_speed"] = top.feasible, top.shaft_ratio
        return met, values

    def full_throttle_a(self, bank_type: Ints, drive_type: Ints) -> Floats:
        """What these pairs draw tethered at full throttle with every device on, shape (n,)."""
        devices_w = sum(device.power_w for device in self.facts.outing.devices)
        return self.train(bank_type, drive_type).full_throttle_a(devices_w)
