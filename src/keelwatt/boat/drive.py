"""Motors with their control: thrust into shaft speed, voltage and current."""

from dataclasses import dataclass, replace

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, Record
from keelwatt.boat.load_case import LoadCase
from keelwatt.files.catalog.parts import Controller, Motor
from keelwatt.files.kit import grams
from keelwatt.files.outing import Mount
from keelwatt.physics import drag, propeller
from keelwatt.physics import motor as motor_physics
from keelwatt.physics.chopper import box_area_m2, box_rise_k
from keelwatt.physics.steps import series_resistance_ohm, step_currents_a

OPEN = np.inf
"""Resistance of a switch that is off."""


@dataclass(frozen=True)
class Drive(Record):
    """Motors with their control; ``current_a`` and ``thrust_n`` tethered, at full throttle.
    ``step_ohm``, shape (steps, n), is what each step puts before the motor: from ``OPEN``, where
    there are fewer steps than rows, to 0 at full. ``efficiency`` is 1 where no chopper drives.
    ``shaft_m`` hangs down from ``hung_m`` above the keel. ``warming_k_w`` is how much each watt of
    the bank warms a separate control in its closed box, ``warmest_c`` what that stands: 0 and no
    end where there is none."""

    mass_g: Ints
    system_v: Floats
    current_a: Floats
    no_load_a: Floats
    thrust_n: Floats
    no_thrust_speed_m_s: Floats
    winding: Floats
    chopper: Bools
    step_ohm: Floats
    efficiency: Floats
    tube_m: Floats
    pod_m: Floats
    shaft_m: Floats
    hung_m: Floats
    warming_k_w: Floats
    warmest_c: Floats

    @classmethod
    def of_parts(
        cls, case: LoadCase, motor: Motor, controller: Controller | None, mount: Mount
    ) -> "Drive":
        chopper = controller is not None or motor.control == "chopper"
        mass_g = grams(motor.mass_kg) + (grams(controller.mass_kg) if controller else 0)
        thrust_n, speed_m_s = case.thrust_n(motor), case.no_thrust_speed_m_s(motor)
        own = (mass_g, motor.system_v, motor.current_a, motor.no_load_a, thrust_n, speed_m_s)
        control = (motor.winding, chopper, step_ohm(motor)[:, None])
        efficiency = controller.efficiency if controller else motor.efficiency
        hung = (motor.tube_m, motor.pod_m, motor.shaft_m, mount.z_m)
        values = (*own, *control, efficiency, *hung, *warming(case, controller))
        return cls(*map(np.asarray, values))

    def drag_n(self, through_m_s: Floats, draft_m: Floats, density_kg_m3: float) -> Floats:
        drag_n = drag.shaft_and_pod_n(
            speed_m_s=through_m_s,
            density_kg_m3=density_kg_m3,
            wet_tube_m=self.shaft_m - self.hung_m + draft_m,
            tube_m=self.tube_m,
            pod_m=self.pod_m,
        )
        return np.asarray(drag_n)

    def shaft_ratio(self, thrust_n: Floats, through_m_s: Floats) -> Floats:
        """Shaft speed, of that tethered at full throttle, for a thrust at a speed."""
        shaft_ratio = propeller.shaft_ratio(
            thrust_fraction=thrust_n / self.thrust_n,
            speed_fraction=through_m_s / self.no_thrust_speed_m_s,
        )
        return np.asarray(shaft_ratio)

    def driven_ratio(self, supply_v: Floats, through_m_s: Floats, series_ohm: Floats) -> Floats:
        """Shaft speed that a voltage gives behind a resistance."""
        driven_ratio = motor_physics.shaft_ratio_at_voltage(
            voltage_fraction=supply_v / self.system_v,
            speed_fraction=through_m_s / self.no_thrust_speed_m_s,
            no_load_fraction=self.no_load_a / self.current_a,
            winding_fraction=self.winding,
            series_fraction=series_ohm * self.current_a / self.system_v,
        )
        return np.asarray(driven_ratio)

    def motor_a(self, shaft_ratio: Floats, through_m_s: Floats) -> Floats:
        fraction = motor_physics.current_fraction(
            shaft_ratio=shaft_ratio,
            speed_fraction=through_m_s / self.no_thrust_speed_m_s,
            no_load_fraction=self.no_load_a / self.current_a,
        )
        return np.asarray(self.current_a * fraction)

    def pulling(self, share: Floats) -> "Drive":
        """The same with another thrust; a propeller that pulls less pulls no more at less speed."""
        speed = self.no_thrust_speed_m_s * np.sqrt(share)
        return replace(self, thrust_n=self.thrust_n * share, no_thrust_speed_m_s=speed)

    def rated_a(self, fresh_v: Floats) -> Floats:
        """What all that carries current must stand: full throttle, tethered, on a fresh bank."""
        rest = np.zeros(1)
        amperes = self.motor_a(self.driven_ratio(fresh_v, rest, rest), rest)
        return np.asarray(motor_physics.rated_current_a(current_a=amperes))

    def motor_v(self, shaft_ratio: Floats, motor_a: Floats) -> Floats:
        fraction = motor_physics.voltage_fraction(
            shaft_ratio=shaft_ratio,
            current_fraction=motor_a / self.current_a,
            winding_fraction=self.winding,
        )
        return np.asarray(self.system_v * fraction)


def warming(case: LoadCase, controller: Controller | None) -> tuple[float, float]:
    """See ``Drive``: kelvin a watt drawn from the bank, and the warmest the control may be."""
    box = case.outing.craft.control_box
    if box is None or controller is None:
        return 0.0, np.inf
    area_m2 = box_area_m2(length_m=box.length_m, width_m=box.width_m, height_m=box.height_m)
    rise = box_rise_k(power_w=1.0, efficiency=controller.efficiency, area_m2=area_m2)
    return float(rise), controller.max_temperature_c


def step_ohm(motor: Motor) -> Floats:
    """What each step of a motor's own switch puts before it, shape (steps,); 0 for a chopper."""
    if motor.control == "chopper":
        return np.zeros(1)
    currents = motor.step_currents_a or step_currents_a(
        max_current_a=motor.current_a, steps=motor.steps
    )
    step_ohm = series_resistance_ohm(
        step_current_a=np.asarray(currents),
        max_current_a=motor.current_a,
        no_load_a=motor.no_load_a,
        nominal_voltage_v=motor.system_v,
        winding_fraction=motor.winding,
    )
    return np.asarray(step_ohm)
