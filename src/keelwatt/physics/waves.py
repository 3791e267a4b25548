"""Wave resistance of the parametric hull by thin-ship theory."""

import numpy as np

from keelwatt.physics.michell import Array, resistance_share
from keelwatt.physics.real import Real
from keelwatt.physics.water import G

LEAST_FROUDE = 0.05
"""Up to this Froude number waves count as nothing."""

MOST_FROUDE = 3.0

_FINE = 1e-6
"""How closely the wave coefficient is resolved: as a share of itself, or of 0.001 where it is
less."""


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
    share = np.zeros((speed.size, draft.size))
    froude = froude_number(speed_m_s=speed, length_m=length_m)
    moving = froude > LEAST_FROUDE
    share[moving] = resistance_share(
        froude=froude[moving],
        draft=draft.ravel() / length_m,
        form=(fineness, fullness),
        tolerance=_FINE,
    )
    scale = density_kg_m3 * G * length_m * beam_m**2
    shaped: Real = scale * share.reshape(speed.shape + draft.shape)[()]
    return shaped


def froude_number(*, speed_m_s: Array, length_m: float) -> Array:
    """Speed over the root of g times length.

    Parameters
    ----------
    speed_m_s : array, through the water, not negative [m/s]
    length_m : float, on the waterline [m]

    Returns
    -------
    array, flat, [-]

    Raises
    ------
    ValueError
        Outside 0 to 3.

    References
    ----------
    Its definition.

    >>> froude_number(speed_m_s=np.array([2.0]), length_m=4.5).round(3)
    array([0.301])
    """
    froude: Array = speed_m_s.ravel() / np.sqrt(G * length_m)
    if not np.all((froude >= 0) & (froude <= MOST_FROUDE)):
        raise ValueError(f"Froude numbers must lie within 0 to {MOST_FROUDE:g}, not {froude}")
    return froude
