"""What an outing asks of motors and banks at the least, before any couple is looked at."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, alike
from keelwatt.boat.powertrain import OperatingPoint
from keelwatt.boat.running import Running
from keelwatt.kits.types import Types

UNDER = 1.0 - 1e-6
"""Takes rounding out of a lower bound."""

FAR_UNDER = UNDER**20
"""The same where speeds are searched for and not as wished."""

AT_ONCE = 8192
"""Drives on a voltage whose steps are worked out together."""

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
        running = self._boats(bank[first], drive[first])
        one, cold = np.ones(first.shape), np.zeros(first.shape)
        own = running.train.drive
        lossless = replace(own, efficiency=one, warming_k_w=cold, warmest_c=cold + np.inf)
        running = replace(running, train=replace(running.train, drive=lossless))
        loss = np.where(types.drive["chopper"], 1.0 / types.drive["efficiency"], 1.0)
        return running, of, loss[drive]

    @property
    def _rated_a(self) -> Floats:
        bank, drive = self._tried
        return np.asarray(self.types.rated_a[self.types.bank["fresh"][bank], drive])

    @cached_property
    def _running(self) -> Running:
        return self._boats(*self._tried)

    def _boats(self, bank: Ints, drive: Ints) -> Running:
        types = self.types
        lightest_g = types.case.bare_g + int(types.bank["mass_g"].min(initial=0))
        running = types.day.running(bank, drive, np.full(bank.shape, lightest_g))
        return replace(running, water=replace(running.water, factor=running.water.factor * UNDER))

    @cached_property
    def _paced(self) -> tuple[tuple[Ints, Floats, Running], ...]:
        """(what was tried, the share of the legs' speeds it reaches, it for many speeds).

        The fastest first; some at a time: what steps settle at takes much room to find.
        """
        starts = range(0, self._tried[0].size, AT_ONCE)
        every = np.arange(self._tried[0].size)
        parts = (self._running.of(every[at : at + AT_ONCE]) for at in starts)
        reach = np.concatenate([np.zeros(0), *(part.reached_share() for part in parts)])
        every, reach = np.argsort(-reach, kind="stable"), reach / FAR_UNDER
        fastest = (every[at : at + AT_ONCE] for at in starts)
        return tuple((of, reach[of], self._running.of(of).repeatedly()) for of in fastest)

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
        return self._reach(running.in_calm(np.full(running.water.column.shape, speed_m_s)))

    def hold_legs(self, share: float) -> Bools:
        """Which drives may hold every leg at a share of its wished speed."""
        running = self._alone[0]
        ground_m_s = self.types.case.legs.ground_m_s * share * np.ones(running.water.column.shape)
        return self._reach(running.on_legs(ground_m_s, reach_only=True))

    def _reach(self, point: OperatingPoint) -> Bools:
        """By drive type, whether all of this is within its reach on some voltage."""
        _, of, loss = self._alone
        effort, lossless_a = (
            np.max(np.atleast_2d(each), axis=0)[of] for each in (point.effort, point.battery_a)
        )
        own = ~self.types.drive["chopper"][self._tried[1]]
        return self._any((effort <= 1.0) & (own | (lossless_a * loss <= self._rated_a)))

    def asked(self, span: Span = AS_WISHED) -> tuple[Floats, Floats]:
        """(ampere-hours, watt-hours) the outing asks of the bank at the least.

        Ampere-hours count where the motor's own steps rule, watt-hours where a chopper does. A
        drive too weak for a leg runs it at its full setting, or at what its control stands, as
        slow as that may be; one that is sought at other speeds and too weak for the slower end
        asks for no end. The slower end's current, which only grows with speed, for the faster
        end's hours; at full setting it falls with speed: there the faster end's is the least.
        """
        if span == AS_WISHED:
            running, of, loss = self._alone
            most_a, hours = self._rated_a, running.legs.duration_h
            if self.types.case.outing.craft.control_box:
                stands_a = self.types.day.train(*self._tried).stands_a(running.place_c)
                most_a = np.minimum(most_a, stands_a)
            drawn_a = np.minimum(self._drawn_a(running, span)[:, of] * loss, most_a)
            ah = (drawn_a * hours).sum(axis=0) + self._devices_ah(running)[of]
            wh = ah * running.train.bank.voltage_v[of]
            return self._least(ah * UNDER), self._least(wh * UNDER)
        wanted = np.full((2, self._tried[0].size), np.inf)
        for of, reach, running in self._paced:
            if (able := reach >= span[0]).any():
                wanted[:, of] = np.where(able, self._asked(running, span), np.inf)
        ah, wh = wanted * FAR_UNDER
        return self._least(ah), self._least(wh)

    def _drawn_a(self, running: Running, span: Span) -> Floats:
        """What each leg draws at the least, shape (legs, n)."""
        legs, boats = running.legs, np.ones(running.water.column.shape)
        slow, fast = (legs.ground_m_s * share * boats for share in span)
        point = running.on_legs(slow)
        full_a = running.train.full_a(legs.through_m_s(fast))
        full_a = np.minimum(full_a, running.train.stands_a(running.place_c))
        return np.where(point.thrust_n > 0.0, np.minimum(point.battery_a, full_a), 0.0)

    def _devices_ah(self, running: Running) -> Floats:
        legs = running.legs
        return np.asarray((running.train.bank.device_a(legs.device_w) * legs.device_h).sum(axis=0))

    def _asked(self, running: Running, span: Span) -> tuple[Floats, Floats]:
        drawn_a = self._drawn_a(running, span)
        hours = running.legs.hours_at(running.legs.ground_m_s * span[1] * np.ones(drawn_a.shape))
        # A motor that is off takes nothing, even on a leg that never ends.
        drawn_ah = np.multiply(drawn_a, hours, out=np.zeros(hours.shape), where=drawn_a > 0.0)
        ah = drawn_ah.sum(axis=0) + self._devices_ah(running)
        return ah, ah * running.train.bank.voltage_v
