"""What a motor does to the boat when turned across, and to its mount at full throttle."""

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.boat.drive import Drive
from keelwatt.boat.legs import through_m_s
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import Resistance
from keelwatt.physics import forces
from keelwatt.physics.water import G


def turning_kg_m(case: LoadCase, drive: Drive) -> Floats:
    """Thrust times its arm over gravity, of drives of shape (n,).
    The thrust is that of the hardest leg, or of the top speed, in the heaviest boat the builder's
    plate allows: the limit so stays a plain sum over a kit's parts."""
    outing, legs = case.outing, case.legs
    held, rest, deep = legs.held & legs.driven, np.zeros((1, 1)), np.full((1, 1), np.inf)
    top = np.array([[outing.limits.top_speed_m_s or 0.0]])

    def behind(flow_m_s: Floats) -> Floats:
        return np.where(held, np.maximum(0.0, -flow_m_s), 0.0)

    ground = np.vstack([legs.ground_m_s, np.zeros(held.shape), top])
    stream = np.vstack([legs.stream_m_s, behind(legs.stream_m_s), rest])
    wind = np.vstack([legs.headwind_m_s, behind(legs.headwind_m_s), rest])
    depth = np.vstack([legs.depth_m, legs.depth_m, deep])
    # Where water is too shallow for a leg's speed, that is told of its speed, not of its heel.
    limit = case.shallow_limit_m_s(depth, case.heaviest_kg)
    ground = ground - np.maximum(0.0, through_m_s(ground, stream) - limit)
    through = through_m_s(ground, stream)
    driven = np.vstack([legs.driven, held, [[True]]])
    water = Resistance.exact(case, case.heaviest_kg, float(through.max()))
    draft_m = float(water.draft_m[0])
    motor_n = drive.drag_n(through, water.draft_m, case.density_kg_m3)
    pull_n = water.water_n(through, depth) + motor_n + case.air_n(ground, wind)
    thrust_n = np.where(driven, pull_n, 0.0).max(axis=0)
    return across_kg_m(drive, thrust_n, draft_m)


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
