"""Motor, control and bank as one: from the pull a boat asks for to the charge it takes."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, Record
from keelwatt.boat.bank import Bank
from keelwatt.boat.drive import OPEN, Drive
from keelwatt.boat.legs import over
from keelwatt.boat.search import crossing
from keelwatt.files.kit import just_above
from keelwatt.physics import motor as motor_physics
from keelwatt.physics.alternation import share_between

Pull = Callable[[Floats], Floats]
"""Thrust a boat asks for at speeds through the water, shape alike: its whole curve, for a control
whose steps settle where thrust and resistance meet."""


@dataclass(frozen=True)
class OperatingPoint:
    """What a drive does on a bank at a speed; what is not ``feasible`` has no true current.
    ``effort`` is the voltage asked for, of what a bank near the day's end gives the motor."""

    thrust_n: Floats
    effort: Floats
    battery_a: Floats
    feasible: Bools


@dataclass(frozen=True)
class Settled(Record):
    """Speed and current that every step settles at, shape (1 + steps, legs, n); off comes first."""

    speed_m_s: Floats
    a: Floats

    def among(self, entries: Ints, count: int) -> "Settled":
        """These as the numbered entries of so many."""
        wide = np.zeros((2, *self.a.shape[:-1], count))
        wide[..., entries] = self.speed_m_s, self.a
        return Settled(*wide)


def _neighbours(steps_ohm: Floats, ohm: Floats) -> tuple[Ints, Ints]:
    """The steps just slower and just fast enough for a resistance, 0 being off; shapes alike."""
    slower = np.asarray((steps_ohm > ohm).sum(axis=0) - 1)
    return slower, np.minimum(slower + 1, len(steps_ohm) - 1)


def _at(table: Floats, steps: tuple[Ints, Ints]) -> tuple[Floats, Floats]:
    one, other = (np.take_along_axis(table, at[None], axis=0)[0] for at in steps)
    return one, other


@dataclass(frozen=True)
class Powertrain(Record):
    """Drives on banks, by cables that may lose ``drop`` of the voltage."""

    bank: Bank
    drive: Drive
    drop: float

    @property
    def rated_a(self) -> Floats:
        return self.drive.rated_a(self.bank.fresh_v)

    @property
    def supply_v(self) -> Floats:
        """What the cable's end has of the bank's nominal voltage, the whole allowed drop gone."""
        return np.asarray(self.bank.voltage_v * (1.0 - self.drop))

    @property
    def low_supply_v(self) -> Floats:
        """The same near the day's end, which reach is counted with."""
        return np.asarray(self.bank.low_v * (1.0 - self.drop))

    def point(self, thrust_n: Floats, through_m_s: Floats) -> OperatingPoint:
        """A thrust at a speed through the water, a stepped motor held on it by a finer control.
        Beyond reach a motor is taken at full setting. Reach is what a bank near the day's end
        gives, charge is counted at nominal voltage. A chopper may not draw more than the harness is
        rated for. Where no thrust is asked the motor is off."""
        drive = self.drive
        ratio = drive.shaft_ratio(thrust_n, through_m_s)
        wanted_v = drive.motor_v(ratio, drive.motor_a(ratio, through_m_s))
        full = drive.driven_ratio(self.supply_v, through_m_s, np.zeros(1))
        off = thrust_n <= 0.0
        battery_a = np.where(off, 0.0, self._turning_a(np.minimum(ratio, full), through_m_s))
        effort = np.where(off, 0.0, wanted_v / self.low_supply_v)
        within = ~drive.chopper | (battery_a <= self.rated_a)
        return OperatingPoint(thrust_n, effort, battery_a, np.asarray((effort <= 1.0) & within))

    def full_a(self, through_m_s: Floats) -> Floats:
        """Current of the bank at full setting, counted as reach is; falls as speed grows."""
        full = self.drive.driven_ratio(self.low_supply_v, through_m_s, np.zeros(1))
        return np.minimum(self._turning_a(full, through_m_s), self.rated_a)

    def control_c(self, battery_a: Floats, place_c: float) -> Floats:
        """How warm a separate control grows in its closed box, drawing so much for long."""
        drawn_w = battery_a * self.bank.voltage_v
        return np.asarray(place_c + self.drive.warming_k_w * drawn_w)

    def stands_a(self, place_c: float) -> Floats:
        """The most it may draw for long; without end where nothing warms it."""
        left_k = np.maximum(0.0, self.drive.warmest_c - place_c)
        return over(left_k, self.drive.warming_k_w * self.bank.voltage_v)

    def cool(self, battery_a: Floats, place_c: float) -> Bools:
        return np.asarray(self.control_c(battery_a, place_c) <= just_above(self.drive.warmest_c))

    def _turning_a(self, shaft_ratio: Floats, through_m_s: Floats) -> Floats:
        motor_a = self.drive.motor_a(shaft_ratio, through_m_s)
        return self.battery_a(self.drive.motor_v(shaft_ratio, motor_a) * motor_a, motor_a)

    def battery_a(self, motor_w: Floats, motor_a: Floats) -> Floats:
        chopped = motor_physics.chopper_current_a(
            motor_power_w=motor_w,
            efficiency=self.drive.efficiency,
            drop_fraction=self.drop,
            bank_voltage_v=self.bank.voltage_v,
        )
        return np.asarray(np.where(self.drive.chopper, chopped, motor_a))

    def stepped_a(
        self,
        pull: Pull,
        through_m_s: Floats,
        still_n: Floats,
        every: "Settled | None" = None,
        some: Callable[[Ints], Pull] | None = None,
    ) -> Floats:
        """Mean current of the two neighbouring steps alternated for a mean speed. Never less than
        ``still_n``, the wind's push on a boat at rest, takes: against it a slow mean speed is no
        easier than keeping the place. NaN where full throttle is too slow. ``every``: what every
        step settles at, where it is known. ``some``: ``pull`` of some boats."""
        wish_ohm = self._spare_ohm(pull(through_m_s), through_m_s)
        rest, top_m_s = np.zeros(through_m_s.shape), self.idle_m_s + np.zeros(through_m_s.shape)
        steps_ohm = self._with_off(wish_ohm)
        two = _neighbours(steps_ohm, wish_ohm)
        if every:
            (slow_m_s, fast_m_s), (slow_a, fast_a) = _at(every.speed_m_s, two), _at(every.a, two)
        else:
            (slow_m_s, fast_m_s), (slow_a, fast_a) = self._settled(
                pull,
                np.array(_at(steps_ohm, two)),
                np.array([rest, through_m_s]),
                np.array([through_m_s, top_m_s]),
                some,
            )
        share = share_between(wished=through_m_s, slower=slow_m_s, faster=fast_m_s)
        moving_a = slow_a + share * (fast_a - slow_a)
        moving_a = np.where(wish_ohm < 0.0, np.nan, moving_a)
        return np.asarray(np.maximum(moving_a, self._holding_a(still_n)))

    def _holding_a(self, thrust_n: Floats) -> Floats:
        """Mean current of the two steps alternated for a mean thrust on a boat at rest."""
        drive, rest = self.drive, np.zeros(thrust_n.shape)
        if not thrust_n.any():
            return rest
        found = []
        wish_ohm = self._spare_ohm(thrust_n, rest)
        steps_ohm = self._with_off(wish_ohm)
        for ohm in _at(steps_ohm, _neighbours(steps_ohm, wish_ohm)):
            on = np.isfinite(ohm)
            ratio = drive.driven_ratio(self.supply_v, rest, np.where(on, ohm, 0.0))
            found.append(
                (
                    np.where(on, drive.thrust_n * ratio**2, 0.0),
                    np.where(on, drive.motor_a(ratio, rest), 0.0),
                )
            )
        (low_n, low_a), (high_n, high_a) = found
        share = share_between(wished=thrust_n, slower=low_n, faster=high_n)
        return np.asarray(np.where(thrust_n > 0.0, low_a + share * (high_a - low_a), 0.0))

    def _spare_ohm(self, thrust_n: Floats, through_m_s: Floats) -> Floats:
        """The resistance behind which a motor just gives a thrust at a speed."""
        drive = self.drive
        ratio = drive.shaft_ratio(thrust_n, through_m_s)
        motor_a = drive.motor_a(ratio, through_m_s)
        with np.errstate(divide="ignore"):
            return np.asarray((self.supply_v - drive.motor_v(ratio, motor_a)) / motor_a)

    def _with_off(self, like: Floats) -> Floats:
        """What every step puts before the motor, the motor off first; shape (1 + steps, *like)."""
        steps = self.drive.step_ohm
        steps = np.concatenate([np.full_like(steps[:1], OPEN), steps])
        steps = steps.reshape(len(steps), *(1,) * (like.ndim - 1), -1)
        return np.broadcast_to(steps, (len(steps), *like.shape))

    def every_step(self, pull: Pull, like: Floats, some: Callable[[Ints], Pull]) -> "Settled":
        """What every step settles at, for boats and legs of a shape; ``some``: of some boats."""
        ohm = self._with_off(like)
        rest = np.zeros(ohm.shape)
        return Settled(*self._settled(pull, ohm, rest, self.idle_m_s + rest, some))

    def _settled(
        self,
        pull: Pull,
        series_ohm: Floats,
        low_m_s: Floats,
        high_m_s: Floats,
        some: Callable[[Ints], Pull] | None = None,
    ) -> tuple[Floats, Floats]:
        """(speed, current) behind a resistance, between two speeds; none where it is off."""
        drive, on = self.drive, np.isfinite(series_ohm)
        ohm = np.where(on, series_ohm, 0.0)

        def lacking_v_of(rows: Ints) -> Callable[[Floats], Floats]:
            assert some is not None
            return self.of(rows)._lacking_v(some(rows), ohm[..., rows])

        lacking_v = self._lacking_v(pull, ohm)
        at = crossing(lacking_v, low_m_s, high_m_s, lacking_v_of if some else None)
        speed = np.where(on, at, 0.0)
        ratio = drive.driven_ratio(self.supply_v, speed, ohm)
        return speed, np.where(on, drive.motor_a(ratio, speed), 0.0)

    def _lacking_v(self, pull: Pull, series_ohm: Floats) -> Callable[[Floats], Floats]:
        """What the supply lacks to go faster, behind a resistance."""
        drive = self.drive

        def lacking_v(through_m_s: Floats) -> Floats:
            ratio = drive.shaft_ratio(pull(through_m_s), through_m_s)
            motor_a = drive.motor_a(ratio, through_m_s)
            return np.asarray(drive.motor_v(ratio, motor_a) + motor_a * series_ohm - self.supply_v)

        return lacking_v

    @property
    def idle_m_s(self) -> Floats:
        """No motor drives a boat faster on this bank, however easy it is."""
        volts = self.supply_v / self.drive.system_v / (1.0 - self.drive.winding)
        return np.asarray(volts * self.drive.no_thrust_speed_m_s)

    def full_throttle_a(self, devices_w: float) -> Floats:
        """What a fresh bank gives tethered at full throttle with every device on.
        A chopper's own loss is drawn besides."""
        motor_a = self.rated_a / np.where(self.drive.chopper, self.drive.efficiency, 1.0)
        return np.asarray(motor_a + self.bank.device_a(np.asarray(devices_w)))
