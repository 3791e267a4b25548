"""The propeller: thrust from shaft speed and back, and the most any propeller can push.
``shaft_ratio`` is shaft speed over shaft speed at full throttle; ``speed_fraction`` is speed
through the water over the speed at which full throttle gives no thrust; ``thrust_fraction`` is
thrust over the tethered thrust at full throttle."""

import numpy as np

from keelwatt.physics.real import Real, Truth

THRUST_RATIO = 0.458
"""T0 / (rho V_p**2 D**2) of B2-38 at pitch ratio 0.6, where a catalog gives no speed V_p."""

PLAUSIBLE_THRUST_RATIOS = (0.30, 0.70)
"""The B-series runs from 0.371 to 0.580 at 2 or 3 blades of pitch ratio 0.5 to 0.8."""

DOUBTFUL_SHARE = 0.70
"""Share of the ceiling above which a claim is doubted. The best bollard figure of merit of 2 and 3
blades in the B-series, 0.664, and a small motor's efficiency of about 0.85 (from memory) leave
(0.664 * 0.85)**(2/3) = 0.68."""

CLAIMED_SHARE = 0.85
"""Share of a claimed thrust to plan with (from memory)."""

ASTERN_SHARE = 0.7
"""Thrust astern over thrust ahead of a propeller made for going ahead (from memory)."""


def thrust_fraction(*, shaft_ratio: Real, speed_fraction: Real) -> Real:
    """Thrust at a shaft speed and a boat speed, over static thrust.
    Holds for 2 or 3 blades of pitch ratio 0.5 to 0.8 and area ratio 0.3 to 0.5, running ahead, to
    0.035 of static thrust. Below zero the propeller brakes. Leaves out the hull's wake and
    cavitation.
    Source: Wageningen B-series (Oosterveld and van Oossanen, 1975), scaled by bollard value and
    zero-thrust advance: ``k_t = (1 - s)(1 + 0.22 s)``, s the scaled advance.

    >>> round(thrust_fraction(shaft_ratio=0.8, speed_fraction=0.5), 6)
    0.273
    """
    return (shaft_ratio - speed_fraction) * (shaft_ratio + 0.22 * speed_fraction)


def shaft_ratio(*, thrust_fraction: Real, speed_fraction: Real) -> Real:
    """Shaft speed that gives a thrust at a boat speed, over shaft speed at full throttle.
    Above 1 the motor cannot give that thrust. Holds where :func:`thrust_fraction` does.
    Source: The positive root of :func:`thrust_fraction`.

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
    Source: Rankine and Froude: ``(2 rho A P**2)**(1/3)``, A the disc's area.

    >>> f"{momentum_thrust_n(power_w=200.0, diameter_m=0.20):.2f}"
    '135.96'
    """
    area_m2 = np.pi * diameter_m**2 / 4
    thrust: Real = np.cbrt(2 * density_kg_m3 * area_m2 * power_w**2)
    return thrust


def thrust_ratio(
    *,
    static_thrust_n: Real,
    no_thrust_speed_m_s: Real,
    diameter_m: Real,
    density_kg_m3: Real = 1000.0,
) -> Real:
    """Static thrust over rho V_p**2 D**2, V_p the no-thrust speed.
    The propeller turns as it does tethered at full throttle, so it is K_T at rest over the square
    of the advance without thrust.
    Source: Wageningen B-series (Oosterveld and van Oossanen, 1975), their K_T and J.

    >>> ratio = thrust_ratio(static_thrust_n=130.0, no_thrust_speed_m_s=2.537, diameter_m=0.21)
    >>> f"{ratio:.3f}"
    '0.458'
    """
    return static_thrust_n / (density_kg_m3 * no_thrust_speed_m_s**2 * diameter_m**2)


def no_thrust_speed_m_s(
    *, static_thrust_n: Real, diameter_m: Real, density_kg_m3: Real = 1000.0
) -> Real:
    """Boat speed at which a propeller gives no thrust, where a catalog does not say.
    For 2 blades of pitch ratio 0.6, turning as tethered at full throttle.
    Source: :func:`thrust_ratio` of 0.458, inverted.

    >>> f"{no_thrust_speed_m_s(static_thrust_n=130.0, diameter_m=0.21):.3f}"
    '2.537'
    """
    speed: Real = np.sqrt(static_thrust_n / (THRUST_RATIO * density_kg_m3 * diameter_m**2))
    return speed


def plausible_thrust_ratio(*, thrust_ratio: Real) -> Truth:
    """Whether a :func:`thrust_ratio` lies within 0.30 to 0.70, round the B-series' own.
    Wageningen B-series (Oosterveld and van Oossanen, 1975), widened by common practice.

    >>> bool(plausible_thrust_ratio(thrust_ratio=0.75))
    False
    """
    least, most = PLAUSIBLE_THRUST_RATIOS
    return (np.asarray(thrust_ratio) >= least) & (np.asarray(thrust_ratio) <= most)


def doubtful_thrust(*, static_thrust_n: Real, ceiling_n: Real) -> Truth:
    """Whether a thrust is above 0.70 of the ceiling: more than such a propeller gives.
    The ceiling is :func:`momentum_thrust_n`.
    Wageningen B-series (Oosterveld and van Oossanen, 1975); the motor's part from memory.

    >>> bool(doubtful_thrust(static_thrust_n=96.0, ceiling_n=135.96))
    True
    """
    return np.asarray(static_thrust_n) > DOUBTFUL_SHARE * np.asarray(ceiling_n)


def planned_thrust_n(
    *, static_thrust_n: Real, measured: bool | Truth, claimed_share: Real = CLAIMED_SHARE
) -> Real:
    """Static thrust to plan with: a measured one whole, a share of one that is only claimed.
    ``static_thrust_n``: as the catalog says. ``measured``: bool or array, False where the thrust is
    a maker's claim. ``claimed_share``: [-], 0.85 from memory.
    Source: Soundings Trade Only (2020), a third party's tank test of four motors: measured over
    claimed thrust 0.54, 0.62, 0.64 and 1.14.

    >>> f"{planned_thrust_n(static_thrust_n=200.0, measured=False):.1f}"
    '170.0'
    """
    thrust: Real = np.where(measured, static_thrust_n, claimed_share * np.asarray(static_thrust_n))[
        ()
    ]
    return thrust
