"""One motor with its control on one bank, at the end of one cable, as the proof works it out."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.files.catalog.parts import Motor
from keelwatt.physics import bank, drag, motor, propeller, steps
from keelwatt.physics.alternation import Between, alternating_current_a, between_steps
from keelwatt.physics.real import Bools, Floats, Real
from keelwatt.proof.model import Chosen

Resistance = Callable[[Floats], Floats]
"""Newtons at speeds through the water, never falling with them."""

NEAR = np.linspace(-1.0, 1.0, 65)
"""Where, in rungs of the coarse ladder round a step's speed, it is looked for again."""


@dataclass(frozen=True)
class Plan:
    """What the outing says of motors: thrust to plan with, its no-thrust speed, voltage lost."""

    thrust_n: float
    no_thrust_speed_m_s: float
    drop: float
    density_kg_m3: float


def plan(part: Motor, *, claimed_share: float, density_kg_m3: float, drop: float) -> Plan:
    """Of a motor; ``drop`` is the share of the bank's voltage the cable may lose."""
    thrust_n = part.thrust_n * (1.0 if part.thrust_is == "measured" else claimed_share)
    speed_m_s = part.no_thrust_speed_m_s or propeller.no_thrust_speed_m_s(
        static_thrust_n=thrust_n, diameter_m=part.propeller_m, density_kg_m3=density_kg_m3
    )
    return Plan(thrust_n, float(speed_m_s), drop, density_kg_m3)


@dataclass(frozen=True)
class Drive:
    """A chosen motor and control on ``series`` of the chosen battery, in a boat of some draft."""

    chosen: Chosen
    plan: Plan
    series: int
    draft_m: float

    @cached_property
    def bank_v(self) -> float:
        return self.chosen.battery.voltage_v * self.series

    @cached_property
    def supply_v(self) -> float:
        """Of a bank at its nominal voltage, after the whole allowed drop: charge is counted so."""
        return self.bank_v * (1.0 - self.plan.drop)

    @cached_property
    def low_v(self) -> float:
        """Of a bank near the day's end: speeds must be reached even then."""
        chemistry = self.chosen.battery.chemistry
        return float(
            bank.bank_voltage_v(chemistry=chemistry, nominal_voltage_v=self.bank_v, state="low")
        )

    @cached_property
    def _tethered(self) -> Real:
        """Shaft speed at full throttle on the full bank."""
        fresh_v = bank.bank_voltage_v(
            chemistry=self.chosen.battery.chemistry, nominal_voltage_v=self.bank_v, state="fresh"
        )
        return self._turned(0.0, 0.0, float(fresh_v))

    @cached_property
    def rated_a(self) -> float:
        """Full throttle, tethered, on the full bank: what all that carries current must stand."""
        return float(motor.rated_current_a(current_a=self.motor_a(self._tethered, 0.0)))

    @property
    def strongest_n(self) -> float:
        """Thrust the mount must stand: as claimed, or what the full bank makes of it."""
        return self.chosen.motor.thrust_n * max(1.0, float(self._tethered) ** 2)

    @property
    def fastest_m_s(self) -> float:
        """Nothing drives a boat faster: the motor turning without load."""
        of = self.chosen.motor
        volts = max(self.supply_v, self.low_v) / of.system_v
        return volts / (1.0 - of.winding) * self.plan.no_thrust_speed_m_s

    def drag_n(self, through_m_s: Real) -> Real:
        """Of tube and pod: the shaft hangs down from the mount, the water begins at the draft."""
        of, speed = self.chosen.motor, np.asarray(through_m_s)
        wet_m = max(0.0, self.draft_m - (self.chosen.mount.z_m - of.shaft_m))
        return drag.shaft_and_pod_n(
            speed_m_s=speed,
            density_kg_m3=self.plan.density_kg_m3,
            wet_tube_m=wet_m,
            tube_m=of.tube_m,
            pod_m=of.pod_m,
        )

    @property
    def _idle(self) -> float:
        return self.chosen.motor.no_load_a / self.chosen.motor.current_a

    def _v(self, through_m_s: Real) -> Real:
        return through_m_s / self.plan.no_thrust_speed_m_s

    def shaft_ratio(self, thrust_n: Real, through_m_s: Real) -> Real:
        return propeller.shaft_ratio(
            thrust_fraction=np.asarray(thrust_n) / self.plan.thrust_n,
            speed_fraction=self._v(through_m_s),
        )

    def _fraction(self, ratio: Real, through_m_s: Real) -> Real:
        """Current over that at full throttle."""
        return motor.current_fraction(
            shaft_ratio=np.asarray(ratio),
            speed_fraction=self._v(through_m_s),
            no_load_fraction=self._idle,
        )

    def volts(self, ratio: Real, through_m_s: Real) -> Real:
        of = self.chosen.motor
        share = motor.voltage_fraction(
            shaft_ratio=np.asarray(ratio),
            current_fraction=self._fraction(ratio, through_m_s),
            winding_fraction=of.winding,
        )
        return of.system_v * share

    def motor_a(self, ratio: Real, through_m_s: Real) -> Real:
        return self.chosen.motor.current_a * self._fraction(ratio, through_m_s)

    def _turned(self, through_m_s: Real, series_ohm: Real, volts: float | None = None) -> Real:
        """Shaft speed behind a resistance, of the bank at its nominal voltage unless said."""
        supply_v = self.supply_v if volts is None else volts
        of = self.chosen.motor
        return motor.shaft_ratio_at_voltage(
            voltage_fraction=supply_v / of.system_v,
            speed_fraction=self._v(through_m_s),
            no_load_fraction=self._idle,
            winding_fraction=of.winding,
            series_fraction=np.asarray(series_ohm) * of.current_a / of.system_v,
        )

    def held_at(self, ratio: Real, through_m_s: Real) -> Real:
        """The shaft speed, or that at full setting where it is out of reach."""
        return np.minimum(ratio, self._turned(through_m_s, 0.0))

    def chopper_a(self, ratio: Real, through_m_s: Real) -> Real:
        """Current of the bank through a chopper."""
        watts = self.volts(ratio, through_m_s) * self.motor_a(ratio, through_m_s)
        return motor.chopper_current_a(
            motor_power_w=watts,
            efficiency=self.chosen.efficiency,
            drop_fraction=self.plan.drop,
            bank_voltage_v=self.bank_v,
        )

    def reaches(self, ratio: Real, through_m_s: Real) -> Bools:
        """Whether the voltage near the day's end turns the motor that fast."""
        return np.asarray(self.volts(ratio, through_m_s) <= self.low_v * (1.0 - self.plan.drop))

    @cached_property
    def step_ohm(self) -> Floats:
        """What each step puts before the motor, shape (steps,)."""
        of = self.chosen.motor
        currents = of.step_currents_a or steps.step_currents_a(
            max_current_a=of.current_a, steps=of.steps
        )
        step_ohm = steps.series_resistance_ohm(
            step_current_a=np.asarray(currents),
            max_current_a=of.current_a,
            no_load_a=of.no_load_a,
            nominal_voltage_v=of.system_v,
            winding_fraction=of.winding,
        )
        return np.asarray(step_ohm)

    def settled_m_s(self, speeds_m_s: Floats, coarse_n: Floats, pull: Resistance) -> Floats:
        """The speed each step settles at, found on a ladder of speeds and then closer by."""
        near = self._on(speeds_m_s, coarse_n)
        close = near[:, None] + NEAR * np.diff(speeds_m_s).max()
        grid = np.unique(np.clip(np.append(speeds_m_s, close), 0.0, speeds_m_s[-1]))
        return self._on(grid, pull(grid))

    def _on(self, speeds_m_s: Floats, resistance_n: Floats) -> Floats:
        of = self.chosen.motor
        motor_ = steps.StepMotor(
            self.plan.thrust_n,
            self.plan.no_thrust_speed_m_s,
            of.current_a,
            of.no_load_a,
            of.system_v,
            of.winding,
        )
        return steps.step_running_on_ladder(
            motor=motor_,
            series_ohm=self.step_ohm,
            supply_voltage_v=self.supply_v,
            speeds_m_s=speeds_m_s,
            resistance_n=resistance_n,
        ).speed_m_s

    def moving(self, wished_m_s: float, settled_m_s: Floats) -> tuple[float, Between]:
        """(mean current, steps alternated) for a mean speed; NaN where full throttle is slower."""
        turned = self._turned(settled_m_s, self.step_ohm)
        return _alternated(wished_m_s, settled_m_s, self.motor_a(turned, settled_m_s))

    def holding(self, thrust_n: float) -> tuple[float, Between]:
        """(mean current, steps alternated) for a mean thrust on a boat at rest."""
        turned = self._turned(0.0, self.step_ohm)
        return _alternated(thrust_n, self.plan.thrust_n * turned**2, self.motor_a(turned, 0.0))


def _alternated(wished: float, reached: Real, amperes: Real) -> tuple[float, Between]:
    reached, amperes = np.asarray(reached), np.asarray(amperes)
    mean = alternating_current_a(wished=wished, reached=reached, current_a=amperes)
    return float(mean), between_steps(wished=wished, reached=reached)
