"""What an outing asks of motors and banks at the least, before any couple is looked at."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.resistance import Resistance
from keelwatt.kits.types import Bools, Floats, Types
from keelwatt.physics.battery import DEVICE_EFFICIENCY

UNDER = 1.0 - 1e-6
"""Takes rounding out of a lower bound."""

FAR_UNDER = UNDER**20
"""The same where speeds are searched for and not as wished."""

VERTEX = 0.335
"""Below this share of the speed ratio the torque polynomial falls with shaft speed."""

Span = tuple[float, float]
"""From a slower to a faster share of the wished speeds."""

AS_WISHED: Span = (1.0, 1.0)


@dataclass(frozen=True)
class Needs:
    """Lower bounds: every drive is asked only for what the lightest boat would ask.

    Peukert's law is left out. Answers are by drive type.
    """

    types: Types

    @cached_property
    def _water(self) -> Resistance:
        types = self.types
        lightest_g = types.case.bare_g + int(types.bank["mass_g"].min(initial=0))
        return types.displacements.resistance(np.array([lightest_g]))

    @cached_property
    def _reach(self) -> float:
        """The least share of full speed a bank gives a motor at full setting."""
        bank = self.types.bank
        ratio = float((bank["voltage_v"] / bank["system_v"]).min(initial=1.0))
        return ratio - self.types.case.outing.limits.voltage_drop

    def _ratio(self, ground_m_s: Floats, headwind_m_s: Floats, through_m_s: Floats) -> Floats:
        """Shaft ratio at speeds of shape (speeds, 1), by drive type."""
        air_n = self.types.case.air_n(ground_m_s, headwind_m_s)
        thrust_n = UNDER * self._water.water_n(through_m_s) + air_n
        thrust_n = np.maximum(0.0, thrust_n - (1.0 - UNDER) * np.abs(air_n))
        return self.types.day.drive.shaft_ratio(thrust_n, through_m_s)

    def _able(self, ratio: Floats) -> Bools:
        drop = self.types.case.outing.limits.voltage_drop
        return np.asarray((ratio * UNDER <= 1.0 - drop).all(axis=0))

    def reach_top(self, speed_m_s: float) -> Bools:
        """Which drives may reach a speed through calm water."""
        top = np.array([[speed_m_s]])
        return self._able(self._ratio(top, np.zeros((1, 1)), top))

    def _legs(self, share: float) -> tuple[Floats, Floats]:
        """(shaft ratio, speed through the water) on every leg at a share of the wished speeds."""
        legs = self.types.case.legs
        ground = legs.ground_m_s * share
        through = legs.through_m_s(ground)
        return self._ratio(ground, legs.headwind_m_s, through), through

    def hold_legs(self, share: float) -> Bools:
        """Which drives may hold every leg at a share of its wished speed."""
        return self._able(self._legs(share)[0])

    def asked(self, spans: Sequence[Span] = (AS_WISHED,)) -> tuple[Floats, Floats]:
        """(ampere-hours, watt-hours) the outing asks of the bank at the least.

        Ampere-hours count where the motor's own steps rule, watt-hours where a chopper does. A
        drive too weak for a leg runs it at its full setting, as slow as that may be. Of several
        spans of speeds the most modest.
        """
        each = [self._asked(span) for span in spans]
        return np.min([ah for ah, _ in each], axis=0), np.min([wh for _, wh in each], axis=0)

    def _asked(self, span: Span) -> tuple[Floats, Floats]:
        slow, fast = span
        case, drive = self.types.case, self.types.day.drive
        drop = case.outing.limits.voltage_drop
        ratio, _ = self._legs(slow)
        through = self._legs(fast)[1]
        hours = case.legs.hours_at(case.legs.ground_m_s * fast)
        weak, ratio = ratio > self._reach, np.minimum(ratio, self._reach)

        def motor_a(at: Floats) -> Floats:
            return drive.motor_a(
                np.maximum(at, VERTEX * through / drive.no_thrust_speed_m_s), through
            )

        device_wh = sum(d.power_w * d.duration_h for d in case.outing.devices) / DEVICE_EFFICIENCY
        most_v = float(self.types.bank["voltage_v"].max(initial=1.0))
        ah = (motor_a(drive.step_ratio(ratio * UNDER)) * hours).sum(axis=0) + device_wh / most_v
        power_w = drive.power_w(ratio, motor_a(ratio)) / ((1.0 - drop) * drive.efficiency)
        full_w = drive.current_a * drive.system_v * (self._reach + drop)
        power_w = np.where(weak, np.minimum(power_w, full_w), power_w)
        wh = (power_w * hours).sum(axis=0) + device_wh
        slack = UNDER if span == AS_WISHED else FAR_UNDER
        return ah * slack, wh * slack
