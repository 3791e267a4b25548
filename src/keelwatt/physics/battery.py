"""Batteries: charge used, time to empty, and what share of the rating an owner lets be used."""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from keelwatt.physics.real import Real

LEAD_ACID = frozenset({"flooded", "agm", "gel"})

PEUKERT: Mapping[str, float] = MappingProxyType(
    {"flooded": 1.30, "gel": 1.15, "agm": 1.10, "lfp": 1.03, "nmc": 1.05}
)
"""Peukert exponents where a catalog is silent, inside the ranges commonly printed, their origin
unnamed (flooded 1.2 to 1.6, gel 1.1 to 1.25, agm 1.05 to 1.15); lfp and nmc from memory."""

DEVICE_EFFICIENCY = 0.9

_USABLE: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        **{lead: {"everyday": 0.5, "occasional": 0.6, "limit": 0.8} for lead in LEAD_ACID},
        "lfp": {"everyday": 0.9, "occasional": 1.0, "limit": 1.0},
        "nmc": {"everyday": 0.8, "occasional": 0.9, "limit": 1.0},
    }
)


def _strain(current_a: Real, capacity_ah: Real, rated_h: Real, peukert: Real) -> Real:
    """Charge used over charge drawn; a current below the rated one earns no credit."""
    over = np.maximum(1.0, current_a * rated_h / capacity_ah)
    strain: Real = np.power(over, np.asarray(peukert) - 1)
    return strain


def charge_used_ah(
    *, duration_h: Real, current_a: Real, capacity_ah: Real, rated_h: Real, peukert: Real
) -> Real:
    """Charge a discharge takes out of the rated capacity of one string.
    Peukert's law above the rated current; below it the plain charge, which is on the safe side.
    Leaves out temperature, age and recovery at rest.
    ``current_a``: of one string. ``capacity_ah``: rated capacity of one string. ``rated_h``: hours
    of the rating. ``peukert``: exponent, at least 1.
    Source: Peukert (1897) in the form for any rating: ``t I (I H / C)**(k - 1)``.

    >>> charge = charge_used_ah(duration_h=8.7055, current_a=10, capacity_ah=100, rated_h=20,
    ...                         peukert=1.2)
    >>> f"{charge:.2f}"
    '100.00'
    """
    return duration_h * current_a * _strain(current_a, capacity_ah, rated_h, peukert)


def usable_share(*, chemistry: str, policy: str) -> float:
    """Share of capacity an owner lets an outing use.
    ``policy``: "everyday", "occasional" or "limit".
    ValueError: for another chemistry or policy.
    Source: Common practice: the deeper the discharges, the fewer of them.

    >>> usable_share(chemistry="agm", policy="everyday")
    0.5
    """
    shares = _USABLE[_known(chemistry)]
    if policy not in shares:
        raise ValueError(f"discharge is one of {', '.join(shares)}, not {policy!r}")
    return shares[policy]


def device_current_a(*, power_w: Real, bank_voltage_v: Real) -> Real:
    """Current a phone, logger, sounder or light draws from the bank.
    Source: Common practice: a converter of 90 % efficiency.

    >>> round(device_current_a(power_w=10.8, bank_voltage_v=12.0), 6)
    1.0
    """
    return power_w / (DEVICE_EFFICIENCY * bank_voltage_v)


def _known(chemistry: str) -> str:
    if chemistry not in PEUKERT:
        raise ValueError(f"chemistry is one of {', '.join(PEUKERT)}, not {chemistry!r}")
    return chemistry
