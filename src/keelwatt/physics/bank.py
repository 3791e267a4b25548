"""A bank through a day: its voltages, the cold, charge used with devices, charging back."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, NamedTuple

import numpy as np

from keelwatt.physics.battery import LEAD_ACID, PEUKERT, charge_used_ah
from keelwatt.physics.real import Floats, Real, Truth

State = Literal["low", "nominal", "fresh", "charging"]

_VOLTS: Mapping[str, Mapping[str, float]] = MappingProxyType(
    {
        **{
            lead: {"low": 11.6 / 12, "fresh": 12.7 / 12, "charging": 14.4 / 12}
            for lead in LEAD_ACID
        },
        "lfp": {"low": 12.4 / 12.8, "fresh": 13.3 / 12.8, "charging": 3.65 / 3.2},
        "nmc": {"low": 3.4 / 3.7, "fresh": 4.1 / 3.7, "charging": 4.2 / 3.7},
    }
)
"""Volts per nominal volt under a day's load, full, and on the charger (from memory)."""

_COLD_F = (25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 68.0, 70.0, 77.0)
_COLD = (1.520, 1.430, 1.350, 1.300, 1.250, 1.190, 1.150, 1.110, 1.080, 1.056, 1.040, 1.000)

COLDEST_TABLED_C = (_COLD_F[0] - 32) / 1.8
"""25 degF, where the table of lead-acid's factors begins."""

SLOW_END_H = MappingProxyType({"lead": 6.0, "lithium": 1.0})
CHARGE_EFFICIENCY = MappingProxyType({"lead": 0.9, "lithium": 0.98})
"""The slow end of charging and the share of charge a battery keeps (from memory)."""


class ChargeShares(NamedTuple):
    """Where a bank's rated ampere-hours go, in this order; they add up to ``rated_ah``."""

    rated_ah: Real
    cold_ah: Real
    age_ah: Real
    chemistry_ah: Real
    reserve_ah: Real
    left_ah: Real


def bank_voltage_v(*, chemistry: str, nominal_voltage_v: Real, state: State) -> Real:
    """Voltage of a bank nearly empty, nominal, full, or on the charger.
    ``state``: "low", "nominal", "fresh" or "charging".
    ValueError: for another chemistry or state.
    Source: From memory.

    >>> f"{bank_voltage_v(chemistry='lfp', nominal_voltage_v=51.2, state='charging'):.1f}"
    '58.4'
    """
    if chemistry not in _VOLTS:
        raise ValueError(f"chemistry is one of {', '.join(_VOLTS)}, not {chemistry!r}")
    shares = {"nominal": 1.0, **_VOLTS[chemistry]}
    if state not in shares:
        raise ValueError(f"a bank's state is one of {', '.join(shares)}, not {state!r}")
    return shares[state] * nominal_voltage_v


def cold_factor(*, chemistry: str, temperature_c: Real) -> Real:
    """Share of capacity a battery keeps in the cold; warmth is not credited.
    From -10 to 60 degC. Lead-acid straight between the tabled temperatures; below 25 degF the
    last slope goes on, which wants a caution (``COLDEST_TABLED_C``). Leaves out the rate: an lfp
    cell kept at 0 degC gives less at C/2, one that warms itself in its box more.
    ValueError: for another chemistry, or outside -10 to 60 degC.
    Source: Lead-acid: 1 over the cell size factors of IEEE 485, Table 1 (from memory; from 40 degF
    up a public chart for station batteries has the same). Lithium: 1 at 20 degC, 0.80 at 0, 0.66 at
    -10, straight between (from memory; lfp data, taken for nmc too).

    >>> f"{cold_factor(chemistry='agm', temperature_c=10.0):.4f}"
    '0.8403'
    """
    if chemistry not in PEUKERT:
        raise ValueError(f"chemistry is one of {', '.join(PEUKERT)}, not {chemistry!r}")
    t = np.asarray(temperature_c, dtype=np.float64)
    if not np.all((t >= -10) & (t <= 60)):
        raise ValueError(f"battery temperature must lie within -10 to 60 degC, not {temperature_c}")
    factor: Real
    if chemistry not in LEAD_ACID:
        factor = np.interp(t, [-10.0, 0.0, 20.0], [0.66, 0.80, 1.0])
        return factor
    fahrenheit = 1.8 * t + 32
    colder = np.maximum(_COLD_F[0] - fahrenheit, 0.0)
    slope = (_COLD[0] - _COLD[1]) / (_COLD_F[1] - _COLD_F[0])
    factor = 1 / (np.interp(fahrenheit, _COLD_F, _COLD) + slope * colder)
    return factor


def charge_used_together_ah(
    *,
    leg_h: Floats,
    motor_a: Floats,
    device_h: Floats,
    device_a: Floats,
    strings: Real,
    capacity_ah: Real,
    rated_h: Real,
    peukert: Real,
) -> Real:
    """Charge a day takes out of a bank, motor and devices drawing together.
    What devices draw within the hours of the legs is added to every leg as their mean current;
    what they draw beyond, all at once, is charged alone. Strings share the current equally.
    ``leg_h``: array (..., legs). ``motor_a``: array (..., legs), current from the bank.
    ``device_h``: array (..., devices). ``device_a``: array (..., devices), current from the bank.
    ``strings``: (...), parallel strings. ``capacity_ah``: (...), rated capacity of one string.
    ``rated_h``: (...), hours of the rating. ``peukert``: (...), exponent, at least 1. Of the whole
    bank.
    Source: Peukert (1897), see :func:`keelwatt.physics.battery.charge_used_ah`.

    >>> used = charge_used_together_ah(leg_h=np.array([2.0]), motor_a=np.array([9.0]),
    ...     device_h=np.array([3.0]), device_a=np.array([1.0]), strings=1, capacity_ah=100.0,
    ...     rated_h=20.0, peukert=1.2)
    >>> f"{used:.2f}"  # 2 h of 10 A, which count 2**0.2 times, and 1 h of 1 A
    '23.97'
    """
    hours = np.asarray(leg_h.sum(axis=-1))
    within = (device_a * np.minimum(device_h, hours[..., None])).sum(axis=-1)
    mean = np.divide(
        within, hours, out=np.zeros(np.broadcast(within, hours).shape), where=hours > 0
    )
    beyond_h = np.maximum(device_h - hours[..., None], 0.0)
    beyond_a = np.where(beyond_h > 0, device_a, 0.0).sum(axis=-1)
    alone_ah = (device_a * beyond_h).sum(axis=-1)
    last = {k: np.asarray(v)[..., None] for k, v in _string(capacity_ah, rated_h, peukert).items()}
    split = np.asarray(strings, dtype=np.float64)
    legs = charge_used_ah(
        duration_h=leg_h, current_a=(motor_a + mean[..., None]) / split[..., None], **last
    )
    hungry = beyond_a > 0
    alone_h = np.divide(alone_ah, beyond_a, out=np.zeros_like(alone_ah), where=hungry)
    alone = charge_used_ah(
        duration_h=alone_h, current_a=beyond_a / split, **_string(capacity_ah, rated_h, peukert)
    )
    used: Real = (split * (np.sum(legs, axis=-1) + alone))[()]
    return used


def charging_h(*, chemistry: str, charge_ah: Real, charger_a: Real) -> Real:
    """Hours to charge back what was used, the slow end included; 0 for nothing used.
    Source: From memory: lead-acid keeps 0.9 of the charge and ends with 6 h (makers print 6 to 10
    h), lithium 0.98 and 1 h.

    >>> f"{charging_h(chemistry='agm', charge_ah=32.0, charger_a=5.0):.1f}"
    '13.1'
    """
    kind = "lead" if chemistry in LEAD_ACID else "lithium"
    hours = charge_ah / (CHARGE_EFFICIENCY[kind] * np.asarray(charger_a)) + SLOW_END_H[kind]
    charging: Real = np.where(np.asarray(charge_ah) > 0, hours, 0.0)[()]
    return charging


def slow_charger(*, chemistry: str, charger_a: Real, capacity_ah: Real) -> Truth:
    """Whether a charger gives lead-acid less than a tenth of its rated capacity an hour.
    Common practice; lithium does not mind.

    >>> bool(slow_charger(chemistry="agm", charger_a=5.0, capacity_ah=80.0))
    True
    """
    return (chemistry in LEAD_ACID) & (np.asarray(charger_a) < np.asarray(capacity_ah) / 10)


def charge_shares(
    *, rated_ah: Real, cold_factor: Real, health: Real, usable_share: Real, reserve: Real
) -> ChargeShares:
    """Where a bank's ampere-hours go: cold, age, what the chemistry may give, reserve, left.
    ``cold_factor``, ``usable_share``: by the functions of that name. ``health``: share that an aged
    bank keeps. ``reserve``: share of the usable charge kept back.
    Source: Common practice.

    >>> shares = charge_shares(rated_ah=100.0, cold_factor=0.8, health=0.9, usable_share=0.5,
    ...                        reserve=0.25)
    >>> [round(float(part), 6) for part in shares]
    [100.0, 20.0, 8.0, 36.0, 9.0, 27.0]
    """
    warm = rated_ah * cold_factor
    aged = warm * health
    usable = aged * usable_share
    left = usable * (1 - reserve)
    return ChargeShares(rated_ah, rated_ah - warm, warm - aged, aged - usable, usable - left, left)


def _string(capacity_ah: Real, rated_h: Real, peukert: Real) -> dict[str, Real]:
    return {"capacity_ah": capacity_ah, "rated_h": rated_h, "peukert": peukert}
