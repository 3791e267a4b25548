"""What a motor does to the boat when turned across, and to its mount at full throttle."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.boat.drive import Drive
from keelwatt.boat.legs import through_m_s
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import Resistance
from keelwatt.physics import forces
from keelwatt.physics.water import G

ONE = np.ones(1)


@dataclass(frozen=True)
class Turned:
    """Motors turned across as hard as the day asks, at other speeds up to ``fastest_m_s`` too.
    The thrust is that of the hardest leg, or of the top speed, in the heaviest boat the builder's
    plate allows: the limit so stays a plain sum over a kit's parts."""

    case: LoadCase
    fastest_m_s: float = 0.0

    @cached_property
    def water(self) -> Resistance:
        case, stream_m_s = self.case, self.case.legs.stream_m_s
        wished = case.water_speeds_m_s.max(), case.outing.limits.top_speed_m_s or 0.0
        fastest = max(self.fastest_m_s, *wished, np.abs(stream_m_s).max())
        return Resistance.exact(case, case.heaviest_kg, float(fastest))

    def kg_m(self, drive: Drive, share: Floats = ONE, top_m_s: Floats | None = None) -> Floats:
        """Thrust times its arm over gravity, of drives of shape (n,).
        ``share`` of the wished speeds, and a top speed for the wished one, of shape (n,) or (1,).
        """
        case, legs, water = self.case, self.case.legs, self.water
        held, rest, deep = legs.held & legs.driven, np.zeros((1, 1)), np.full((1, 1), np.inf)
        top = ONE * (case.outing.limits.top_speed_m_s or 0.0) if top_m_s is None else top_m_s

        def behind(flow_m_s: Floats) -> Floats:
            return np.where(held, np.maximum(0.0, -flow_m_s), 0.0)

        shape = len(held), np.broadcast_shapes(share.shape, top.shape)[0]
        legs_m_s = np.broadcast_to(legs.ground_m_s * share, shape)
        ground = np.vstack([legs_m_s, np.zeros(shape), np.broadcast_to(top, shape[1:])])
        stream = np.vstack([legs.stream_m_s, behind(legs.stream_m_s), rest])
        wind = np.vstack([legs.headwind_m_s, behind(legs.headwind_m_s), rest])
        depth = np.vstack([legs.depth_m, legs.depth_m, deep])
        # Where water is too shallow for a leg's speed, that is told of its speed, not of its heel.
        limit = case.shallow_limit_m_s(depth, case.heaviest_kg)
        ground = ground - np.maximum(0.0, through_m_s(ground, stream) - limit)
        through = through_m_s(ground, stream)
        driven = np.vstack([legs.driven, held, [[True]]])
        motor_n = drive.drag_n(through, water.draft_m, case.density_kg_m3)
        pull_n = water.water_n(through, depth) + motor_n + case.air_n(ground, wind)
        thrust_n = np.where(driven, pull_n, 0.0).max(axis=0)
        return across_kg_m(drive, thrust_n, float(water.draft_m[0]))


def across_kg_m(drive: Drive, thrust_n: Floats, draft_m: float) -> Floats:
    """A thrust times its arm over gravity, in a boat of some draft."""
    arm_m = np.maximum(0.0, draft_m / 2.0 - (drive.hung_m - drive.shaft_m))
    return np.asarray(thrust_n * arm_m / G)


def mount_moment_n_m(drive: Drive, claimed_n: Floats, fresh_v: Floats) -> Floats:
    """Moment of drives on their mounts, tethered at full throttle on banks of a fresh voltage.
    Never less than by the catalog's thrust; what is claimed is taken whole. The shaft is taken at
    its full length, as if it could not be slid up."""
    rest = np.zeros(1)
    ratio = drive.driven_ratio(fresh_v, rest, rest)
    thrust_n = claimed_n * np.maximum(1.0, ratio**2)
    return np.asarray(forces.mount_moment_n_m(thrust_n=thrust_n, shaft_m=drive.shaft_m))
