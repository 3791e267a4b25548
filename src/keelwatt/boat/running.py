"""Pairs of bank and drive at any speed: how fast they go, how long they last."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.day import Bools, Columns, Day, Floats, Ints, over, ratio_of
from keelwatt.boat.drag import Waters
from keelwatt.files.kit import just_below
from keelwatt.physics import motor as motor_physics

BISECTIONS = 26
"""From a motor's no-thrust speed down to less than 1e-7 m/s, on the safe side."""

CHUNK = 4096

STUCK = -1.0
"""The greatest speed of what cannot even stay where it is."""


@dataclass(frozen=True)
class Running:
    """Pairs of types at displacements, all of shape (n,)."""

    day: Day
    bank_type: Ints
    drive_type: Ints
    waters: Waters

    @classmethod
    def of(cls, day: Day, bank_type: Ints, drive_type: Ints, displacement_g: Ints) -> "Running":
        return cls(day, bank_type, drive_type, day.drag.waters(displacement_g))

    @cached_property
    def every(self) -> Ints:
        return np.arange(self.bank_type.size)

    def _columns(self, of: Ints) -> tuple[Columns, Columns]:
        bank, drive = self.bank_type[of], self.drive_type[of]
        return (
            {k: v[bank] for k, v in self.day.bank.items()},
            {k: v[drive] for k, v in self.day.drive.items()},
        )

    def reached_m_s(self) -> Floats:
        """The greatest speed through calm water at full setting, shape (n,); STUCK where not 0."""
        still = np.zeros(self.every.shape)
        return self._reached_m_s(self.every, still, still)

    def legs_reached_m_s(self) -> Floats:
        """The greatest speed over ground on each leg, shape (legs, n); STUCK where not even 0."""
        of, leg = self._every_leg(self.every)
        return self._reached_m_s(of, self._headwinds[leg], self._currents[leg]).reshape(
            self._currents.size, -1
        )

    def _reached_m_s(self, of: Ints, headwind_m_s: Floats, current_m_s: Floats) -> Floats:
        bank, drive = self._columns(of)

        def reaches(ground: Floats) -> Bools:
            ratio, speed = self._ratios(drive, of, ground, headwind_m_s, current_m_s)
            return self.day.reaches(bank, drive, ratio, speed)[0]

        good = np.zeros(of.shape)
        bad = np.maximum(0.0, drive["no_thrust_speed_m_s"] - current_m_s)
        stuck = ~reaches(good)
        for _ in range(BISECTIONS):
            middle = (good + bad) / 2.0
            met = reaches(middle)
            good, bad = np.where(met, middle, good), np.where(met, bad, middle)
        return np.where(stuck, STUCK, good)

    def serves(self, ground_m_s: Floats, of: Ints) -> Bools:
        """Whether legs at other speeds are within reach, and the charge lasts, shape (m,).

        ``ground_m_s`` has shape (legs, m), ``of`` numbers the pairs.
        """
        reached, day_h, served_h = self._day_at(ground_m_s, of)
        return np.asarray(reached & (served_h >= just_below(day_h)))

    def hours_at(self, ground_m_s: Floats) -> tuple[Floats, Floats]:
        """(hours of the day, hours served) with each leg at another speed, shapes (n,).

        ``ground_m_s`` has shape (legs, n). A leg given by distance takes as long as it takes.
        """
        return self._day_at(ground_m_s, self.every)[1:]

    def _day_at(self, ground_m_s: Floats, of: Ints) -> tuple[Bools, Floats, Floats]:
        """(every leg within reach, hours of the day, hours served), shapes (m,)."""
        facts = self.day.facts
        bank, drive = self._columns(of)
        many, leg = self._every_leg(of)
        _, drives = self._columns(many)
        ratio, speed = self._ratios(
            drives, many, ground_m_s.ravel(), self._headwinds[leg], self._currents[leg]
        )
        shape = ground_m_s.shape
        reached, amperes = self.day.reaches(bank, drive, ratio.reshape(shape), speed.reshape(shape))
        by_distance = np.array([leg.by_distance for leg in facts.outing.legs])[:, None]
        slower = over(facts.ground_speeds_m_s[:, None] * np.ones_like(ground_m_s), ground_m_s)
        durations = facts.durations_h[:, None] * np.where(by_distance, slower, 1.0)
        day_h = durations.sum(axis=0)
        used = self.day.used_ah(bank, amperes, durations)
        return np.asarray(reached.all(axis=0)), day_h, day_h * over(bank["usable_ah"], used)

    def setting_at(self, ground_m_s: Floats, of: Ints, leg: Ints) -> Floats:
        """What share of full speed stepped motors are switched to, each on one leg, shape (m,).

        NaN where no step is fast enough.
        """
        _, drive = self._columns(of)
        ratio, _ = self._ratios(drive, of, ground_m_s, self._headwinds[leg], self._currents[leg])
        return np.asarray(motor_physics.step_ratio(shaft_ratio=ratio, steps=drive["steps"]))

    def _every_leg(self, of: Ints) -> tuple[Ints, Ints]:
        """Each of the pairs on each leg, leg by leg: (pair, leg)."""
        legs = self._currents.size
        return np.tile(of, legs), np.repeat(np.arange(legs), of.size)

    @cached_property
    def _headwinds(self) -> Floats:
        return self.day.facts.headwinds_m_s

    @cached_property
    def _currents(self) -> Floats:
        return np.array([leg.current_m_s for leg in self.day.facts.outing.legs])

    def _ratios(
        self,
        drive: Columns,
        of: Ints,
        ground_m_s: Floats,
        headwind_m_s: Floats,
        current_m_s: Floats,
    ) -> tuple[Floats, Floats]:
        through = np.maximum(0.0, ground_m_s + current_m_s)
        thrust = self.waters.resistance_n(through, of)
        return ratio_of(drive, thrust + self.day.facts.air_n(ground_m_s, headwind_m_s), through)


def in_chunks(
    day: Day, bank_type: Ints, drive_type: Ints, displacement_g: Ints
) -> Iterator[tuple[slice, Running]]:
    """The pairs a few thousand at a time: each holds a ladder of waves for every displacement."""
    for at in range(0, displacement_g.size, CHUNK):
        part = slice(at, at + CHUNK)
        yield part, Running.of(day, bank_type[part], drive_type[part], displacement_g[part])
