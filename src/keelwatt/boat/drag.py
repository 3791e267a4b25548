"""Thrust asked for at any displacement, from one evaluation of the wave integral per outing."""

from dataclasses import dataclass
from math import ceil, log, sqrt

import numpy as np
import numpy.typing as npt

from keelwatt.boat.facts import Facts

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

RESOLVED = 1e-6
"""How far the Chebyshev series over the displacements is taken, as a share of its first term.
Friction and the waves on each rung of a ladder of speeds are smooth in draft, their running maximum
over the rungs is not: so it is taken last, and the error left is below ``SAFE_SIDE`` (tested
against the exact integral)."""

SAFE_SIDE = 1e-5
"""Relative addition to the water's resistance that keeps the interpolation on the safe side."""


def nodes_for(low_kg: float, high_kg: float) -> int:
    """How many Chebyshev nodes two displacements want between them.

    The series falls as rho**-n, rho being the sum of the half axes of the largest ellipse about
    the interval in which the function is analytic, here up to a displacement of nothing
    (Trefethen, Approximation Theory and Approximation Practice, 2013, theorem 8.2).
    """
    centre = (high_kg + low_kg) / max(high_kg - low_kg, 1e-9)
    return max(4, ceil(-log(RESOLVED) / log(centre + sqrt(centre**2 - 1.0))))


@dataclass(frozen=True)
class Drag:
    """Resistance of the legs, and of the wished top speed, between two displacements.

    ``friction_n``, shape (speeds, nodes), and ``rung_waves_n``, shape (rungs, nodes), hold its
    parts at the nodes, for rungs enough for the fastest motor; ``wetted_m2`` the wetted surface.
    """

    facts: Facts
    low_kg: float
    high_kg: float
    speeds_m_s: Floats
    nodes: Floats
    weights: Floats
    friction_n: Floats
    rung_waves_n: Floats
    wetted_m2: Floats

    @classmethod
    def of(cls, facts: Facts, low_kg: float, high_kg: float, fastest_m_s: float) -> "Drag":
        top = facts.outing.limits.top_speed_m_s
        speeds = np.append(facts.water_speeds_m_s, [] if top is None else [top])
        count = nodes_for(low_kg, high_kg)
        angles = (2 * np.arange(count) + 1) * np.pi / (2 * count)
        nodes = np.cos(angles)
        weights = np.where(np.arange(count) % 2, -1.0, 1.0) * np.sin(angles)
        displacement = low_kg + (nodes + 1.0) / 2.0 * (high_kg - low_kg)
        return cls(
            facts,
            low_kg,
            high_kg,
            speeds,
            nodes,
            weights,
            facts.friction_n(speeds[:, None], displacement),
            facts.rung_waves_n(max(fastest_m_s, float(speeds.max())), displacement),
            facts.wetted_surface_m2(displacement),
        )

    def thrusts_n(self, displacement_kg: Floats) -> Floats:
        """Thrust of every leg, and last of the top speed if one is wished.

        ``displacement_kg`` has shape (n,); the answer (legs or legs + 1, n).
        """
        facts = self.facts
        legs = len(facts.outing.legs)
        air = facts.air_n(facts.ground_speeds_m_s, facts.headwinds_m_s)
        air = np.append(air, facts.air_n(self.speeds_m_s[legs:], 0.0))
        shares = self.shares(displacement_kg)
        needed = self.rung_waves_n[: facts.rungs_for(float(self.speeds_m_s.max()))]
        waves = facts.waves_n(self.speeds_m_s, needed @ shares)
        water = facts.outing.craft.drag_factor * (self.friction_n @ shares + waves)
        return np.asarray(water * (1.0 + SAFE_SIDE) + air[:, None])

    def shares(self, displacement_kg: Floats) -> Floats:
        """Each Chebyshev node's share in barycentric interpolation, shape (nodes, n)."""
        span = max(self.high_kg - self.low_kg, 1e-9)
        at = 2.0 * (displacement_kg - self.low_kg) / span - 1.0
        gap = at[None, :] - self.nodes[:, None]
        hit = np.abs(gap) < 1e-14
        share = self.weights[:, None] / np.where(hit, 1.0, gap)
        share = np.where(hit.any(axis=0), hit, share)
        return np.asarray(share / share.sum(axis=0))

    def waters(self, displacement_g: Ints) -> "Waters":
        """The resistance at any speed; ``displacement_g`` has shape (n,)."""
        facts = self.facts
        grams, column = np.unique(displacement_g, return_inverse=True)
        shares = self.shares(grams / 1000.0)
        rungs = facts.rung_speeds_m_s(len(self.rung_waves_n))[:-1]
        crests = facts.waves_n(rungs, self.rung_waves_n @ shares)
        return Waters(facts, rungs**4, column, self.wetted_m2 @ shares, crests)


@dataclass(frozen=True)
class Waters:
    """The water's resistance at any speed, for many displacements.

    ``column`` is each displacement's place among the different ones. Waves are straight in the
    fourth power of speed between the rungs' ``crests_n``, shape (rungs, different displacements).
    """

    facts: Facts
    fourth: Floats
    column: Ints
    wetted_m2: Floats
    crests_n: Floats

    def resistance_n(self, speed_m_s: Floats, of: Ints) -> Floats:
        """At one speed for each of the numbered displacements, shape as ``of``."""
        column = self.column[of]
        at = speed_m_s**4
        above = np.clip(np.searchsorted(self.fourth, at), 1, self.fourth.size - 1)
        start, low = self.fourth[above - 1], self.crests_n[above - 1, column]
        share = (at - start) / (self.fourth[above] - start)
        waves = low + share * (self.crests_n[above, column] - low)
        friction = self.facts.friction_on_n(speed_m_s, self.wetted_m2[column])
        factor = self.facts.outing.craft.drag_factor * (1.0 + SAFE_SIDE)
        return np.asarray(factor * (friction + waves))
