"""What a kit does over speed and along its day, as curves to draw."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from keelwatt.boat.day import Floats
from keelwatt.explain.advise import Advice
from keelwatt.physics import propeller
from keelwatt.prove import Assessor, Proof

POINTS = 120
"""Speeds on a curve, besides the legs' own."""

BEYOND = 1.06
"""Curves run this far past the fastest of the kit's reach and the legs."""

STRAIGHT_AH = 1e-7
"""A corner of the day's curve bends by more than this."""


@dataclass(frozen=True)
class Curve:
    """Thrust and battery current over speed through the water, in one wind and stream.

    ``battery_a`` is shorter than the others where the motor does not reach the last speeds; like
    the proof's, it counts the whole allowed voltage drop.
    """

    headwind_m_s: float
    stream_m_s: float
    speeds_m_s: Floats
    thrust_n: Floats
    battery_a: Floats

    @property
    def calm(self) -> bool:
        return self.headwind_m_s == self.stream_m_s == 0.0


@dataclass(frozen=True)
class LegPoint:
    """Where a leg lies on its curve: speed through the water, thrust, battery current."""

    name: str
    speed_m_s: float
    thrust_n: float
    battery_a: float


@dataclass(frozen=True)
class Curves:
    """Calm water first, then the wind and stream of every leg that has any; the legs in order."""

    curves: tuple[Curve, ...]
    legs: tuple[LegPoint, ...]


def speed_curves(advice: Advice, proof: Proof) -> Curves:
    """The chosen kit over speed, from the physics that proves it."""
    assessor = Assessor(advice.outing, advice.catalog)
    facts, kit, chosen = advice.table.facts, proof.assessment.kit, proof.chosen
    totals = proof.assessment.totals
    through = facts.water_speeds_m_s
    reached = assessor.speed_reached_m_s(
        kit, chosen, totals.displacement_g, headwind_m_s=0.0, current_m_s=0.0
    )
    fastest = BEYOND * max(reached, float(through.max()))
    speeds = np.unique(np.concatenate([np.linspace(0.0, fastest, POINTS), through]))
    water_n = facts.water_resistance_n(speeds, totals.displacement_kg)

    def curve(headwind: float, stream: float) -> Curve:
        ahead = speeds >= stream
        speed = speeds[ahead]
        thrust = water_n[ahead] + facts.air_n(speed - stream, headwind)
        ratio = np.asarray(
            propeller.shaft_ratio(
                thrust_fraction=thrust / chosen.motor.thrust_n,
                speed_fraction=speed / chosen.motor.no_thrust_speed_m_s,
            )
        )
        reaches = assessor.reaches(kit, chosen, ratio, speed)
        upto = speed.size if reaches.all() else int(np.argmin(reaches))
        _, battery_a = assessor.currents(kit, chosen, ratio[:upto], speed[:upto])
        return Curve(headwind, stream, speed, thrust, np.broadcast_to(battery_a, (upto,)))

    airs = dict.fromkeys((leg.headwind_m_s, leg.current_m_s) for leg in facts.outing.legs)
    return Curves(
        tuple(curve(*air) for air in dict.fromkeys([(0.0, 0.0), *airs])),
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
