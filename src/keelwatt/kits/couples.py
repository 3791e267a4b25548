"""The couples of a bank type and a drive type that could come to no more than a level."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.day import Day
from keelwatt.boat.powertrain import Bank, Drive
from keelwatt.files.catalog.parts import Controller, Motor
from keelwatt.files.kit import just_below
from keelwatt.kits.account import Account
from keelwatt.kits.banks import stowed
from keelwatt.kits.least import NEVER
from keelwatt.kits.light import Bools, Ints, Light

Couple = tuple[tuple[str, int, int], tuple[str, str | None]]
"""((battery, n_s, n_p), (motor, controller))."""


@dataclass(frozen=True)
class Shortlist:
    """The couples to make tables of, and their motors with what may drive each."""

    drives: tuple[tuple[Motor, tuple[Controller | None, ...]], ...]
    couples: frozenset[Couple]

    @cached_property
    def banks(self) -> frozenset[tuple[str, int, int]]:
        return frozenset(bank for bank, _ in self.couples)


@dataclass(frozen=True)
class Found:
    """Couples as numbers of their types, by what they come to at the least: the lowest first."""

    bank: Ints
    drive: Ints
    floor: Ints

    def up_to(self, level: int) -> "Found":
        end = int(np.searchsorted(self.floor, level, side="right"))
        return Found(self.bank[:end], self.drive[:end], self.floor[:end])


@dataclass(frozen=True)
class Couples:
    """Every couple of ``light``, ordered by what a kit with it comes to in a measure at the least.

    A couple's floor is its parts' own sum, with the cheapest charger for the bank and the least
    wiring for the drive and the bank's fault current.
    """

    light: Light
    by: str

    @cached_property
    def _wiring(self) -> dict[str, Ints]:
        """By measure, the least wiring of every fault class and drive type."""
        light = self.light
        current, volts = light.of_motors("current_a"), light.of_motors("system_v")
        harnesses = sorted(set(zip(current.tolist(), volts.tolist(), strict=True)))
        number = {harness: at for at, harness in enumerate(harnesses)}
        of = [number[harness] for harness in zip(current.tolist(), volts.tolist(), strict=True)]
        return {
            measure: light.wiring.least(measure, harnesses)[:, of]
            for measure in {self.by, *light.limits}
        }

    @cached_property
    def _groups(self) -> tuple[tuple[str, Ints, Ints], ...]:
        """("ah" or "wh", banks, drives): what the drives of one voltage and kind ask of banks."""
        light = self.light
        chopped, _ = light.needs
        volts = light.of_motors("system_v").astype(np.int64)
        bearable = np.where(light.bearable, light.bank_system_v, 0)
        return tuple(
            (kind, np.flatnonzero(bearable == v), np.flatnonzero((volts == v) & of_kind))
            for v in np.unique(volts).tolist()
            for kind, of_kind in (("ah", ~chopped), ("wh", chopped))
        )

    @cached_property
    def floors(self) -> tuple[Ints, Ints]:
        """The least a kit with each bank type, and with each drive type, can come to."""
        light = self.light
        banks = light.bank_measures[self.by]
        drives = light.drive_measures[self.by] + self._wiring[self.by].min(axis=0)
        bank_floor = np.full(banks.shape, NEVER, dtype=np.int64)
        drive_floor = np.full(drives.shape, NEVER, dtype=np.int64)
        for kind, b, d in self._groups:
            supply, wants = light.supply[kind][b], light.needs[1][kind][d]
            richest = np.argsort(-supply, kind="stable")
            cheapest = _running_min(banks[b][richest])
            enough = np.searchsorted(-supply[richest], -wants, side="right")
            drive_floor[d] = drives[d] + cheapest[enough]
            modest = np.argsort(wants, kind="stable")
            least = _running_min(drives[d][modest])
            able = np.searchsorted(wants[modest], supply, side="right")
            bank_floor[b] = np.minimum(bank_floor[b], banks[b] + least[able])
        return np.minimum(bank_floor, NEVER), np.minimum(drive_floor, NEVER)

    @cached_property
    def highest(self) -> int:
        """No couple that may be part of a kit has a higher floor."""
        light = self.light
        drives = light.drive_measures[self.by] + self._wiring[self.by].max(
            axis=0, where=self._wiring[self.by] < NEVER, initial=0
        )
        banks = light.bank_measures[self.by][light.bearable]
        return int(banks.max(initial=0) + drives.max(initial=0))

    def cheapest(self, count: int) -> tuple[Found, int]:
        """At least so many couples with the lowest floors, or all; and the level they pass not."""
        size = count
        while True:
            level = self._level(size)
            found = self.up_to(level)
            if found.floor.size >= count:
                level = int(found.floor[count - 1])
                return found.up_to(level), level
            if level >= self.highest:
                return found, level
            size *= 8

    def _level(self, size: int) -> int:
        """A level that lets about so many couples in, the types' floors alone counted."""
        banks, drives = (np.sort(floor[floor < NEVER]) for floor in self.floors)
        if not (banks.size and drives.size) or size >= banks.size * drives.size:
            return self.highest
        levels = np.unique(np.concatenate([banks, drives]))
        couples = np.searchsorted(banks, levels, side="right") * np.searchsorted(
            drives, levels, side="right"
        )
        return int(levels[np.searchsorted(couples, size)])

    def up_to(self, level: int) -> Found:
        """Every couple whose floor does not pass a level and that may meet the day."""
        bank_floor, drive_floor = self.floors
        found = [
            found
            for kind, b, d in self._groups
            for found in self._within(
                kind, b[bank_floor[b] <= level], d[drive_floor[d] <= level], level
            )
        ]
        b, d, floor = (
            np.concatenate([np.empty(0, dtype=np.int64), *arrays])
            for arrays in (zip(*found, strict=True) if found else ((), (), ()))
        )
        able = self._able(b, d)
        order = np.lexsort((d[able], b[able], floor[able]))
        return Found(b[able][order], d[able][order], floor[able][order])

    def _within(
        self, kind: str, banks: Ints, drives: Ints, level: int
    ) -> Iterator[tuple[Ints, Ints, Ints]]:
        """Couples of these whose sums and supply are enough, some banks at a time."""
        light = self.light
        wants = light.needs[1][kind][drives]
        classes = light.wiring.fault_class(light.fault_a)
        for start in range(0, banks.size, BANKS_AT_ONCE):
            some = banks[start : start + BANKS_AT_ONCE]
            good = light.supply[kind][some][:, None] >= wants[None, :]
            for measure, wiring in self._wiring.items():
                of_banks, of_drives = light.bank_measures[measure], light.drive_measures[measure]
                sums = of_banks[some][:, None] + of_drives[drives][None, :]
                sums += wiring[np.ix_(classes[some], drives)]
                most = min(light.limits.get(measure, NEVER - 1), NEVER - 1)
                if measure == self.by:
                    floor, most = sums, min(most, level)
                good &= sums <= most
            at = np.nonzero(good)
            yield some[at[0]], drives[at[1]], floor[at]

    def _able(self, bank: Ints, drive: Ints) -> Bools:
        """Which couples stand the full throttle and meet the day at their lightest, if stowed."""
        light = self.light
        if not bank.size:
            return np.zeros(0, dtype=bool)
        of_bank, bank_at = np.unique(bank, return_inverse=True)
        of_drive, drive_at = np.unique(drive, return_inverse=True)
        fits = np.array([self._fits(*light.bank_types[b].tolist()) for b in of_bank.tolist()])
        day = Day(light.facts, light.displacements, self._banks(of_bank), self._drives(of_drive))
        able = fits[bank_at]
        for start in range(0, bank.size, COUPLES_AT_ONCE):
            some = slice(start, start + COUPLES_AT_ONCE)
            b, d = bank_at[some], drive_at[some]
            mass_g = day.bank.mass_g[b] + day.drive.mass_g[d]
            met, _ = day.meets(b, d, light.facts.bare_g + mass_g)
            carried = just_below(day.full_throttle_a(b, d)) <= day.bank.continuous_a[b]
            able[some] &= carried & np.logical_and.reduce(list(met.values()))
        return able

    def _fits(self, number: int, series: int, parallel: int) -> bool:
        """Whether some compartment takes the bank."""
        battery, account = self.light.batteries[number], Account()
        boxes = self.light.facts.outing.craft.compartments
        units = series * parallel
        return any(stowed(self.light.facts, battery, units, box, account) for box in boxes)

    def _banks(self, types: Ints) -> Bank:
        light = self.light
        return Bank.stacked(
            Bank.of_parts(battery, series, parallel, light.facts.usable_share(battery.chemistry))
            for number, series, parallel in light.bank_types[types].tolist()
            for battery in [light.batteries[number]]
        )

    def _drives(self, types: Ints) -> Drive:
        light = self.light
        return Drive.stacked(
            Drive.of_parts(light.motors[m], None if c < 0 else light.controllers[c])
            for m, c in light.drive_types[types].tolist()
        )

    def shortlist(self, found: Found) -> Shortlist:
        light = self.light
        banks = {
            b: (light.batteries[number].id, series, parallel)
            for b in np.unique(found.bank).tolist()
            for number, series, parallel in [light.bank_types[b].tolist()]
        }
        drives = {
            d: (light.motors[m], None if c < 0 else light.controllers[c])
            for d in np.unique(found.drive).tolist()
            for m, c in [light.drive_types[d].tolist()]
        }
        controls: dict[str, list[Controller | None]] = {}
        for motor, controller in drives.values():
            controls.setdefault(motor.id, []).append(controller)
        names = {d: (m.id, c.id if c else None) for d, (m, c) in drives.items()}
        return Shortlist(
            tuple((m, tuple(controls[m.id])) for m in light.motors if m.id in controls),
            frozenset(
                (banks[b], names[d])
                for b, d in zip(found.bank.tolist(), found.drive.tolist(), strict=True)
            ),
        )


BANKS_AT_ONCE = 256
"""Banks put against all drives in one array."""

COUPLES_AT_ONCE = 20_000
"""Couples whose day is computed in one array."""


def _running_min(values: Ints) -> Ints:
    """The least of the first k values, for k from 0."""
    return np.concatenate([[NEVER], np.minimum.accumulate(values)]).astype(np.int64)
