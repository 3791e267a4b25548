"""Drag that is not the bare hull's in deep water: the motor's shaft, a towed line, shallows."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from keelwatt.physics.real import Real, Truth
from keelwatt.physics.water import G

TUBE_M = 0.028
POD_M = 0.090
"""Diameters of shaft tube and pod where a catalog is silent (from memory)."""

EXPONENTS = (1.5, 4.0)
"""Least and most exponent of a towed line."""

LONE_EXPONENT = 2.0
"""Exponent where a boat was towed at one speed only (common practice)."""

TOWED_SPAN = (0.8, 1.3)
"""A towed line serves from 0.8 of the slowest to 1.3 of the fastest speed it was towed at."""

BEYOND_N_S_M = 1e5

_STEPS = 12
_STILL_M_S = 1e-9


class TowedLine(NamedTuple):
    """R = ``newton`` V**``exponent`` (V in m/s), and the speeds it was measured between."""

    newton: float
    exponent: float
    slowest_m_s: float
    fastest_m_s: float


def shaft_and_pod_n(
    *,
    speed_m_s: Real,
    density_kg_m3: Real,
    wet_tube_m: Real,
    tube_m: Real = TUBE_M,
    pod_m: Real = POD_M,
) -> Real:
    """Drag of a motor's tube and pod, and of the spray where the tube pierces the surface.
    For a round tube below a Reynolds number of 2e5 and a streamlined pod; the propeller's own
    inflow is left out. It rises with the square of speed.
    ``wet_tube_m``: length of tube under water, down to the pod. ``tube_m, pod_m``: diameters [m],
    28 and 90 mm from memory.
    Source: S. F. Hoerner, Fluid-Dynamic Drag (1965): tube 1.2 on its frontal area, pod 0.2 on its
    own, spray 0.24 on the tube's diameter squared.

    >>> f"{shaft_and_pod_n(speed_m_s=1.31, density_kg_m3=999.1, wet_tube_m=0.45):.1f}"
    '14.2'
    """
    area = (
        1.2 * tube_m * np.maximum(wet_tube_m, 0.0) + 0.2 * np.pi / 4 * pod_m**2 + 0.24 * tube_m**2
    )
    drag: Real = 0.5 * density_kg_m3 * speed_m_s**2 * area
    return drag


def towed_line(*, speeds_m_s: Sequence[float], pulls_n: Sequence[float]) -> TowedLine:
    """The line R = c V**n through what a boat pulled on a rope behind another.
    Least squares of the logarithms, so that every point counts by its share; n is held within 1.5
    to 4, and is 2 where all points are at one speed.
    ``speeds_m_s``: sequence (n,). ``pulls_n``: sequence (n,).
    ValueError: for no points, speeds and pulls of different number, or one that is not above 0.
    Source: Common practice.

    >>> line = towed_line(speeds_m_s=[1.0, 2.0], pulls_n=[10.0, 80.0])
    >>> f"{line.newton:.1f} N times V to the power {line.exponent:.1f}"
    '10.0 N times V to the power 3.0'
    """
    speeds, pulls = np.asarray(speeds_m_s, float), np.asarray(pulls_n, float)
    if (
        speeds.size == 0
        or speeds.shape != pulls.shape
        or not (np.all(speeds > 0) & np.all(pulls > 0))
    ):
        raise ValueError("a towed line needs speeds and as many pulls, all above 0")
    x, y = np.log(speeds), np.log(pulls)
    spread = x - x.mean()
    exponent = LONE_EXPONENT
    if speeds.max() > speeds.min():
        exponent = float(np.clip(spread @ y / (spread @ spread), *EXPONENTS))
    newton = float(np.exp(y.mean() - exponent * x.mean()))
    return TowedLine(newton, exponent, float(speeds.min()), float(speeds.max()))


def towed_resistance_n(
    *, speed_m_s: Real, line: TowedLine, displacement_kg: Real, towed_displacement_kg: float
) -> Real:
    """Resistance by a towed line, of the boat at another displacement.
    ``towed_displacement_kg``: of the boat as towed.
    Source: Displacement to the power 2/3, as a surface grows (from memory).

    >>> line = TowedLine(newton=10.0, exponent=2.0, slowest_m_s=1.0, fastest_m_s=2.0)
    >>> pull = towed_resistance_n(speed_m_s=2.0, line=line, displacement_kg=216.0,
    ...                           towed_displacement_kg=125.0)
    >>> f"{pull:.1f}"
    '57.6'
    """
    share = np.power(np.asarray(displacement_kg) / towed_displacement_kg, 2 / 3)
    resistance: Real = line.newton * np.power(speed_m_s, line.exponent) * share
    return resistance


def within_towed_speeds(*, speed_m_s: Real, line: TowedLine) -> Truth:
    """Whether a speed lies within 0.8 to 1.3 of the speeds a line was towed at.
    Common practice.

    >>> line = TowedLine(newton=10.0, exponent=2.0, slowest_m_s=1.0, fastest_m_s=2.0)
    >>> bool(within_towed_speeds(speed_m_s=2.7, line=line))
    False
    """
    slow, fast = TOWED_SPAN[0] * line.slowest_m_s, TOWED_SPAN[1] * line.fastest_m_s
    return (np.asarray(speed_m_s) >= slow) & (np.asarray(speed_m_s) <= fast)


def shallow_speed_loss(*, deep_speed_m_s: Real, depth_m: Real, midship_area_m2: Real) -> Real:
    """Share of its speed a boat loses in shallow water at the same resistance.
    Below the critical speed sqrt(g h). A section below 0.05 h**2 is credited with nothing.
    ``deep_speed_m_s``: speed in deep water. ``depth_m``: h. ``midship_area_m2``: under water.
    Source: H. Lackenby, The Effect of Shallow Water on Ship Speed, The Shipbuilder 70 (1963) (from
    memory): ``0.1242 (A / h**2 - 0.05) + 1 - sqrt(tanh(g h / V**2))``.

    >>> f"{shallow_speed_loss(deep_speed_m_s=1.5, depth_m=0.6, midship_area_m2=0.08):.3f}"
    '0.027'
    """
    kept = np.sqrt(np.tanh(G * depth_m / np.square(deep_speed_m_s)))
    loss: Real = _blocked(depth_m, midship_area_m2) + 1 - kept
    return loss


def shallow_limit_m_s(*, depth_m: Real, midship_area_m2: Real) -> Real:
    """The fastest a boat goes in shallow water: what is left of the critical speed sqrt(g h).
    ``depth_m``: infinite in deep water. ``midship_area_m2``: under water. Not negative, infinite in
    deep water.
    Source: :func:`shallow_speed_loss` at the critical speed.

    >>> f"{shallow_limit_m_s(depth_m=0.4, midship_area_m2=0.08):.2f}"
    '1.62'
    """
    kept = np.sqrt(np.tanh(1.0)) - _blocked(depth_m, midship_area_m2)
    limit: Real = np.sqrt(G * depth_m) * kept
    return limit


def deep_speed_m_s(*, speed_m_s: Real, depth_m: Real, midship_area_m2: Real) -> Real:
    """Speed in deep water at which a boat meets the resistance it meets in the shallows.
    The inverse of :func:`shallow_speed_loss`; from :func:`shallow_limit_m_s` on it grows no more.
    ``speed_m_s``: in the shallows. ``depth_m``: infinite in deep water. ``midship_area_m2``: under
    water. At least ``speed_m_s`` up to the limit.
    Source: H. Lackenby (1963), see :func:`shallow_speed_loss`. What is solved is concave in the
    speed, so Newton's steps from ``speed_m_s`` come from below and never go too far.

    >>> f"{deep_speed_m_s(speed_m_s=1.5 * 0.973, depth_m=0.6, midship_area_m2=0.08):.2f}"
    '1.50'
    """
    limit = shallow_limit_m_s(depth_m=depth_m, midship_area_m2=midship_area_m2)
    blocked = _blocked(depth_m, midship_area_m2)
    wished = np.minimum(speed_m_s, limit)
    deep: Real = np.maximum(wished, _STILL_M_S)
    for _ in range(_STEPS):
        depths = np.minimum(G * depth_m / np.square(deep), 50.0)
        kept, slope = np.sqrt(np.tanh(depths)), depths / np.cosh(depths) ** 2
        rising = np.maximum(kept - blocked - slope / kept, 1e-9)
        deep = np.maximum(deep + (wished - deep * (kept - blocked)) / rising, _STILL_M_S)
    # At rest nothing drags: not even so little that a motor would count as on.
    speed: Real = np.where(wished > 0.0, deep, 0.0)[()]
    return speed


def beyond_limit_n(*, speed_m_s: Real, depth_m: Real, midship_area_m2: Real) -> Real:
    """What a boat meets besides where the water is too shallow for its speed: more than any motor.
    It grows by 100 N for every mm/s beyond :func:`shallow_limit_m_s`, so that resistance has no
    jump.
    ``depth_m``: infinite in deep water. ``midship_area_m2``: under water.
    Source: From memory: small craft hardly pass the critical speed.

    >>> float(beyond_limit_n(speed_m_s=1.5, depth_m=np.inf, midship_area_m2=0.08))
    0.0
    """
    limit = shallow_limit_m_s(depth_m=depth_m, midship_area_m2=midship_area_m2)
    beyond: Real = BEYOND_N_S_M * np.maximum(0.0, speed_m_s - limit)
    return beyond


def _blocked(depth_m: Real, midship_area_m2: Real) -> Real:
    """Share of speed lost to a narrowed section; at most what leaves a boat at the limit none."""
    share: Real = 0.1242 * np.maximum(midship_area_m2 / np.square(depth_m) - 0.05, 0.0)
    return np.minimum(share, np.sqrt(np.tanh(1.0)))
