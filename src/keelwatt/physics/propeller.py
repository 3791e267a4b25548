"""The propeller: thrust from shaft speed and back, and the most any propeller can push.

``shaft_ratio`` is shaft speed over shaft speed at full throttle; ``speed_fraction`` is speed
through the water over the speed at which full throttle gives no thrust; ``thrust_fraction`` is
thrust over the tethered thrust at full throttle.
"""

import numpy as np

from keelwatt.physics.real import Real


def thrust_fraction(*, shaft_ratio: Real, speed_fraction: Real) -> Real:
    """Thrust at a shaft speed and a boat speed, over static thrust.

    Holds for 2 or 3 blades of pitch ratio 0.5 to 0.8 and area ratio 0.3 to 0.5, running ahead, to
    0.035 of static thrust. Below zero the propeller brakes. Leaves out the hull's wake and
    cavitation.

    Parameters
    ----------
    shaft_ratio : float or array, [-]
    speed_fraction : float or array, not negative [-]

    Returns
    -------
    float or array, broadcast, [-]

    References
    ----------
    Wageningen B-series (Oosterveld and van Oossanen, 1975), scaled by bollard value and
    zero-thrust advance: ``k_t = (1 - s)(1 + 0.22 s)``, s the scaled advance.

    >>> round(thrust_fraction(shaft_ratio=0.8, speed_fraction=0.5), 6)
    0.273
    """
    return (shaft_ratio - speed_fraction) * (shaft_ratio + 0.22 * speed_fraction)


def shaft_ratio(*, thrust_fraction: Real, speed_fraction: Real) -> Real:
    """Shaft speed that gives a thrust at a boat speed, over shaft speed at full throttle.

    Above 1 the motor cannot give that thrust. Holds where :func:`thrust_fraction` does.

    Parameters
    ----------
    thrust_fraction : float or array, not negative [-]
    speed_fraction : float or array, not negative [-]

    Returns
    -------
    float or array, broadcast, [-]

    References
    ----------
    The positive root of :func:`thrust_fraction`.

    >>> f"{shaft_ratio(thrust_fraction=0.273, speed_fraction=0.5):.6f}"
    '0.800000'
    """
    v = speed_fraction
    root: Real = np.sqrt(0.6084 * v**2 + 4 * (thrust_fraction + 0.22 * v**2))
    return (0.78 * v + root) / 2


def momentum_thrust_n(*, power_w: Real, diameter_m: Real, density_kg_m3: Real = 1000.0) -> Real:
    """The most static thrust an open propeller can give for its power.

    The actuator disc without loss: no real propeller reaches it, and a claim above it is false.
    A duct may exceed it.

    Parameters
    ----------
    power_w : float or array, [W]
    diameter_m : float or array, [m]
    density_kg_m3 : float or array, [kg/m3]

    Returns
    -------
    float or array, broadcast, [N]

    References
    ----------
    Rankine and Froude: ``(2 rho A P**2)**(1/3)``, A the disc's area.

    >>> f"{momentum_thrust_n(power_w=200.0, diameter_m=0.20):.2f}"
    '135.96'
    """
    area_m2 = np.pi * diameter_m**2 / 4
    thrust: Real = np.cbrt(2 * density_kg_m3 * area_m2 * power_w**2)
    return thrust
