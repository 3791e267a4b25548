"""Fuse, breaker and control ratings."""

import numpy as np

from keelwatt.physics.cable import awg_area_mm2
from keelwatt.physics.real import Real, Truth

FUSE_WITHIN_M = 0.178
"""Longest wire from battery to fuse: 7 inches (33 CFR 183.455)."""

SMALLEST_CONDUCTOR_MM2 = float(awg_area_mm2(gauge=16))
"""Smallest single conductor, 16 AWG (33 CFR 183.425)."""

MOST_OVER_AMPACITY = 1.5
"""The most a fuse below 50 V may exceed its conductor's ampacity (33 CFR 183.455)."""


def smallest_fuse_a(*, max_current_a: Real) -> Real:
    """Least rating of a fuse or breaker that carries a current without nuisance.
    Source: Common practice: 10 % above the largest current.

    >>> round(smallest_fuse_a(max_current_a=50.0), 6)
    55.0
    """
    return 1.1 * max_current_a


def largest_fuse_a(*, ampacity_a: Real, over_ampacity: Real = 1.0) -> Real:
    """Greatest rating of a fuse or breaker that still protects a conductor.
     ``over_ampacity``: permitted rating over ampacity, 1 to 1.5.
    ValueError: for an ``over_ampacity`` outside 1 to 1.5.
    Source: 33 CFR 183.455: at most 150 % below 50 V; 100 % is the plain practice.

    >>> largest_fuse_a(ampacity_a=60.0)
    60.0
    """
    over = np.asarray(over_ampacity)
    if not np.all((over >= 1) & (over <= MOST_OVER_AMPACITY)):
        raise ValueError(f"a fuse may be rated 1 to 1.5 times the ampacity, not {over_ampacity}")
    return ampacity_a * over_ampacity


def short_circuit_a(*, capacity_ah: Real) -> Real:
    """Short-circuit current of one string whose maker states none.
    Source: 25 A for each Ah, from memory.

    >>> short_circuit_a(capacity_ah=100.0)
    2500.0
    """
    return 25.0 * capacity_ah


def smallest_controller_a(*, max_current_a: Real) -> Real:
    """Least rating of a pulse-width control for a motor.
    Source: Common practice: 25 % above the largest current.

    >>> smallest_controller_a(max_current_a=40.0)
    50.0
    """
    return 1.25 * max_current_a


STANDARD_FUSES_A = (
    *(1, 3, 6, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200),
    *(225, 250, 300, 350, 400, 450, 500, 600),
)
"""Standard ampere ratings of fuses and circuit breakers (NFPA 70, National Electrical Code,
240.6(A)), to 600 A."""

HIGHER_VOLTAGE_V = 50.0
"""From here a fuse may not pass the ampacity but to reach a standard size (33 CFR 183.455(c)(2)).
Above it a bank is outside ISO 13297 and inside ISO 16315."""


def largest_fuse_at_a(*, ampacity_a: Real, over_ampacity: Real, bank_voltage_v: Real) -> Real:
    """Greatest rating of a fuse or breaker that still protects a conductor, at a bank's voltage.
    From 50 V no more than the next standard size above the ampacity, whatever the policy. That the
    motor's own current stays within the ampacity is another rule.
     ``over_ampacity``: permitted rating over ampacity, 1 to 1.5.
    ``bank_voltage_v``: the highest, on the charger.
    ValueError: as :func:`largest_fuse_a`.
    Source: 33 CFR 183.455(c): at most 150 % of the ampacity below 50 V; from 50 V the ampacity, or
    the next standard size where that is none and within 150 %. Standard sizes: NFPA 70, 240.6(A).

    >>> float(largest_fuse_at_a(ampacity_a=95.0, over_ampacity=1.5, bank_voltage_v=57.6))
    100.0
    """
    policy = largest_fuse_a(ampacity_a=ampacity_a, over_ampacity=over_ampacity)
    sizes = np.array([*STANDARD_FUSES_A, np.inf])
    following = sizes[np.searchsorted(sizes, ampacity_a)]
    high = np.asarray(bank_voltage_v) >= HIGHER_VOLTAGE_V
    most: Real = np.where(high, np.minimum(policy, following), policy)[()]
    return most


def licensed_person_advised(*, charging_voltage_v: Real) -> Truth:
    """Whether a bank is charged above 50 V: outside ISO 13297's extra-low voltage, in ISO 16315.

    >>> bool(licensed_person_advised(charging_voltage_v=57.6))
    True
    """
    return np.asarray(charging_voltage_v) > HIGHER_VOLTAGE_V
