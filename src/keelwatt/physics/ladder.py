"""Wave resistance without its hollows, as a running maximum over a ladder of speeds.
Source: Michell's integral (``michell``); not crediting its hollows is common practice."""

import numpy as np

from keelwatt.physics.michell import resistance_share
from keelwatt.physics.real import Floats, Ints, Real
from keelwatt.physics.rungs import STENCIL, froude_number, rung_froudes, station_froudes, stencils
from keelwatt.physics.water import G

LIFT = 9e-4
"""What is added to every rung: the tolerance of the integral, the polynomial's error, and what a
chord cuts off a hump between rungs, none of which may put the table below the law."""

_COARSE = 3e-4
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
    runs over a ladder of Froude numbers from 0.05, each rung lifted a little; between rungs
    the curve is straight in V**4. Never below the law, and at most 0.2 % above it; below a Froude
    number of 0.05, where the law counts no waves, it grows from rest as V**4.
    ``speed_m_s``: (n,). ``draft_m``: (m,), above 0. Returns (n, m), without the axis of a scalar.
    ValueError: outside Froude numbers 0 to 3. ArithmeticError: if the integral does not settle.

    >>> r = running_maximum_n(speed_m_s=2.0, draft_m=0.12, length_m=4.5, beam_m=0.8, fineness=2,
    ...                       fullness=4, density_kg_m3=999.1)
    >>> f"{r:.2f}"
    '16.11'
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
    ValueError: outside Froude numbers 0 to 3.

    >>> rungs_for(speed_m_s=0.1, length_m=4.5)
    3
    """
    (froude,) = froude_number(speed_m_s=np.array([speed_m_s]), length_m=length_m)
    return int(np.searchsorted(rung_froudes(), froude)) + 2


def rung_speeds_m_s(*, rungs: int, length_m: float) -> Floats:
    """The speeds of the lowest rungs of the ladder; between them :func:`highest_n` grows as V**4.
    ``rungs``: int, see :func:`rungs_for`. Returns array (rungs,).

    >>> rung_speeds_m_s(rungs=2, length_m=4.5).round(3)
    array([0.   , 0.332])
    """
    speeds: Floats = rung_froudes()[:rungs] * np.sqrt(G * length_m)
    return speeds


def rung_resistance_n(
    *,
    rungs: int,
    draft_m: Floats,
    length_m: float,
    beam_m: float,
    fineness: int,
    fullness: int,
    density_kg_m3: float,
) -> Floats:
    """Wave resistance on the lowest rungs of the ladder, hollows and all.
    Smooth in draft, where :func:`running_maximum_n` is not: what is wanted at many drafts may be
    interpolated here, before :func:`highest_n`.
    ``rungs``: int, see :func:`rungs_for`. ``draft_m``: array (m,), above 0. Returns array (rungs,
    m).
    ArithmeticError: if the integral does not settle.
    Source: as :func:`running_maximum_n`, the coefficient to 3e-4, each rung lifted by ``LIFT``.

    >>> r = rung_resistance_n(rungs=3, draft_m=np.array([0.12]), length_m=4.5, beam_m=0.8,
    ...                       fineness=2, fullness=4, density_kg_m3=999.1)
    >>> r.shape
    (3, 1)
    """
    places, weights = stencils()
    stations = station_froudes()[: int(places[rungs - 1]) + STENCIL]
    share = resistance_share(
        froude=stations, draft=draft_m / length_m, form=(fineness, fullness), tolerance=_COARSE
    )
    rung_n = np.zeros((rungs, draft_m.size))
    for each in range(STENCIL):
        rung_n[1:] += weights[1:rungs, each, None] * share[places[1:rungs] + each]
    scale = (1 + LIFT) * density_kg_m3 * G * length_m * beam_m**2
    return scale * rung_n


def highest_n(*, speed_m_s: Floats, rung_n: Floats, length_m: float) -> Floats:
    """The largest wave resistance at any speed up to the one asked, from that on the rungs.
    ``speed_m_s``: array (n,). ``rung_n``: array (rungs, m), rungs enough for the speeds. Returns
    array (n, m).
    ValueError: outside Froude numbers 0 to 3.

    >>> highest_n(speed_m_s=np.array([0.0]), rung_n=np.zeros((3, 1)), length_m=4.5)
    array([[0.]])
    """
    froude_number(speed_m_s=speed_m_s, length_m=length_m)
    return between_rungs_n(
        speed_m_s=speed_m_s[:, None],
        fourth=rung_speeds_m_s(rungs=len(rung_n), length_m=length_m) ** 4,
        rung_n=rung_n,
        crest_n=crests_n(rung_n=rung_n),
        column=np.arange(rung_n.shape[1]),
    )


def crests_n(*, rung_n: Floats) -> Floats:
    """The largest wave resistance on any rung up to each.
    ``rung_n``: array (rungs, m). Returns array (rungs, m).

    >>> crests_n(rung_n=np.array([[0.0], [3.0], [2.0], [4.0]])).ravel()
    array([0., 3., 3., 4.])
    """
    crests: Floats = np.maximum.accumulate(rung_n, axis=0)
    return crests


def between_rungs_n(
    *, speed_m_s: Floats, fourth: Floats, rung_n: Floats, crest_n: Floats, column: Ints
) -> Floats:
    """Wave resistance without its hollows, each hull at a speed of its own.
    Between rungs the curve is straight in V**4; where it rises above the last crest, that ends. (A
    crest alone, drawn straight to the next, would lie up to 1 % above.) Beyond the last rung the
    last piece goes on.
    ``speed_m_s``: array, through the water. ``fourth``: array (rungs,), the fourth powers of the
    rungs' speeds [m4/s4]. ``rung_n``: array (rungs, m), see :func:`rung_resistance_n`. ``crest_n``:
    array (rungs, m), see :func:`crests_n`. ``column``: integers, each hull's place in the m.
    Returns array, ``speed_m_s`` and ``column`` broadcast.

    >>> rung_n = np.array([[0.0], [3.0], [2.0], [4.0]])
    >>> between_rungs_n(speed_m_s=np.array([1.1, 1.3]), fourth=np.array([0.0, 1, 2, 3]),
    ...     rung_n=rung_n, crest_n=crests_n(rung_n=rung_n), column=np.zeros(2, int)).round(2)
    array([3.  , 3.71])
    """
    at = speed_m_s**4
    above = np.clip(np.searchsorted(fourth, at, side="right"), 1, fourth.size - 1)
    start, low = fourth[above - 1], rung_n[above - 1, column]
    share = (at - start) / (fourth[above] - start)
    curve = low + share * (rung_n[above, column] - low)
    return np.maximum(crest_n[above - 1, column], curve)
