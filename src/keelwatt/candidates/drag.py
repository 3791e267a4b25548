"""Thrust asked for at any displacement, from one evaluation of the wave integral per outing."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from keelwatt.facts import Facts

Floats = npt.NDArray[np.float64]

NODES = 12
"""Chebyshev nodes over the displacements. Friction and the waves on each rung of a ladder of speeds
are smooth in draft, their running maximum over the rungs is not: so it is taken last, and the
error left is below ``SAFE_SIDE`` (tested against the exact integral)."""

RUNGS = 129
"""Speeds of a ladder from 0 to the fastest motor's no-thrust speed."""

SAFE_SIDE = 1e-5
"""Relative addition to the water's resistance that keeps the interpolation on the safe side."""


@dataclass(frozen=True)
class Drag:
    """Resistance of the legs, and of the wished top speed, between two displacements.

    ``friction_n``, shape (speeds, NODES), and ``rung_waves_n``, shape (rungs, NODES), hold its
    parts at the nodes; ``ladder_n`` the whole, drag factor and safe side included, for RUNGS speeds
    from 0 to ``fastest_m_s``.
    """

    facts: Facts
    low_kg: float
    high_kg: float
    fastest_m_s: float
    speeds_m_s: Floats
    nodes: Floats
    weights: Floats
    friction_n: Floats
    rung_waves_n: Floats
    ladder_n: Floats

    @classmethod
    def of(cls, facts: Facts, low_kg: float, high_kg: float, fastest_m_s: float) -> "Drag":
        top = facts.outing.limits.top_speed_m_s
        speeds = np.append(facts.water_speeds_m_s, [] if top is None else [top])
        ladder = np.linspace(0.0, fastest_m_s, RUNGS)
        angles = (2 * np.arange(NODES) + 1) * np.pi / (2 * NODES)
        nodes = np.cos(angles)
        weights = np.where(np.arange(NODES) % 2, -1.0, 1.0) * np.sin(angles)
        displacement = low_kg + (nodes + 1.0) / 2.0 * (high_kg - low_kg)
        rungs = facts.rung_waves_n(max(fastest_m_s, float(speeds.max())), displacement)
        ladder_n = facts.water_on_rungs_n(ladder, displacement, rungs)
        return cls(
            facts,
            low_kg,
            high_kg,
            fastest_m_s,
            speeds,
            nodes,
            weights,
            facts.friction_n(speeds[:, None], displacement),
            rungs[: facts.rungs_for(float(speeds.max()))],
            ladder_n * (1.0 + SAFE_SIDE),
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
        waves = facts.waves_n(self.speeds_m_s, self.rung_waves_n @ shares)
        water = facts.outing.craft.drag_factor * (self.friction_n @ shares + waves)
        return np.asarray(water * (1.0 + SAFE_SIDE) + air[:, None])

    def shares(self, displacement_kg: Floats) -> Floats:
        """Each Chebyshev node's share in barycentric interpolation, shape (NODES, n)."""
        span = max(self.high_kg - self.low_kg, 1e-9)
        at = 2.0 * (displacement_kg - self.low_kg) / span - 1.0
        gap = at[None, :] - self.nodes[:, None]
        hit = np.abs(gap) < 1e-14
        share = self.weights[:, None] / np.where(hit, 1.0, gap)
        share = np.where(hit.any(axis=0), hit, share)
        return np.asarray(share / share.sum(axis=0))

    def ladder_water_n(self, speed_m_s: Floats, shares: Floats) -> Floats:
        """At speeds (n,) and the shares (NODES, n) of as many displacements, linear between rungs.

        Resistance bends upwards but for the humps, so the chord is on the safe side or close to it.
        """
        at = speed_m_s * (RUNGS - 1) / self.fastest_m_s
        rung = np.clip(at.astype(np.int64), 0, RUNGS - 2)
        low = np.einsum("nk,kn->n", self.ladder_n[rung], shares)
        high = np.einsum("nk,kn->n", self.ladder_n[rung + 1], shares)
        return np.asarray(low + (at - rung) * (high - low))
