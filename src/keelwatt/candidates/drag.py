"""Thrust asked for at any displacement, from one evaluation of the wave integral per outing."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from keelwatt.facts import Facts

Floats = npt.NDArray[np.float64]

NODES = 12
"""Chebyshev nodes over the displacements. Resistance is smooth in draft: the error left is below
``SAFE_SIDE`` (tested against the exact integral)."""

RUNGS = 129
"""Speeds of a ladder from 0 to the fastest motor's no-thrust speed."""

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
        return np.asarray(self.water_n @ self.shares(displacement_kg) + air[:, None])

    def shares(self, displacement_kg: Floats) -> Floats:
        """Each Chebyshev node's share in barycentric interpolation, shape (NODES, n)."""
        span = max(self.high_kg - self.low_kg, 1e-9)
        at = 2.0 * (displacement_kg - self.low_kg) / span - 1.0
        gap = at[None, :] - self.nodes[:, None]
        hit = np.abs(gap) < 1e-14
        share = self.weights[:, None] / np.where(hit, 1.0, gap)
        share = np.where(hit.any(axis=0), hit, share)
        return np.asarray(share / share.sum(axis=0))


@dataclass(frozen=True)
class Ladder:
    """The water's resistance at any speed, linear between rungs, on the nodes of a drag."""

    drag: Drag
    step_m_s: float
    water_at_nodes_n: Floats

    @classmethod
    def of(cls, drag: Drag, top_m_s: float) -> "Ladder":
        speeds = np.linspace(0.0, top_m_s, RUNGS)
        span = drag.high_kg - drag.low_kg
        displacement = drag.low_kg + (drag.nodes + 1.0) / 2.0 * span
        water = drag.facts.water_resistance_n(speeds, displacement) * (1.0 + SAFE_SIDE)
        return cls(drag, top_m_s / (RUNGS - 1), water)

    def shares(self, displacement_kg: Floats) -> Floats:
        return self.drag.shares(displacement_kg)

    def water_n(self, speed_m_s: Floats, shares: Floats) -> Floats:
        """At speeds (n,) and the shares (NODES, n) of as many displacements."""
        rung = np.clip((speed_m_s / self.step_m_s).astype(np.int64), 0, RUNGS - 2)
        part = speed_m_s / self.step_m_s - rung
        low = np.einsum("nk,kn->n", self.water_at_nodes_n[rung], shares)
        high = np.einsum("nk,kn->n", self.water_at_nodes_n[rung + 1], shares)
        return np.asarray(low + part * (high - low))
