"""Logs of boats whose motor or hull is not what was claimed, by the proof's own physics alone."""

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache, cached_property
from typing import Any

import numpy as np

from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.log import LogRow, TripLog
from keelwatt.files.outing import Leg, Outing
from keelwatt.physics.shapes import HULL_SHAPES
from keelwatt.physics.steps import StepMotor
from keelwatt.proof import Assessor
from keelwatt.proof.drive import Drive
from physics.laws import step_running
from tuning.made_logs import CHOPPER, STEPPED, Floats, example, shipped

WINDS_M_S = (0.0, 2.5, -2.5)
THROTTLED = (0.4, 0.55, 0.7, 0.85, 0.99)
"""Shares of the full speed at which a boat with a chopper is measured."""


@dataclass(frozen=True)
class Boat:
    """A boat as it is: ``thrust`` is a share of the motor's claim, ``drag`` of the outing's.

    The outing says what is planned. ``no_thrust_m_s``: as in the catalog, None where it is blank
    and follows from the thrust.
    """

    outing: Outing
    kit: Kit
    motor_n: float
    propeller_m: float
    thrust: float
    drag: float = 1.0
    no_thrust_m_s: float | None = None

    @property
    def claimed(self) -> Catalog:
        return self._catalog(thrust_n=self.motor_n, thrust_is="claimed")

    def _catalog(self, **motor: Any) -> Catalog:
        own = {"propeller_m": self.propeller_m, "no_thrust_speed_m_s": self.no_thrust_m_s}
        motors = tuple(
            part.model_copy(update={**own, **motor}) if part.id == self.kit.motor else part
            for part in shipped().motors
        )
        return replace(shipped(), motors=motors)

    def true(self, legs: tuple[Leg, ...] | None = None) -> Assessor:
        """Of the boat as it is, on the outing's legs or on others."""
        craft = self.outing.craft
        craft = craft.model_copy(update={"drag_factor": self.drag * craft.drag_factor})
        day = self.outing.model_copy(update={"craft": craft, "legs": legs or self.outing.legs})
        thrust_n = self.thrust * self.motor_n
        return Assessor(day, self._catalog(thrust_n=thrust_n, thrust_is="measured"))

    @cached_property
    def grams(self) -> int:
        return self.true().assess(self.kit).totals.displacement_g

    @property
    def drive(self) -> Drive:
        assessor = self.true()
        return assessor.drive(self.kit, assessor.chosen(self.kit), self.grams)

    def parts_n(self, speed_m_s: Floats, headwind_m_s: float = 0.0) -> tuple[Floats, Floats]:
        """(what a drag factor multiplies, all else that holds against the boat as it is)."""
        craft = self.true().craft
        hull_n = craft.water_n(speed_m_s, self.grams / 1000.0) / craft.outing.craft.drag_factor
        rest_n = self.drive.drag_n(speed_m_s) + craft.air_n(speed_m_s, headwind_m_s)
        return np.asarray(hull_n), np.asarray(rest_n)

    def told(self, speed_m_s: Floats) -> Floats:
        """The drag factor that, with the thrust as planned, gives this boat's R/T0 in calm air."""
        hull_n, rest_n = self.parts_n(speed_m_s)
        whole_n = self.drag * self.outing.craft.drag_factor * hull_n + rest_n
        planned = self.outing.policy.claimed_thrust / self.thrust
        return np.asarray((whole_n * planned - rest_n) / hull_n)

    @cached_property
    def _known(self) -> dict[float, tuple[Floats, Floats]]:
        return {}

    def steps(self, headwind_m_s: float) -> tuple[Floats, Floats]:
        """(speed, current) at which every step settles, the bank at nominal voltage."""
        if headwind_m_s not in self._known:
            self._known[headwind_m_s] = self._settled(headwind_m_s)
        return self._known[headwind_m_s]

    def _settled(self, headwind_m_s: float) -> tuple[Floats, Floats]:
        drive, motor = self.drive, self.true().chosen(self.kit).motor
        factor = self.drag * self.outing.craft.drag_factor

        def resistance_n(speed_m_s: Floats) -> Floats:
            hull_n, rest_n = self.parts_n(speed_m_s, headwind_m_s)
            return factor * hull_n + rest_n

        of = StepMotor(
            drive.plan.thrust_n,
            drive.plan.no_thrust_speed_m_s,
            motor.current_a,
            motor.no_load_a,
            motor.system_v,
            motor.winding,
        )
        found = step_running(
            motor=of,
            series_ohm=drive.step_ohm,
            supply_voltage_v=drive.supply_v,
            resistance_n=resistance_n,
        )
        return found.speed_m_s, found.current_a

    def volts(self, amperes: float) -> float:
        """At the battery, where the plan's whole drop leaves what it counts at the motor."""
        assessor = self.true()
        ohm = assessor.circuit_ohm(self.kit, assessor.chosen(self.kit))
        return self.drive.supply_v + amperes * ohm


@cache
def random_boat(seed: int, *, stepped: bool, thrust: float, drag: float = 1.0) -> Boat:
    """Invented, with a day of legs that its drive can do as it is."""
    draw = random.Random(seed)
    shape, length = draw.choice(sorted(HULL_SHAPES)), draw.uniform(3.6, 5.5)
    hull = {
        "shape": shape,
        **HULL_SHAPES[shape]._asdict(),
        "waterline_length_m": length,
        "waterline_beam_m": length / draw.uniform(4.5, 6.0),
        "hull_mass_kg": draw.uniform(25.0, 60.0),
    }
    craft = example().craft.model_copy(update=hull)
    outing = example().model_copy(update={"craft": craft, "devices": ()})
    motor = draw.uniform(130.0, 240.0), draw.uniform(0.20, 0.26)
    boat = Boat(outing, STEPPED if stepped else CHOPPER, *motor, thrust, drag)
    fastest = float(boat.steps(0.0)[0][-1])
    legs = tuple(leg(share * fastest, draw.choice(WINDS_M_S)) for share in (0.45, 0.6, 0.75, 0.85))
    return replace(boat, outing=outing.model_copy(update={"legs": legs}))


def leg(speed_m_s: float, headwind_m_s: float = 0.0) -> Leg:
    name = f"{speed_m_s:.3f}"
    return Leg(name=name, speed_m_s=speed_m_s, duration_h=1.0, headwind_m_s=headwind_m_s)


@dataclass(frozen=True)
class Noise:
    """One standard deviation of speed [m/s] and of current [share]."""

    speed_m_s: float = 0.03
    current: float = 0.02


def proved_log(
    boat: Boat,
    *,
    settings: bool = False,
    noise: Noise | None = None,
    winds_m_s: tuple[float, ...] = WINDS_M_S,
) -> TripLog:
    """What meters show on the boat as it is."""
    rng, noise = np.random.default_rng(1), noise or Noise()
    rows: dict[int, LogRow] = {}
    for wind in winds_m_s:
        for speed, amperes, setting in _steady(boat, wind):
            rows[len(rows) + 2] = LogRow(
                speed_m_s=max(0.0, speed + noise.speed_m_s * rng.standard_normal()),
                current_a=amperes * (1.0 + noise.current * rng.standard_normal()),
                voltage_v=boat.volts(amperes),
                headwind_m_s=wind,
                **(setting if settings else {}),
            )
    return TripLog("log.csv", rows)


def _steady(boat: Boat, wind: float) -> Iterator[tuple[float, float, dict[str, Any]]]:
    speeds, currents = boat.steps(wind)
    if boat.kit.controller is None:
        for at, (speed, amperes) in enumerate(zip(speeds, currents, strict=True)):
            yield float(speed), float(amperes), {"step": at + 1}
        return
    legs = tuple(leg(float(share * speeds[-1]), wind) for share in THROTTLED)
    for each in boat.true(legs).assess(boat.kit).legs:
        yield each.speed_m_s, each.battery_a, {"throttle": each.throttle}


def trip_log(boat: Boat, *speeds_m_s: float, hours: float = 2.0) -> TripLog:
    """A whole trip at each mean speed, as the charger tells it: lead-acid keeps 0.9 of that."""
    legs = boat.true(tuple(map(leg, speeds_m_s))).assess(boat.kit).legs
    rows = {
        at + 2: LogRow(
            speed_m_s=each.speed_m_s,
            voltage_v=boat.volts(each.battery_a) if boat.kit.controller else None,
            duration_h=hours,
            charged_ah=each.battery_a * hours / 0.9,
        )
        for at, each in enumerate(legs)
    }
    return TripLog("log.csv", rows)
