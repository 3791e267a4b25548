"""Banks: their voltages through a day, and the charge a day takes."""

from dataclasses import dataclass

import numpy as np

from keelwatt.boat.arrays import Floats, Ints, Record
from keelwatt.files.catalog.parts import Battery
from keelwatt.files.kit import grams
from keelwatt.physics import bank as bank_physics
from keelwatt.physics import battery as battery_physics

FULL_AND_LOW: tuple[bank_physics.State, bank_physics.State] = "fresh", "low"


@dataclass(frozen=True)
class Bank(Record):
    """Banks; ``capacity_ah`` is one string's, ``usable_ah`` what the day may take of all.
    ``fresh_v`` is the voltage of the full bank, ``low_v`` that near the end of the day."""

    mass_g: Ints
    parallel: Ints
    voltage_v: Floats
    fresh_v: Floats
    low_v: Floats
    continuous_a: Floats
    capacity_ah: Floats
    rated_h: Floats
    peukert: Floats
    usable_ah: Floats

    @classmethod
    def of_parts(cls, battery: Battery, series: int, parallel: int, usable_share: float) -> "Bank":
        voltage_v = series * battery.voltage_v
        fresh_v, low_v = (
            bank_physics.bank_voltage_v(
                chemistry=battery.chemistry, nominal_voltage_v=voltage_v, state=state
            )
            for state in FULL_AND_LOW
        )
        mass_g = series * parallel * grams(battery.mass_kg)
        continuous_a = parallel * battery.continuous_a
        rated = (battery.capacity_ah, battery.rated_h, battery.peukert)
        usable_ah = battery.capacity_ah * parallel * usable_share
        volts = (voltage_v, fresh_v, low_v)
        return cls(*map(np.asarray, (mass_g, parallel, *volts, continuous_a, *rated, usable_ah)))

    def device_a(self, power_w: Floats) -> Floats:
        return np.asarray(
            battery_physics.device_current_a(power_w=power_w, bank_voltage_v=self.voltage_v)
        )

    def charge_used_ah(
        self, battery_a: Floats, duration_h: Floats, device_a: Floats, device_h: Floats
    ) -> Floats:
        """Charge that legs, shape (legs, n), and devices take out of the whole bank together."""
        n = np.broadcast_shapes(battery_a.shape[1:], duration_h.shape[1:], device_a.shape[1:])

        def last(values: Floats) -> Floats:
            return np.moveaxis(np.broadcast_to(values, (len(values), *n)), 0, -1)

        charge_used_ah = bank_physics.charge_used_together_ah(
            leg_h=last(duration_h),
            motor_a=last(battery_a),
            device_h=last(device_h),
            device_a=last(device_a),
            strings=self.parallel.astype(float),
            capacity_ah=self.capacity_ah,
            rated_h=self.rated_h,
            peukert=self.peukert,
        )
        return np.asarray(charge_used_ah)
