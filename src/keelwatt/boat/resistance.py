"""The water's resistance at any speed and displacement, the wave integral worked out once."""

from dataclasses import dataclass, field
from functools import cached_property
from math import ceil, log, sqrt

import numpy as np
from numpy.polynomial import chebyshev

from keelwatt.boat.arrays import Floats, Ints, Record
from keelwatt.boat.load_case import LoadCase
from keelwatt.physics import drag, ladder

RESOLVED = 1e-6
"""How far the Chebyshev series over the displacements is taken, as a share of its first term.
Friction and the waves on each rung of a ladder of speeds are smooth in draft, their running maximum
over the rungs is not: so it is taken last, and the error left is below ``SAFE_SIDE`` (tested
against the exact integral)."""

SAFE_SIDE = 2e-5
"""Relative addition to the water's resistance that keeps the interpolation on the safe side."""

DEEP = np.array([np.inf])


@dataclass(frozen=True)
class Resistance(Record):
    """Boats of some displacements at any speed through the water. ``column``, shape (n,), is each
    boat's place among the different ``displacement_kg``, shape (m,), of ``wetted_m2`` and of the
    waves on the ladder: ``rungs_n`` with their hollows and ``crests_n`` without, shape (rungs, m).
    ``fourth`` is the rungs' speeds to the fourth power, ``factor`` the drag factor."""

    case: LoadCase = field(metadata={"for_all": True})
    fourth: Floats = field(metadata={"for_all": True})
    wetted_m2: Floats = field(metadata={"for_all": True})
    displacement_kg: Floats = field(metadata={"for_all": True})
    rungs_n: Floats = field(metadata={"for_all": True})
    crests_n: Floats = field(metadata={"for_all": True})
    column: Ints
    factor: Floats

    @classmethod
    def exact(cls, case: LoadCase, displacement_kg: float, fastest_m_s: float) -> "Resistance":
        one = np.array([displacement_kg])
        rungs = case.rung_waves_n(fastest_m_s, one)
        factor = np.asarray(case.outing.craft.drag_factor)
        floating = case.wetted_surface_m2(one), one
        return cls.on_rungs(case, rungs, floating, np.asarray(0), factor)

    @classmethod
    def on_rungs(
        cls,
        case: LoadCase,
        rung_waves_n: Floats,
        floating: tuple[Floats, Floats],
        column: Ints,
        factor: Floats,
    ) -> "Resistance":
        """``floating``: (wetted surface, mass) of the different displacements, shape (m,)."""
        fourth = case.rung_speeds_m_s(len(rung_waves_n)) ** 4
        crests_n = ladder.crests_n(rung_n=rung_waves_n)
        return cls(case, fourth, *floating, rung_waves_n, crests_n, column, factor)

    @cached_property
    def draft_m(self) -> Floats:
        return self.case.draft_m(self.displacement_kg)

    def water_n(self, through_m_s: Floats, depth_m: Floats = DEEP) -> Floats:
        """At speeds that broadcast with the boats; beyond the ladder it only goes on growing.
        In the shallows it is that of the speed in deep water at which the boat drags as much."""
        if not np.isfinite(depth_m).any():
            return self._deep_n(through_m_s)
        area_m2 = self.case.midship_area_m2(self.draft_m[self.column])
        at = {"speed_m_s": through_m_s, "depth_m": depth_m, "midship_area_m2": area_m2}
        deep_m_s = np.asarray(drag.deep_speed_m_s(**at))
        return np.asarray(self._deep_n(deep_m_s) + drag.beyond_limit_n(**at))

    def _deep_n(self, through_m_s: Floats) -> Floats:
        if line := self.case.towed_line:
            towed_n = drag.towed_resistance_n(
                speed_m_s=through_m_s,
                line=line,
                displacement_kg=self.displacement_kg[self.column],
                towed_displacement_kg=self.case.towed_kg,
            )
            return np.asarray(self.factor * towed_n)
        waves = ladder.between_rungs_n(
            speed_m_s=through_m_s,
            fourth=self.fourth,
            rung_n=self.rungs_n,
            crest_n=self.crests_n,
            column=self.column,
        )
        friction = self.case.friction_on_n(through_m_s, self.wetted_m2[self.column])
        return np.asarray(self.factor * (friction + waves))


@dataclass(frozen=True)
class Displacements:
    """Waves and wetted surface between two displacements.
    ``rung_waves_n``, shape (rungs, nodes), and ``wetted_m2`` are those at the Chebyshev nodes."""

    case: LoadCase
    low_kg: float
    high_kg: float
    rung_waves_n: Floats
    wetted_m2: Floats

    @classmethod
    def between(
        cls, case: LoadCase, low_kg: float, high_kg: float, fastest_m_s: float
    ) -> "Displacements":
        """For motors of which none drives a boat faster than that; the legs may be faster."""
        fastest = max(fastest_m_s, float(case.water_speeds_m_s.max()))
        fastest = max(fastest, case.outing.limits.top_speed_m_s or 0.0)
        nodes = chebyshev.chebpts1(_nodes_for(low_kg, high_kg))
        displacement_kg = low_kg + (nodes + 1.0) / 2.0 * (high_kg - low_kg)
        waves_n = case.rung_waves_n(fastest, displacement_kg)
        return cls(case, low_kg, high_kg, waves_n, case.wetted_surface_m2(displacement_kg))

    def reaches(self, high_kg: float, fastest_m_s: float) -> bool:
        """Whether it holds up to this displacement and speed."""
        rungs = self.case.rungs_for(fastest_m_s, high_kg)
        return high_kg <= self.high_kg and rungs <= len(self.rung_waves_n)

    def resistance(self, displacement_g: Ints, fastest_m_s: float | None = None) -> Resistance:
        """Of boats of shape (n,), up to a speed or as fast as any motor drives one."""
        grams, column = np.unique(displacement_g, return_inverse=True)
        shares, rungs = self._shares(grams / 1000.0), self.rung_waves_n
        if fastest_m_s is not None:
            rungs = rungs[: max(3, self.case.rungs_for(fastest_m_s, self.high_kg))]
        shares *= 1.0 + SAFE_SIDE
        factor = np.asarray(self.case.outing.craft.drag_factor)
        floating = self.wetted_m2 @ shares, grams / 1000.0
        return Resistance.on_rungs(self.case, rungs @ shares, floating, column, factor)

    def _shares(self, displacement_kg: Floats) -> Floats:
        """Each node's share in the polynomial through all of them, shape (nodes, n)."""
        count = len(self.wetted_m2)
        span = max(self.high_kg - self.low_kg, 1e-9)
        at = 2.0 * (displacement_kg - self.low_kg) / span - 1.0
        terms = (chebyshev.chebvander(x, count - 1).T for x in (chebyshev.chebpts1(count), at))
        return np.asarray(np.linalg.solve(*terms), dtype=np.float64)


def _nodes_for(low_kg: float, high_kg: float) -> int:
    """How many Chebyshev nodes two displacements want between them.
    The series falls as rho**-n, rho being the sum of the half axes of the largest ellipse about the
    interval in which the function is analytic, here up to a displacement of nothing (Trefethen,
    Approximation Theory and Approximation Practice, 2013, theorem 8.2)."""
    centre = (high_kg + low_kg) / max(high_kg - low_kg, 1e-9)
    return max(4, ceil(-log(RESOLVED) / log(centre + sqrt(centre**2 - 1.0))))
