"""Wave resistance of the parametric hull by Michell's thin-ship integral.

Here ``kl`` is the wave number g / V**2 times waterline length, and ``tl`` draft over length.
"""

from functools import cache

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from keelwatt.physics.real import Real
from keelwatt.physics.water import G

Array = NDArray[np.float64]

LEAST_FROUDE = 0.05
"""Up to this Froude number waves count as nothing."""

LADDER_START = 0.10
LADDER_END = 3.0
LADDER_STEP = 0.0025
LADDER_PHASE = 0.5
"""Rungs of :func:`running_maximum_n` lie a Froude step apart, closer where humps crowd: never more
than a phase of g L / V**2, which runs through 2 pi from hump to hump."""

_FINE = 1e-6
_LADDER = 1e-4
"""How closely the wave coefficient is resolved, alone and on the ladder: as a share of itself, or
of 0.001 where it is less."""

_SHALLOW = 0.005
"""Draft over length from which on that holds."""

_FIRST_INTERVALS = 64
_CHEBYSHEV_POINTS = 21
_MOST_DOUBLINGS = 10


def wave_resistance_n(
    *,
    speed_m_s: Real,
    draft_m: Real,
    length_m: float,
    beam_m: float,
    fineness: int,
    fullness: int,
    density_kg_m3: float,
) -> Real:
    """Wave resistance by thin-ship theory, with its humps and hollows.

    For slender hulls in deep, calm water; sinkage, trim, breaking waves and the boundary layer
    are left out. Nothing up to a Froude number of 0.05. The wave coefficient is resolved to 1e-6
    of itself or 1e-9, whichever is more, for drafts from 0.005 of the length.

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
    J. H. Michell, Philosophical Magazine 45 (1898) 106:
    ``4 rho g**2 / (pi V**2) * integral (I**2 + J**2) lambda**2 / sqrt(lambda**2 - 1)``,
    with lambda = cosh u by the trapezoid rule, which converges exponentially on an even analytic
    integrand (Trefethen and Weideman, SIAM Review 56 (2014) 385).

    >>> r = wave_resistance_n(speed_m_s=2.0, draft_m=0.12, length_m=4.5, beam_m=0.8, fineness=2,
    ...                       fullness=4, density_kg_m3=999.1)
    >>> f"{r:.2f}"
    '16.10'
    """
    speed = np.asarray(speed_m_s, dtype=np.float64)
    draft = np.asarray(draft_m, dtype=np.float64)
    resistance = np.zeros((speed.size, draft.size))
    froude = _froude(speed, length_m)
    moving = froude > LEAST_FROUDE
    resistance[moving] = _resistance(
        froude=froude[moving],
        draft=draft.ravel() / length_m,
        form=(fineness, fullness),
        tolerance=_FINE,
    )
    scale = density_kg_m3 * G * length_m * beam_m**2
    shaped: Real = scale * resistance.reshape(speed.shape + draft.shape)[()]
    return shaped


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
    :func:`wave_resistance_n`; not crediting the hollows is common practice.

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
    (froude,) = _froude(np.array([speed_m_s]), length_m)
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
    :func:`wave_resistance_n`, the coefficient resolved to 1e-4.

    >>> r = rung_resistance_n(rungs=3, draft_m=np.array([0.12]), length_m=4.5, beam_m=0.8,
    ...                       fineness=2, fullness=4, density_kg_m3=999.1)
    >>> r.shape
    (3, 1)
    """
    rung_n = np.zeros((rungs, draft_m.size))
    rung_n[1:] = _resistance(
        froude=_ladder()[1:rungs],
        draft=draft_m / length_m,
        form=(fineness, fullness),
        tolerance=_LADDER,
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
    froude, rungs = _froude(speed_m_s, length_m), _ladder()[: len(rung_n)]
    lifted = rung_n.copy()
    lifted[2:-1] += np.maximum(0.0, -np.diff(rung_n[1:], n=2, axis=0)) / 8
    highest = np.maximum.accumulate(lifted, axis=0)
    above = np.searchsorted(rungs[:-1], froude, side="right")
    start, end = rungs[above - 1] ** 4, rungs[above] ** 4
    share = ((froude**4 - start) / (end - start))[:, None]
    between: Array = highest[above - 1] + share * (highest[above] - highest[above - 1])
    return between


def thin_ship_trusted(*, length_m: float, beam_m: float, froude: float) -> bool:
    """Whether thin-ship theory may be trusted: length over beam from 4, Froude number to 0.5.

    Parameters
    ----------
    length_m, beam_m : float, on the waterline [m]
    froude : float, speed over sqrt(g L) [-]

    Returns
    -------
    bool

    References
    ----------
    Common practice.

    >>> thin_ship_trusted(length_m=4.5, beam_m=0.8, froude=0.3)
    True
    """
    return length_m >= 4 * beam_m and froude <= 0.5


def _froude(speed: Array, length_m: float) -> Array:
    froude: Array = speed.ravel() / np.sqrt(G * length_m)
    if not np.all((froude >= 0) & (froude <= LADDER_END)):
        raise ValueError(f"Froude numbers must lie within 0 to {LADDER_END:g}, not {froude}")
    return froude


@cache
def _ladder() -> Array:
    rungs = [LADDER_START]
    while rungs[-1] < LADDER_END + LADDER_STEP:
        rungs.append(rungs[-1] + min(LADDER_STEP, LADDER_PHASE / 2 * rungs[-1] ** 3))
    return np.array([0.0, *rungs])


def _resistance(*, froude: Array, draft: Array, form: tuple[int, int], tolerance: float) -> Array:
    """Resistance over rho g L B**2: (speed, draft), each speed by halving the step.

    ``froude`` and ``draft`` (over length) are flat. The integrand falls as lambda**-4 once
    k T lambda**2 is large, latest for a shallow hull: that one tells when a speed has settled, so
    that the answer for one draft never depends on the others asked.
    """
    kl, tl = froude**-2, np.concatenate(([_SHALLOW], draft))
    least = 1e-3 * np.pi * 6**2 * tl[0] / kl**2  # a wave coefficient of 0.001 at L/B = 6
    reach = np.arccosh(2 * tolerance**-0.25 * np.sqrt(np.maximum(1.0, 200 / kl)))
    settled = np.empty((kl.size, tl.size))
    rows = np.arange(kl.size)
    intervals = _FIRST_INTERVALS
    total = 0.5 * _sum(kl, tl, form, np.ones((kl.size, 1)))
    total += _sum(kl, tl, form, _spread(reach, np.arange(1, intervals + 1) / intervals))
    coarse = total * (reach / intervals)[:, None]
    for _ in range(_MOST_DOUBLINGS):
        if not rows.size:
            return settled[:, 1:] * kl[:, None] / np.pi
        midway = (np.arange(intervals) + 0.5) / intervals
        intervals *= 2
        total += _sum(kl[rows], tl, form, _spread(reach[rows], midway))
        fine = total * (reach[rows] / intervals)[:, None]
        change = np.abs(fine[:, 0] - coarse[:, 0])
        close = change <= tolerance * np.maximum(fine[:, 0], least[rows])
        settled[rows[close]] = fine[close]
        rows, total, coarse = rows[~close], total[~close], fine[~close]
    raise ArithmeticError("the wave integral did not settle")


def _spread(reach: Array, share: Array) -> Array:
    """lambda = cosh u at shares of the reach of u: (speed, node)."""
    return np.cosh(reach[:, None] * share)


def _sum(kl: Array, tl: Array, form: tuple[int, int], spread: Array) -> Array:
    """The integrand summed over the nodes: (speed, draft)."""
    p, q = form
    along = (spread * _along(p, 0.5 * kl[:, None] * spread)) ** 2
    sink = kl[:, None] * spread**2
    depths = [np.einsum("ij,ij->i", along, (t * _down(q, t * sink)) ** 2) for t in tl]
    return np.stack(depths, axis=1)


def _along(p: int, a: Array) -> Array:
    """``2 p * integral over 0..1 of s**(p-1) sin(a s)``: the hull's length against a wave."""
    value = np.empty_like(a)
    small = a < p + 2
    x, w = _gauss()
    value[small] = np.sin(np.multiply.outer(a[small], x)) @ (w * x ** (p - 1))
    big = a[~small]
    inverse, sine, cosine = 1 / big, np.sin(big), np.cos(big)
    s, c = (1 - cosine) * inverse, sine * inverse
    for n in range(1, p):
        s, c = (n * c - cosine) * inverse, (sine - n * s) * inverse
    value[~small] = s
    return 2 * p * value


def _down(q: int, b: Array) -> Array:
    """``integral over 0..1 of (1 - s**q) exp(-b s)``: the hull's depth against a wave."""
    value = np.empty_like(b)
    small = b < q
    value[small] = chebyshev.chebval(2 * b[small] / q - 1, _down_below(q))
    big = b[~small]
    inverse, end = 1 / big, np.exp(-big)
    tail = whole = (1 - end) * inverse
    for n in range(1, q + 1):
        tail = (n * tail - end) * inverse
    value[~small] = whole - tail
    return value


@cache
def _down_below(q: int) -> Array:
    """Chebyshev coefficients of :func:`_down` for b in 0..q, to the last digits."""
    x, w = _gauss()
    at = chebyshev.chebpts1(_CHEBYSHEV_POINTS)
    b = 0.5 * q * (at + 1)
    integral = np.exp(np.multiply.outer(-b, x)) @ (w * (1 - x**q))
    return np.asarray(chebyshev.chebfit(at, integral, _CHEBYSHEV_POINTS - 1))


@cache
def _gauss() -> tuple[Array, Array]:
    """Sixteen Gauss nodes and weights on 0..1."""
    nodes, weights = np.polynomial.legendre.leggauss(16)
    return 0.5 * (nodes + 1), 0.5 * weights
