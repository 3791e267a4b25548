"""The Froude numbers of the ladder of waves, and of the stations it is interpolated from."""

from functools import cache

import numpy as np

from keelwatt.physics.real import Floats, Ints
from keelwatt.physics.water import G

MOST_FROUDE = 3.0
LADDER_START = 0.05
RUNG_STEP, RUNG_PHASE = 0.0017, 0.13
"""Rungs lie a Froude step apart, closer where humps crowd: never more than a phase of g L / V**2,
which runs through 2 pi from hump to hump."""

STATION_STEP, STATION_PHASE = 0.005, 1.0
STENCIL = 8
"""The integral is worked out at stations, wider apart; each rung is Lagrange's polynomial through
the eight stations round it, good to a part in 5000 of a hump."""


def froude_number(*, speed_m_s: Floats, length_m: float) -> Floats:
    """Speed over the root of g times length.
    ``speed_m_s``: array, through the water, not negative. Returns array, flat.
    ValueError: outside 0 to 3.
    Source: Its definition.

    >>> froude_number(speed_m_s=np.array([2.0]), length_m=4.5).round(3)
    array([0.301])
    """
    froude: Floats = speed_m_s.ravel() / np.sqrt(G * length_m)
    if not np.all((froude >= 0) & (froude <= MOST_FROUDE)):
        raise ValueError(f"Froude numbers must lie within 0 to {MOST_FROUDE:g}, not {froude}")
    return froude


@cache
def rung_froudes() -> Floats:
    """Froude numbers of the rungs: rest, and from the start on (common practice).

    >>> rung_froudes()[:3].round(5)
    array([0.     , 0.05   , 0.05001])
    """
    return np.array([0.0, *_spaced(LADDER_START, RUNG_STEP, RUNG_PHASE)])


@cache
def station_froudes() -> Floats:
    """Froude numbers at which the integral is worked out; three lie below the first rung.
    About six to a hump, from hump to hump (common practice).

    >>> station_froudes()[:4].round(5)
    array([0.04981, 0.04987, 0.04994, 0.05   ])
    """
    before = LADDER_START - 3 * STATION_PHASE / 2 * LADDER_START**3
    return _spaced(before, STATION_STEP, STATION_PHASE)


@cache
def stencils() -> tuple[Ints, Floats]:
    """For every rung, the first of its eight stations, shape (rungs,), and the weight of each.
    Lagrange's polynomial; the rung at rest has no use of one.
    Returns integers (rungs,) and weights (rungs, 8).
    Source: Lagrange's interpolation; common practice.

    >>> first, weights = stencils()
    >>> bool(np.allclose(weights[1:].sum(axis=1), 1.0))
    True
    """
    rungs, stations = rung_froudes(), station_froudes()
    first = np.searchsorted(stations, rungs, side="right") - STENCIL // 2
    first = np.clip(first, 0, stations.size - STENCIL)
    near = stations[first[:, None] + np.arange(STENCIL)]
    weights = np.ones((rungs.size, STENCIL))
    for each in range(STENCIL):
        for other in range(STENCIL):
            if other != each:
                gap = near[:, each] - near[:, other]
                weights[:, each] *= (rungs - near[:, other]) / gap
    return first, weights


def _spaced(start: float, step: float, phase: float) -> Floats:
    """Froude numbers from one on to beyond the largest: a step apart, but no more than a phase."""
    places = [start]
    while places[-1] < MOST_FROUDE + STENCIL * step:
        places.append(places[-1] + min(step, phase / 2 * places[-1] ** 3))
    return np.array(places)
