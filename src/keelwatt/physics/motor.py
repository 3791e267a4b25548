"""The motor and its chopper: current, voltage, shaft speed."""

import numpy as np

from keelwatt.physics.real import Real

NO_LOAD_FRACTION = 0.04
WINDING_FRACTION = 0.20
"""No-load current over full current, and the part of nominal voltage lost in winding, brushes and
leads at full current, where a catalog is silent (from memory; the latter 0.15 to 0.25)."""


def chopper_current_a(
    *, motor_power_w: Real, efficiency: Real, drop_fraction: Real, bank_voltage_v: Real
) -> Real:
    """Current a pulse-width control draws from the bank.
    The cable's loss is taken at its permitted limit, which is on the safe side.
    ``efficiency``: of the control, 0 to 1. ``drop_fraction``: permitted voltage drop, 0 to below 1.
    Source: Energy balance.

    >>> chopper_current_a(motor_power_w=114.0, efficiency=0.95, drop_fraction=0.2,
    ...                   bank_voltage_v=12.5)
    12.0
    """
    return motor_power_w / (efficiency * (1 - drop_fraction)) / bank_voltage_v


def current_fraction(*, shaft_ratio: Real, speed_fraction: Real, no_load_fraction: Real) -> Real:
    """Current at a shaft speed and a boat speed, over that at full throttle tethered at nominal.
    The propeller's torque and a constant no-load current, never less than the latter. Holds for 2
    or 3 blades of pitch ratio 0.5 to 0.8 and area ratio 0.3 to 0.5, to 0.105 of bollard torque,
    above full throttle too, on a bank above the nominal voltage. Starting is left out.
    ``shaft_ratio``: shaft speed over that at full throttle tethered. ``speed_fraction``: boat speed
    over the no-thrust speed. ``no_load_fraction``: no-load over full current.
    Source: Wageningen B-series (Oosterveld and van Oossanen, 1975), scaled by bollard value and
    zero-thrust advance: ``k_q = 1 - 0.85 s + 0.18 s (1 - s)``, s the scaled advance.

    >>> f"{current_fraction(shaft_ratio=1.0558, speed_fraction=0.0, no_load_fraction=0.04):.3f}"
    '1.110'
    """
    r, v = shaft_ratio, speed_fraction
    torque = np.maximum(r**2 - 0.67 * r * v - 0.18 * v**2, 0.0)
    current: Real = no_load_fraction + (1 - no_load_fraction) * torque
    return current


def voltage_fraction(
    *,
    shaft_ratio: Real,
    current_fraction: Real,
    winding_fraction: Real,
    series_fraction: Real = 0.0,
) -> Real:
    """Voltage a motor needs, over nominal: for its speed, its winding and a resistance before it.
    ``shaft_ratio``: shaft speed over that at full throttle tethered. ``current_fraction``: current
    over full current. ``winding_fraction``: part of the nominal voltage lost in winding, brushes
    and leads at full current [-]; 0.20 from memory (0.15 to 0.25). ``series_fraction``: part lost
    at full current in a resistance in series.
    Source: Direct-current motor: back electromotive force in proportion to shaft speed, Ohm's law.

    >>> f"{voltage_fraction(shaft_ratio=0.5, current_fraction=0.28, winding_fraction=0.2):.3f}"
    '0.456'
    """
    return (1 - winding_fraction) * shaft_ratio + (
        winding_fraction + series_fraction
    ) * current_fraction


def shaft_ratio_at_voltage(
    *,
    voltage_fraction: Real,
    speed_fraction: Real,
    no_load_fraction: Real,
    winding_fraction: Real,
    series_fraction: Real = 0.0,
) -> Real:
    """Shaft speed a voltage drives a motor to, over that at full throttle tethered at nominal.
    The inverse of :func:`voltage_fraction` with :func:`current_fraction`; 0 where the voltage does
    not overcome the no-load current.
    ``voltage_fraction``: the bank's less the cable's drop, over nominal. ``speed_fraction``: boat
    speed over the no-thrust speed. ``no_load_fraction``: no-load over full current.
    ``winding_fraction``: see :func:`voltage_fraction`, below 1. ``series_fraction``: see
    :func:`voltage_fraction`.
    Source: The positive root of the quadratic; without torque, the straight line.

    >>> r = shaft_ratio_at_voltage(voltage_fraction=14.4 / 12, speed_fraction=0.0,
    ...                            no_load_fraction=0.04, winding_fraction=0.2)
    >>> f"{r:.4f}"
    '1.1645'
    """
    v, lost = speed_fraction, winding_fraction + np.asarray(series_fraction)
    bend, free = lost * (1 - no_load_fraction), lost * no_load_fraction - voltage_fraction
    slope = 1 - winding_fraction - 0.67 * v * bend
    offset = free - 0.18 * v**2 * bend
    root = np.sqrt(np.maximum(slope**2 - 4 * bend * offset, 0.0))
    # Current is the larger of torque's and no-load, so the speed is the smaller of two roots; the
    # first is written so that it stands without winding too.
    driven = -2 * offset / (slope + root)
    idling = -free / (1 - np.asarray(winding_fraction))
    ratio: Real = np.maximum(np.minimum(driven, idling), 0.0)
    return ratio


def rated_current_a(*, current_a: Real) -> Real:
    """The current wiring and control are chosen for: rounded up to a tenth of an ampere.
    Common practice; nothing on a shelf is marked more finely.

    >>> float(rated_current_a(current_a=35.01))
    35.1
    """
    rated: Real = np.ceil(10.0 * np.asarray(current_a) - 1e-6) / 10.0
    return rated
