"""What devices and chargers take of fuse, cable, inlet and converter, by bank type."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import numpy.typing as npt

from keelwatt.boat.arrays import Floats, Ints, alike
from keelwatt.files.catalog.beside import Beside
from keelwatt.files.catalog.parts import Charger
from keelwatt.files.kit import just_below, length_cents, length_g
from keelwatt.kits.charging import Chargers, by_kind
from keelwatt.physics import joining
from keelwatt.physics.battery import device_current_a

Sums = tuple[int, int]
"""Cents and grams."""

INLET_RUN_M = joining.FUSE_LEAD_M + joining.INLET_LEAD_M


@dataclass(frozen=True)
class Branches:
    """Columns of the bank types: nominal and charging voltage, their class, and a dead short."""

    beside: Beside
    chemistry: npt.NDArray[np.str_]
    voltage_v: Floats
    system_v: Ints
    charging_v: Floats
    short_a: Floats
    known: dict[tuple[float, ...], Sums] = field(default_factory=dict)

    @cached_property
    def _breaking(self) -> Ints:
        """Banks by the fuses that break their fault."""
        return np.asarray(np.searchsorted(self.beside.breaks_a, just_below(self.short_a)))

    @cached_property
    def _stood(self) -> Ints:
        """Banks by the fuses and fittings that stand their voltage on the charger."""
        return np.asarray(np.searchsorted(self.beside.stands_v, just_below(self.charging_v)))

    @cached_property
    def of_devices(self) -> tuple[Ints, Ints]:
        """Cents and grams of every device's branch."""
        first, number = alike(self.voltage_v, self.system_v, self._stood, self._breaking)
        each = [self._devices(bank) for bank in first.tolist()]
        sums = np.array(each, dtype=np.int64).reshape(-1, 2)[number]
        return sums[:, 0], sums[:, 1]

    def _devices(self, bank: int) -> Sums:
        cents = mass_g = 0
        for device in self.beside.outing.devices:
            current_a = float(
                device_current_a(power_w=device.power_w, bank_voltage_v=self.voltage_v[bank])
            )
            own = self._branch(bank, current_a, joining.DEVICE_RUN_M)
            cents, mass_g = cents + own[0], mass_g + own[1]
            if device.voltage_v not in (None, int(self.system_v[bank])):
                volts = device.voltage_v or 0.0
                got = self.beside.converter(
                    volts, device.power_w / volts, float(self.charging_v[bank])
                )
                cents, mass_g = cents + round(got.to_pay), mass_g + round(got.grams)
        return cents, mass_g

    @property
    def charging(self) -> Ints:
        """Number of each bank's class of chargers, by what they and their inlets come to."""
        return self._charging[1]

    @property
    def firsts(self) -> list[int]:
        """The first bank of each class."""
        first: list[int] = self._charging[0].tolist()
        return first

    @cached_property
    def _charging(self) -> tuple[Ints, Ints]:
        return alike(self.chemistry, self.system_v, self._stood, self._breaking)

    def of_charger(self, number: int, current_a: float) -> Sums:
        """The inlet of a charger for a class of banks, with its branch."""
        bank = self.firsts[number]
        asked = (int(of[bank]) for of in (self.system_v, self._stood, self._breaking))
        key = *asked, current_a
        if key not in self.known:
            cents, mass_g = self._branch(bank, current_a, INLET_RUN_M)
            inlet = self.beside.inlet(current_a, float(self.charging_v[bank]))
            self.known[key] = cents + round(inlet.to_pay), mass_g + round(inlet.grams)
        return self.known[key]

    def suiting(self, number: int, chargers: Chargers) -> list[tuple[int, Charger]]:
        """Those for a class of banks, with their numbers."""
        bank = self.firsts[number]
        return chargers.get((str(self.chemistry[bank]), int(self.system_v[bank])), [])

    @property
    def heaviest_g(self) -> Ints:
        """The heaviest inlet of any charger for each bank, wished for or not."""
        found, chargers = [], by_kind(self.beside.catalog.chargers)
        for number in range(len(self.firsts)):
            currents_a = {charger.current_a for _, charger in self.suiting(number, chargers)}
            own = (self.of_charger(number, current_a)[1] for current_a in currents_a)
            found.append(max(own, default=0))
        return np.array(found, dtype=np.int64)[self.charging]

    def _branch(self, bank: int, current_a: float, run_m: float) -> Sums:
        fuse = self.beside.fuse(current_a, float(self.charging_v[bank]), float(self.short_a[bank]))
        strand = self.beside.strand(
            fuse_a=fuse.rating_a,
            length_m=2 * run_m,
            current_a=current_a,
            most_v=joining.BRANCH_DROP * int(self.system_v[bank]),
        )
        lug, unit_m = self.beside.lug(strand.area_mm2, strand.size), self.beside.outing.cable_unit_m
        cents = 2 * length_cents(strand.got.to_pay, run_m, unit_m)
        mass_g = 2 * length_g(strand.got.grams, run_m)
        small = (fuse, *[lug] * joining.BRANCH_LUGS)
        return (
            cents + sum(round(got.to_pay) for got in small),
            mass_g + sum(round(got.grams) for got in small),
        )
