"""What a motor does to the boat when turned across, and to its mount at full throttle."""

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.powertrain import Drive
from keelwatt.boat.resistance import Resistance
from keelwatt.physics import forces
from keelwatt.physics.water import G


def turning_kg_m(case: LoadCase, drive: Drive) -> Floats:
    """Thrust times its arm over gravity, of drives of shape (n,).

    The thrust is that of the hardest leg, or of the top speed, in the heaviest boat the builder's
    plate allows: the limit so stays a plain sum over a kit's parts.
    """
    outing, legs = case.outing, case.legs
    held = legs.held & legs.driven
    top = np.array([[outing.limits.top_speed_m_s or 0.0]])
    behind_m_s = np.where(held, np.maximum(0.0, -legs.stream_m_s), 0.0)
    through = np.vstack([legs.through_m_s(legs.ground_m_s), behind_m_s, top])
    air_n = np.vstack(
        [
            case.air_n(legs.ground_m_s, legs.headwind_m_s),
            np.where(held, case.air_n(np.zeros(1), np.maximum(0.0, -legs.headwind_m_s)), 0.0),
            case.air_n(top, 0.0),
        ]
    )
    driven = np.vstack([legs.driven, held, [[True]]])
    water = Resistance.exact(case, case.heaviest_kg, float(through.max()))
    draft_m = float(water.draft_m[0])
    pull_n = water.water_n(through) + drive.drag_n(through, water.draft_m, case.density_kg_m3)
    thrust_n = np.where(driven, pull_n + air_n, 0.0).max(axis=0)
    return across_kg_m(drive, thrust_n, draft_m)


def across_kg_m(drive: Drive, thrust_n: Floats, draft_m: float) -> Floats:
    """A thrust times its arm over gravity, in a boat of some draft."""
    arm_m = np.maximum(0.0, draft_m / 2.0 - (drive.hung_m - drive.shaft_m))
    return np.asarray(thrust_n * arm_m / G)


def mount_moment_n_m(drive: Drive, claimed_n: Floats, fresh_v: Floats) -> Floats:
    """Moment of drives on their mounts, tethered at full throttle on banks of a fresh voltage.

    Never less than by the catalog's thrust; what is claimed is taken whole. The shaft is taken at
    its full length, as if it could not be slid up.
    """
    rest = np.zeros(1)
    ratio = drive.driven_ratio(fresh_v, rest, rest)
    thrust_n = claimed_n * np.maximum(1.0, ratio**2)
    return np.asarray(forces.mount_moment_n_m(thrust_n=thrust_n, shaft_m=drive.shaft_m))
