"""Thrust asked for at any displacement, from one evaluation of the wave integral per outing."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from keelwatt.facts import Facts

Floats = npt.NDArray[np.float64]

NODES = 12
"""Chebyshev nodes over the displacements. Resistance is smooth in draft: the error left is below
``SAFE_SIDE`` (tested against the exact integral)."""

SAFE_SIDE = 1e-5
"""Relative addition to the water's resistance that keeps the interpolation on the safe side."""


@dataclass(frozen=True)
class Drag:
    """Resistance of the legs, and of the wished top speed, between two displacements.

    ``water_n`` holds it at the nodes, shape (speeds, NODES), drag factor and safe side included.
    """

    facts: Facts
    low_kg: float
    high_kg: float
    speeds_m_s: Floats
    nodes: Floats
    weights: Floats
    water_n: Floats

    @classmethod
    def of(cls, facts: Facts, low_kg: float, high_kg: float) -> "Drag":
        top = facts.outing.limits.top_speed_m_s
        speeds = np.append(facts.water_speeds_m_s, [] if top is None else [top])
        angles = (2 * np.arange(NODES) + 1) * np.pi / (2 * NODES)
        nodes = np.cos(angles)
        weights = np.where(np.arange(NODES) % 2, -1.0, 1.0) * np.sin(angles)
        displacement = low_kg + (nodes + 1.0) / 2.0 * (high_kg - low_kg)
        water = facts.water_resistance_n(speeds, displacement) * (1.0 + SAFE_SIDE)
        return cls(facts, low_kg, high_kg, speeds, nodes, weights, water)

    def thrusts_n(self, displacement_kg: Floats) -> Floats:
        """Thrust of every leg, and last of the top speed if one is wished.

        ``displacement_kg`` has shape (n,); the answer (legs or legs + 1, n).
        """
        facts = self.facts
        legs = len(facts.outing.legs)
        air = facts.air_n(facts.ground_speeds_m_s, facts.headwinds_m_s)
        air = np.append(air, facts.air_n(self.speeds_m_s[legs:], 0.0))
        return np.asarray(self.water_n @ self._shares(displacement_kg) + air[:, None])

    def _shares(self, displacement_kg: Floats) -> Floats:
        """Each Chebyshev node's share in barycentric interpolation, shape (NODES, n)."""
        span = max(self.high_kg - self.low_kg, 1e-9)
        at = 2.0 * (displacement_kg - self.low_kg) / span - 1.0
        gap = at[None, :] - self.nodes[:, None]
        hit = np.abs(gap) < 1e-14
        share = self.weights[:, None] / np.where(hit, 1.0, gap)
        share = np.where(hit.any(axis=0), hit, share)
        return np.asarray(share / share.sum(axis=0))
