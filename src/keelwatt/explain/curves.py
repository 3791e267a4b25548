"""What a kit does over speed and along its day, as curves to draw."""

from dataclasses import dataclass
from itertools import pairwise
from math import inf

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.boat.running import Running
from keelwatt.explain.advise import Advice
from keelwatt.proof import Proof

POINTS = 120
"""Speeds on a curve, besides the legs' own."""

BEYOND = 1.06
"""Curves run this far past the fastest of the kit's reach and the legs."""

STRAIGHT_AH = 1e-7
"""A corner of the day's curve bends by more than this."""


@dataclass(frozen=True)
class Curve:
    """Thrust and battery current over speed through the water, in one wind, stream and depth.

    ``battery_a`` is shorter than the others where the motor does not reach the last speeds; like
    the proof's, it counts the whole allowed voltage drop.
    """

    headwind_m_s: float
    stream_m_s: float
    depth_m: float
    speeds_m_s: Floats
    thrust_n: Floats
    battery_a: Floats

    @property
    def calm(self) -> bool:
        return self.headwind_m_s == self.stream_m_s == 0.0 and self.depth_m == inf


@dataclass(frozen=True)
class LegPoint:
    """Where a leg lies on its curve: speed through the water, thrust, battery current."""

    name: str
    speed_m_s: float
    thrust_n: float
    battery_a: float


@dataclass(frozen=True)
class Curves:
    """Calm water first, then the water of every leg that has other; the legs in order."""

    curves: tuple[Curve, ...]
    legs: tuple[LegPoint, ...]


def speed_curves(advice: Advice, proof: Proof) -> Curves:
    """The chosen kit over speed; the legs' points are the proof's own."""
    case, kit, chosen = advice.case, proof.assessment.kit, proof.chosen
    parts = (chosen.battery, chosen.motor, chosen.controller)
    displacement_kg = proof.assessment.totals.displacement_kg
    running = Running.of_kit(case, kit, parts, displacement_kg)
    through = case.water_speeds_m_s
    fastest = BEYOND * max(float(running.reached_m_s()[0]), float(through.max()))
    speeds = np.unique(np.concatenate([np.linspace(0.0, fastest, POINTS), through]))

    def curve(headwind: float, stream: float, depth: float) -> Curve:
        speed = speeds[speeds >= stream]
        speed = speed[speed <= case.shallow_limit_m_s(depth, displacement_kg)]
        water = np.array([headwind]), np.array([stream]), np.array([depth])
        point = running.at(speed - stream, *water)
        upto = speed.size if point.feasible.all() else int(np.argmin(point.feasible))
        return Curve(headwind, stream, depth, speed, point.thrust_n, point.battery_a[:upto])

    legs = case.outing.legs
    waters = [(leg.headwind_m_s, leg.current_m_s, leg.depth_m or inf) for leg in legs]
    return Curves(
        tuple(curve(*water) for water in dict.fromkeys([(0.0, 0.0, inf), *waters])),
        tuple(
            LegPoint(leg.name, float(speed), leg.thrust_n, leg.battery_a)
            for leg, speed in zip(proof.assessment.legs, through, strict=True)
        ),
    )


def charge_left(proof: Proof) -> tuple[tuple[float, float], ...]:
    """(h, Ah) at every corner of the simulated day, from the full bank on."""
    walked = [(0.0, proof.full_ah), *((m.at_h, m.left_ah) for m in proof.minutes)]
    corners = walked[:1]
    for here, after in pairwise(walked[1:]):
        (h0, ah0), (h1, ah1), (h2, ah2) = corners[-1], here, after
        straight = ah0 + (ah2 - ah0) * (h1 - h0) / (h2 - h0) if h2 > h0 else ah0
        if abs(ah1 - straight) > STRAIGHT_AH:
            corners.append(here)
    return (*corners, walked[-1])
