"""Motor, control and bank as one: from the pull a boat asks for to the charge it takes."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, Record
from keelwatt.files.catalog.parts import Battery, Controller, Motor
from keelwatt.files.kit import grams
from keelwatt.physics import battery as battery_physics
from keelwatt.physics import motor as motor_physics
from keelwatt.physics import propeller

Pull = Callable[[Floats], Floats]
"""Thrust a boat asks for at speeds over ground, shape alike: its whole curve, for a control whose
steps settle where thrust and resistance meet."""


@dataclass(frozen=True)
class Drive(Record):
    """Motors with their control; ``current_a`` and ``thrust_n`` tethered, at full throttle.

    ``steps`` is 1 where a chopper drives, ``efficiency`` 1 where none does.
    """

    mass_g: Ints
    system_v: Floats
    current_a: Floats
    no_load_a: Floats
    thrust_n: Floats
    no_thrust_speed_m_s: Floats
    chopper: Bools
    steps: Ints
    efficiency: Floats

    @classmethod
    def of_parts(cls, motor: Motor, controller: Controller | None) -> "Drive":
        chopper = controller is not None or motor.control == "chopper"
        return cls(
            np.asarray(grams(motor.mass_kg) + (grams(controller.mass_kg) if controller else 0)),
            np.asarray(motor.system_v),
            np.asarray(motor.current_a),
            np.asarray(motor.no_load_a),
            np.asarray(motor.thrust_n),
            np.asarray(motor.no_thrust_speed_m_s),
            np.asarray(chopper),
            np.asarray(1 if chopper else motor.steps),
            np.asarray(controller.efficiency if controller else motor.efficiency),
        )

    def shaft_ratio(self, thrust_n: Floats, through_m_s: Floats) -> Floats:
        """Share of full shaft speed that gives a thrust at a speed through the water."""
        return np.asarray(
            propeller.shaft_ratio(
                thrust_fraction=thrust_n / self.thrust_n,
                speed_fraction=through_m_s / self.no_thrust_speed_m_s,
            )
        )

    def step_ratio(self, shaft_ratio: Floats) -> Floats:
        """Of the lowest step that is fast enough, NaN where none is."""
        return np.asarray(
            motor_physics.step_ratio(shaft_ratio=shaft_ratio, steps=self.steps.astype(float))
        )

    def motor_a(self, shaft_ratio: Floats, through_m_s: Floats) -> Floats:
        amperes = motor_physics.current_a(
            shaft_ratio=shaft_ratio,
            speed_fraction=through_m_s / self.no_thrust_speed_m_s,
            max_current_a=self.current_a,
            no_load_a=self.no_load_a,
        )
        return np.maximum(0.0, amperes)

    def power_w(self, shaft_ratio: Floats, motor_a: Floats) -> Floats:
        return np.asarray(
            motor_physics.power_w(
                shaft_ratio=shaft_ratio, voltage_v=self.system_v, current_a=motor_a
            )
        )


@dataclass(frozen=True)
class Bank(Record):
    """Banks; ``capacity_ah`` is one string's, ``usable_ah`` what the day may take of all."""

    mass_g: Ints
    parallel: Ints
    voltage_v: Floats
    continuous_a: Floats
    capacity_ah: Floats
    rated_h: Floats
    peukert: Floats
    usable_ah: Floats

    @classmethod
    def of_parts(cls, battery: Battery, series: int, parallel: int, usable_share: float) -> "Bank":
        return cls(
            np.asarray(series * parallel * grams(battery.mass_kg)),
            np.asarray(parallel),
            np.asarray(series * battery.voltage_v),
            np.asarray(parallel * battery.continuous_a),
            np.asarray(battery.capacity_ah),
            np.asarray(battery.rated_h),
            np.asarray(battery.peukert),
            np.asarray(battery.capacity_ah * parallel * usable_share),
        )

    def device_a(self, power_w: Floats) -> Floats:
        return np.asarray(
            battery_physics.device_current_a(power_w=power_w, bank_voltage_v=self.voltage_v)
        )

    def charge_used_ah(self, current_a: Floats, duration_h: Floats) -> Floats:
        """Charge a current takes out of the whole bank, its strings sharing it equally."""
        return np.asarray(
            self.parallel
            * battery_physics.charge_used_ah(
                duration_h=duration_h,
                current_a=current_a / self.parallel,
                capacity_ah=self.capacity_ah,
                rated_h=self.rated_h,
                peukert=self.peukert,
            )
        )


@dataclass(frozen=True)
class OperatingPoint:
    """What a drive does on a bank at a speed; what is not ``feasible`` has no true current."""

    thrust_n: Floats
    shaft_ratio: Floats
    battery_a: Floats
    feasible: Bools


@dataclass(frozen=True)
class Powertrain(Record):
    """Drives on banks, by cables that may lose ``drop`` of the voltage."""

    bank: Bank
    drive: Drive
    drop: float

    @property
    def shaft_reach(self) -> Floats:
        """The greatest share of full shaft speed, the whole allowed drop taken off.

        A bank above the motor's nominal voltage earns no credit, one below it reaches less.
        """
        return np.asarray(np.minimum(1.0, self.bank.voltage_v / self.drive.system_v) - self.drop)

    def operating_point(
        self, pull: Pull, ground_m_s: Floats, through_m_s: Floats
    ) -> OperatingPoint:
        """Where these drives run at speeds over ground and through the water, shapes alike.

        Beyond reach a chopper is taken at full setting. On a leg it may not draw more than the
        harness is rated for.
        """
        drive, reach = self.drive, self.shaft_reach
        thrust_n = pull(ground_m_s)
        ratio = drive.shaft_ratio(thrust_n, through_m_s)
        setting = np.where(
            drive.chopper, np.minimum(ratio, reach), drive.step_ratio(np.minimum(ratio, 1.0))
        )
        motor_a = drive.motor_a(setting, through_m_s)
        battery_a = self.battery_a(drive.power_w(setting, motor_a), motor_a)
        within = ~drive.chopper | (battery_a <= drive.current_a)
        return OperatingPoint(thrust_n, ratio, battery_a, np.asarray((ratio <= reach) & within))

    def battery_a(self, motor_w: Floats, motor_a: Floats) -> Floats:
        """Current of the bank for a power and current of the motor."""
        chopped = motor_physics.chopper_current_a(
            motor_power_w=motor_w,
            efficiency=self.drive.efficiency,
            drop_fraction=self.drop,
            bank_voltage_v=self.bank.voltage_v,
        )
        return np.asarray(np.where(self.drive.chopper, chopped, motor_a))

    def full_throttle_a(self, devices_w: float) -> Floats:
        """What the bank gives tethered at full throttle with every device on."""
        drive = self.drive
        motor_a = self.battery_a(drive.system_v * drive.current_a, drive.current_a)
        return np.asarray(motor_a + self.bank.device_a(np.asarray(devices_w)))
