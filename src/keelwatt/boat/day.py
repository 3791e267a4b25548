"""The outing for many pairs of bank and drive at once."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from keelwatt.boat.drag import Drag
from keelwatt.boat.facts import Facts
from keelwatt.files.kit import just_above
from keelwatt.physics import battery as battery_physics
from keelwatt.physics import motor as motor_physics
from keelwatt.physics import propeller

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int64]
Columns = dict[str, npt.NDArray[Any]]
"""A table's numeric columns by name."""


@dataclass(frozen=True)
class Day:
    """The outing for many pairs at once; ``bank`` and ``drive`` hold a column's value a type."""

    facts: Facts
    drag: Drag
    bank: Columns
    drive: Columns

    def meets(
        self, bank_type: Ints, drive_type: Ints, displacement_g: Ints
    ) -> tuple[dict[str, Bools], dict[str, Floats]]:
        """Which demands these pairs meet at these displacements, and how they do.

        Every array has shape (n,); the second kind is that of ``Pairs.lightest``.
        """
        facts = self.facts
        bank = {k: v[bank_type] for k, v in self.bank.items()}
        drive = {k: v[drive_type] for k, v in self.drive.items()}
        legs = len(facts.outing.legs)
        grams, back = np.unique(displacement_g, return_inverse=True)
        thrust = self.drag.thrusts_n(grams / 1000.0)[:, back]
        ratio, speed = ratio_of(drive, thrust, self.drag.speeds_m_s[:, None])
        reaches, amperes = self.reaches(bank, drive, ratio, speed)
        used = self.used_ah(bank, amperes[:legs], facts.durations_h[:, None])
        hours = facts.outing_hours * over(bank["usable_ah"], used)
        return (
            {
                "leg_speed": np.asarray(reaches[:legs].all(axis=0)),
                "top_speed": np.asarray(reaches[legs:].all(axis=0)),
                "hours": used <= just_above(bank["usable_ah"]),
            },
            {
                "leg_speed": ratio[:legs].max(axis=0),
                "top_speed": ratio[legs:].max(axis=0, initial=0.0),
                "hours": hours,
            },
        )

    def full_throttle_a(self, bank_type: Ints, drive_type: Ints) -> Floats:
        """What these pairs draw tethered at full throttle with every device on, shape (n,)."""
        volts = self.bank["voltage_v"][bank_type]
        drive = {k: v[drive_type] for k, v in self.drive.items()}
        devices = sum(
            battery_physics.device_current_a(power_w=device.power_w, bank_voltage_v=volts)
            for device in self.facts.outing.devices
        )
        chopped = motor_physics.chopper_current_a(
            motor_power_w=drive["system_v"] * drive["current_a"],
            efficiency=drive["efficiency"],
            drop_fraction=self.facts.outing.limits.voltage_drop,
            bank_voltage_v=volts,
        )
        return np.asarray(np.where(drive["chopper"], chopped, drive["current_a"]) + devices)

    def battery_a(self, bank: Columns, drive: Columns, ratio: Floats, speed: Floats) -> Floats:
        drop = self.facts.outing.limits.voltage_drop
        stepped = motor_physics.step_ratio(shaft_ratio=np.minimum(ratio, 1.0), steps=drive["steps"])
        reach = self.facts.shaft_reach(bank["voltage_v"], drive["system_v"])
        ratio = np.where(drive["chopper"], np.minimum(ratio, reach), stepped)
        motor_a = np.maximum(
            0.0,
            motor_physics.current_a(
                shaft_ratio=ratio,
                speed_fraction=speed,
                max_current_a=drive["current_a"],
                no_load_a=drive["no_load_a"],
            ),
        )
        chopped = motor_physics.chopper_current_a(
            motor_power_w=motor_physics.power_w(
                shaft_ratio=ratio, voltage_v=drive["system_v"], current_a=motor_a
            ),
            efficiency=drive["efficiency"],
            drop_fraction=drop,
            bank_voltage_v=bank["voltage_v"],
        )
        return np.asarray(np.where(drive["chopper"], chopped, motor_a))

    def reaches(
        self, bank: Columns, drive: Columns, ratio: Floats, speed: Floats
    ) -> tuple[Bools, Floats]:
        """Whether motors turn that fast within the drop and the harness; the bank's current."""
        amperes = self.battery_a(bank, drive, ratio, speed)
        reaches = ratio <= self.facts.shaft_reach(bank["voltage_v"], drive["system_v"])
        return reaches & (~drive["chopper"] | (amperes <= drive["current_a"])), amperes

    def used_ah(self, bank: Columns, leg_a: Floats, durations_h: Floats) -> Floats:
        strings = bank["parallel"]

        def charge(duration_h: float | Floats, amperes: Floats) -> Floats:
            used: Floats = strings * np.asarray(
                battery_physics.charge_used_ah(
                    duration_h=duration_h,
                    current_a=amperes / strings,
                    capacity_ah=bank["capacity_ah"],
                    rated_h=bank["rated_h"],
                    peukert=bank["peukert"],
                )
            )
            return used

        used = charge(durations_h, leg_a).sum(axis=0)
        for device in self.facts.outing.devices:
            amperes = battery_physics.device_current_a(
                power_w=device.power_w, bank_voltage_v=bank["voltage_v"]
            )
            used = used + charge(device.duration_h, np.asarray(amperes))
        return np.asarray(used)


def ratio_of(drive: Columns, thrust_n: Floats, water_speed_m_s: Floats) -> tuple[Floats, Floats]:
    """(shaft ratio, speed over the no-thrust speed)."""
    speed = water_speed_m_s / drive["no_thrust_speed_m_s"]
    ratio = propeller.shaft_ratio(
        thrust_fraction=thrust_n / drive["thrust_n"], speed_fraction=speed
    )
    return np.asarray(ratio), np.asarray(speed)


def over(dividend: Floats, divisor: Floats) -> Floats:
    """Without end where the divisor is 0."""
    return np.asarray(
        np.divide(dividend, divisor, out=np.full(divisor.shape, np.inf), where=divisor > 0.0)
    )
