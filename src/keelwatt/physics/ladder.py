"""Wave resistance without its hollows, as a running maximum over a ladder of speeds."""

from functools import cache

import numpy as np

from keelwatt.physics.michell import Array, resistance_share
from keelwatt.physics.real import Real
from keelwatt.physics.water import G
from keelwatt.physics.waves import MOST_FROUDE, froude_number

LADDER_START = 0.10
LADDER_STEP = 0.0025
LADDER_PHASE = 0.5
"""Rungs lie a Froude step apart, closer where humps crowd: never more than a phase of g L / V**2,
which runs through 2 pi from hump to hump."""

_COARSE = 1e-4
"""How closely the wave coefficient is resolved: as a share of itself, or of 0.001 where it is
less."""


def running_maximum_n(
    *,
    speed_m_s: Real,
    draft_m: Real,
    length_m: float,
    beam_m: float,
    fineness: int,
    fullness: int,
    density_kg_m3: float,
) -> Real:
    """Wave resistance without its hollows: the largest at any speed up to the one asked.

    Never falls as speed or draft grows, and does not depend on what else is asked. The maximum
    runs over a ladder of Froude numbers from 0.10, each rung lifted by an eighth of its second
    difference, which is what a chord cuts off a hump. Between rungs, and from rest to the first,
    it grows as V**4, which is on the safe side. Measured against a sweep: from a Froude number of
    0.10 at most 0.3 % low and 4 % high; below, high by less than 0.0005 as a coefficient for the
    named shapes.

    Parameters
    ----------
    speed_m_s : float or array (n,), through the water, not negative [m/s]
    draft_m : float or array (m,), above 0 [m]
    length_m, beam_m : float, on the waterline [m]
    fineness, fullness : int, exponents p and q, at least 2 [-]
    density_kg_m3 : float, [kg/m3]

    Returns
    -------
    float or array (n, m), without the axis of a scalar, [N]

    Raises
    ------
    ValueError
        Outside Froude numbers 0 to 3.
    ArithmeticError
        If the integral does not settle.

    References
    ----------
    ``wave_resistance_n``; not crediting the hollows is common practice.

    >>> r = running_maximum_n(speed_m_s=2.0, draft_m=0.12, length_m=4.5, beam_m=0.8, fineness=2,
    ...                       fullness=4, density_kg_m3=999.1)
    >>> f"{r:.2f}"
    '16.10'
    """
    speed = np.asarray(speed_m_s, dtype=np.float64)
    draft = np.asarray(draft_m, dtype=np.float64)
    fastest = float(speed.max(initial=0.0))
    rung_n = rung_resistance_n(
        rungs=rungs_for(speed_m_s=fastest, length_m=length_m),
        draft_m=draft.ravel(),
        length_m=length_m,
        beam_m=beam_m,
        fineness=fineness,
        fullness=fullness,
        density_kg_m3=density_kg_m3,
    )
    highest = highest_n(speed_m_s=speed.ravel(), rung_n=rung_n, length_m=length_m)
    shaped: Real = highest.reshape(speed.shape + draft.shape)[()]
    return shaped


def rungs_for(*, speed_m_s: float, length_m: float) -> int:
    """How many rungs of the ladder :func:`highest_n` needs for speeds up to one.

    Parameters
    ----------
    speed_m_s : float, [m/s]
    length_m : float, on the waterline [m]

    Returns
    -------
    int

    Raises
    ------
    ValueError
        Outside Froude numbers 0 to 3.

    References
    ----------
    The ladder of :func:`running_maximum_n`.

    >>> rungs_for(speed_m_s=0.1, length_m=4.5)
    3
    """
    (froude,) = froude_number(speed_m_s=np.array([speed_m_s]), length_m=length_m)
    return int(np.searchsorted(_ladder(), froude)) + 2


def rung_speeds_m_s(*, rungs: int, length_m: float) -> Array:
    """The speeds of the lowest rungs of the ladder; between them :func:`highest_n` grows as V**4.

    Parameters
    ----------
    rungs : int, see :func:`rungs_for`
    length_m : float, on the waterline [m]

    Returns
    -------
    array (rungs,), [m/s]

    References
    ----------
    The ladder of :func:`running_maximum_n`.

    >>> rung_speeds_m_s(rungs=2, length_m=4.5).round(3)
    array([0.   , 0.664])
    """
    speeds: Array = _ladder()[:rungs] * np.sqrt(G * length_m)
    return speeds


def rung_resistance_n(
    *,
    rungs: int,
    draft_m: Array,
    length_m: float,
    beam_m: float,
    fineness: int,
    fullness: int,
    density_kg_m3: float,
) -> Array:
    """Wave resistance on the lowest rungs of the ladder, hollows and all.

    Smooth in draft, where :func:`running_maximum_n` is not: what is wanted at many drafts may be
    interpolated here, before :func:`highest_n`.

    Parameters
    ----------
    rungs : int, see :func:`rungs_for`
    draft_m : array (m,), above 0 [m]
    length_m, beam_m : float, on the waterline [m]
    fineness, fullness : int, exponents p and q, at least 2 [-]
    density_kg_m3 : float, [kg/m3]

    Returns
    -------
    array (rungs, m), [N]

    Raises
    ------
    ArithmeticError
        If the integral does not settle.

    References
    ----------
    ``wave_resistance_n``, the coefficient resolved to 1e-4.

    >>> r = rung_resistance_n(rungs=3, draft_m=np.array([0.12]), length_m=4.5, beam_m=0.8,
    ...                       fineness=2, fullness=4, density_kg_m3=999.1)
    >>> r.shape
    (3, 1)
    """
    rung_n = np.zeros((rungs, draft_m.size))
    rung_n[1:] = resistance_share(
        froude=_ladder()[1:rungs],
        draft=draft_m / length_m,
        form=(fineness, fullness),
        tolerance=_COARSE,
    )
    scale = density_kg_m3 * G * length_m * beam_m**2
    return scale * rung_n


def highest_n(*, speed_m_s: Array, rung_n: Array, length_m: float) -> Array:
    """The largest wave resistance at any speed up to the one asked, from that on the rungs.

    Parameters
    ----------
    speed_m_s : array (n,), through the water, not negative [m/s]
    rung_n : array (rungs, m), rungs enough for the speeds [N]
    length_m : float, on the waterline [m]

    Returns
    -------
    array (n, m), [N]

    Raises
    ------
    ValueError
        Outside Froude numbers 0 to 3.

    References
    ----------
    :func:`running_maximum_n`.

    >>> highest_n(speed_m_s=np.array([0.0]), rung_n=np.zeros((3, 1)), length_m=4.5)
    array([[0.]])
    """
    froude, rungs = froude_number(speed_m_s=speed_m_s, length_m=length_m), _ladder()[: len(rung_n)]
    highest = crests_n(rung_n=rung_n)
    above = np.searchsorted(rungs[:-1], froude, side="right")
    start, end = rungs[above - 1] ** 4, rungs[above] ** 4
    share = ((froude**4 - start) / (end - start))[:, None]
    between: Array = highest[above - 1] + share * (highest[above] - highest[above - 1])
    return between


def crests_n(*, rung_n: Array) -> Array:
    """The largest wave resistance at any speed up to each rung of the ladder but the last.

    Between rungs it grows as V**4. The last is not lifted: it only bounds the one before.

    Parameters
    ----------
    rung_n : array (rungs, m), [N]

    Returns
    -------
    array (rungs, m), [N]

    References
    ----------
    :func:`running_maximum_n`.

    >>> crests_n(rung_n=np.array([[0.0], [3.0], [2.0], [4.0]])).ravel()
    array([0., 3., 3., 4.])
    """
    lifted = rung_n.copy()
    lifted[2:-1] += np.maximum(0.0, -np.diff(rung_n[1:], n=2, axis=0)) / 8
    crests: Array = np.maximum.accumulate(lifted, axis=0)
    return crests


@cache
def _ladder() -> Array:
    rungs = [LADDER_START]
    while rungs[-1] < MOST_FROUDE + LADDER_STEP:
        rungs.append(rungs[-1] + min(LADDER_STEP, LADDER_PHASE / 2 * rungs[-1] ** 3))
    return np.array([0.0, *rungs])
