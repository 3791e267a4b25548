"""What an outing asks of motors and banks at the least, before any couple is looked at."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, alike
from keelwatt.boat.powertrain import OperatingPoint
from keelwatt.boat.running import Running
from keelwatt.boat.search import last_met
from keelwatt.kits.types import Types

UNDER = 1.0 - 1e-6
"""Takes rounding out of a lower bound."""

FAR_UNDER = UNDER**20
"""The same where speeds are searched for and not as wished."""

HALVINGS = 10
"""How sharply the greatest speed of a drive is known."""

Span = tuple[float, float]
"""From a slower to a faster share of the wished speeds."""

AS_WISHED: Span = (1.0, 1.0)


@dataclass(frozen=True)
class Needs:
    """Lower bounds: every drive is asked only for what the lightest boat would ask.

    Peukert's law is left out. Each drive is tried on every voltage its banks have; answers are by
    drive type.
    """

    types: Types

    @cached_property
    def _tried(self) -> tuple[Ints, Ints]:
        """(a bank type, a drive type): every drive with one bank of each voltage that suits it."""
        bank, drive = self.types.bank, self.types.drive
        firsts, _ = alike(bank["system_v"], bank["voltage_v"], bank["low_v"])
        of, driven = np.nonzero(bank["system_v"][firsts][:, None] == drive["system_v"])
        return firsts[of], driven

    @cached_property
    def _alone(self) -> tuple[Running, Ints, Floats]:
        """(motors on kinds of mounts and voltages, choppers without loss; which of these each of
        what was tried is; what its chopper's loss multiplies the current by)."""
        types, (bank, drive) = self.types, self._tried
        first, of = alike(bank, types.driven_alike[drive])
        lightest_g = types.case.bare_g + int(types.bank["mass_g"].min(initial=0))
        boats = types.day.running(bank[first], drive[first], np.full(first.shape, lightest_g))
        lossless = replace(boats.train.drive, efficiency=np.ones(first.shape))
        train = replace(boats.train, drive=lossless)
        water = replace(boats.water, factor=boats.water.factor * UNDER)
        loss = np.where(types.drive["chopper"], 1.0 / types.drive["efficiency"], 1.0)
        return replace(boats, train=train, water=water), of, loss[drive]

    @cached_property
    def _repeated(self) -> Running:
        return self._alone[0].repeatedly()

    @cached_property
    def _most_a(self) -> tuple[Floats, Floats]:
        """What each of what was tried is rated for, and what its control stands on legs besides."""
        types, (bank, drive) = self.types, self._tried
        rated_a = np.asarray(types.rated_a[types.bank["fresh"][bank], drive])
        if types.case.outing.craft.control_box is None:
            return rated_a, rated_a
        stands_a = types.day.train(bank, drive).stands_a(self._alone[0].place_c)
        return rated_a, np.minimum(rated_a, stands_a)

    def _any(self, able: Bools) -> Bools:
        """By drive type, whether it is on some voltage."""
        found = np.zeros(len(self.types.drive_types), dtype=bool)
        found[self._tried[1][able]] = True
        return found

    def _least(self, values: Floats) -> Floats:
        """By drive type, the least on any voltage; no end where no bank suits it."""
        found = np.full(len(self.types.drive_types), np.inf)
        np.minimum.at(found, self._tried[1], values)
        return found

    def reach_top(self, speed_m_s: float) -> Bools:
        """Which drives may reach a speed through calm water."""
        running = self._alone[0]
        point = running.in_calm(np.full(running.water.column.shape, speed_m_s))
        return self._any(self._reach(point, self._most_a[0]))

    @cached_property
    def top_m_s(self) -> Floats:
        """What no drive is faster than through calm water, by drive type; 0 where no bank suits
        it."""
        (running, of, _), (most_a, _) = self._alone, self._most_a
        each = running.of(of)

        def reached(speed_m_s: Floats) -> Bools:
            point = each.in_calm(speed_m_s)
            return self._within(point.effort, point.battery_a, most_a)

        still, idle = np.zeros(of.shape), running.train.idle_m_s[of]
        top_m_s = last_met(reached, still, idle, HALVINGS) + idle / 2**HALVINGS
        found = np.zeros(len(self.types.drive_types))
        np.maximum.at(found, self._tried[1], top_m_s)
        return found

    @cached_property
    def turning_kg_m(self) -> Floats:
        """What each drive, turned across, leans a boat with and no top speed to reach, by type."""
        day, types = self.types.day, np.arange(len(self.types.drive_types))
        return day.turned.kg_m(day.drive.of(types), top_m_s=np.zeros(1))

    def hold_legs(self, share: float) -> Bools:
        """Which drives may hold every leg at a share of its wished speed."""
        running = self._alone[0]
        point = running.on_legs(self._ground_m_s(share), reach_only=True)
        return self._any(self._reach(point, self._most_a[0]))

    def _ground_m_s(self, share: float) -> Floats:
        """The legs' speeds at a share of the wished, shape (legs, n)."""
        running = self._alone[0]
        return running.legs.ground_m_s * share * np.ones(running.water.column.shape)

    def _reach(self, point: OperatingPoint, most_a: Floats) -> Bools:
        """What of all that was tried reaches this, drawing no more than so much."""
        of = self._alone[1]
        effort, lossless_a = (
            np.max(np.atleast_2d(each), axis=0)[of] for each in (point.effort, point.battery_a)
        )
        return self._within(effort, lossless_a, most_a)

    def _within(self, effort: Floats, lossless_a: Floats, most_a: Floats) -> Bools:
        """What of all that was tried can do so much; a switch has no rating of its own."""
        loss, own = self._alone[2], ~self.types.drive["chopper"][self._tried[1]]
        return np.asarray((effort <= 1.0) & (own | (lossless_a * loss <= most_a)))

    def asked(self, span: Span = AS_WISHED) -> tuple[Floats, Floats]:
        """(ampere-hours, watt-hours) the outing asks of the bank at the least.

        Ampere-hours count where the motor's own steps rule, watt-hours where a chopper does. A
        drive too weak for a leg runs it at its full setting, or at what its control stands, as
        slow as that may be; one that is sought at other speeds and too weak for the slower end
        asks for no end. The slower end's current, which only grows with speed, for the faster
        end's hours; at full setting it falls with speed: there the faster end's is the least.
        """
        wished, (_, of, loss), (_, most_a) = span == AS_WISHED, self._alone, self._most_a
        running, under = (self._alone[0], 1.0) if wished else (self._repeated, FAR_UNDER)
        legs, bank = running.legs, running.train.bank
        fast = legs.ground_m_s * span[1]
        point = running.on_legs(self._ground_m_s(span[0] * under))
        full_a = running.train.full_a(legs.through_m_s(fast))
        lossless_a = np.where(point.thrust_n > 0.0, np.minimum(point.battery_a, full_a), 0.0)
        drawn_a = np.minimum(lossless_a[:, of] * loss, most_a)
        # A motor that is off takes nothing, even on a leg that never ends.
        none = np.zeros(drawn_a.shape)
        ah = np.multiply(drawn_a, legs.hours_at(fast), out=none, where=drawn_a > 0.0).sum(axis=0)
        ah += (bank.device_a(legs.device_w) * legs.device_h).sum(axis=0)[of]
        if not wished:
            ah[~self._reach(point, most_a)] = np.inf
        ah *= UNDER if wished else FAR_UNDER
        return self._least(ah), self._least(ah * bank.voltage_v[of])
