"""What an outing asks of motors and banks at the least, before any couple is looked at."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
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
        volts = np.column_stack([bank["system_v"], bank["voltage_v"], bank["low_v"]])
        firsts = np.unique(volts, axis=0, return_index=True)[1]
        of, driven = np.nonzero(bank["system_v"][firsts][:, None] == drive["system_v"])
        return firsts[of], driven

    @cached_property
    def _running(self) -> Running:
        types, (bank, drive) = self.types, self._tried
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
        return self._any(self._running.in_calm(np.full(self._tried[0].shape, speed_m_s)).feasible)

    def hold_legs(self, share: float) -> Bools:
        """Which drives may hold every leg at a share of its wished speed."""
        ground_m_s = self.types.case.legs.ground_m_s * share * np.ones(self._tried[0].shape)
        feasible = self._running.on_legs(ground_m_s, reach_only=True).feasible
        return self._any(np.asarray(feasible.all(axis=0)))

    def asked(self, span: Span = AS_WISHED) -> tuple[Floats, Floats]:
        """(ampere-hours, watt-hours) the outing asks of the bank at the least.

        Ampere-hours count where the motor's own steps rule, watt-hours where a chopper does. A
        drive too weak for a leg runs it at its full setting, or at what its control stands, as
        slow as that may be; one that is sought at other speeds and too weak for the slower end
        asks for no end. The slower end's current, which only grows with speed, for the faster
        end's hours; at full setting it falls with speed: there the faster end's is the least.
        """
        if span == AS_WISHED:
            ah, wh = self._asked(self._running, span)
            return self._least(ah * UNDER), self._least(wh * UNDER)
        wanted = np.full((2, self._tried[0].size), np.inf)
        for of, reach, running in self._paced:
            if (able := reach >= span[0]).any():
                wanted[:, of] = np.where(able, self._asked(running, span), np.inf)
        ah, wh = wanted * FAR_UNDER
        return self._least(ah), self._least(wh)

    def _asked(self, running: Running, span: Span) -> tuple[Floats, Floats]:
        legs, boats = running.legs, np.ones(running.water.column.shape)
        slow, fast = (legs.ground_m_s * share * boats for share in span)
        point = running.on_legs(slow)
        full_a = running.train.full_a(legs.through_m_s(fast))
        full_a = np.minimum(full_a, running.train.stands_a(running.place_c))
        battery_a = np.where(point.thrust_n > 0.0, np.minimum(point.battery_a, full_a), 0.0)
        bank = running.train.bank
        devices_a = bank.device_a(legs.device_w) * legs.device_h
        hours = legs.hours_at(fast)
        # A motor that is off takes nothing, even on a leg that never ends.
        drawn_ah = np.multiply(battery_a, hours, out=np.zeros(hours.shape), where=battery_a > 0.0)
        ah = drawn_ah.sum(axis=0) + devices_a.sum(axis=0)
        return ah, ah * bank.voltage_v
