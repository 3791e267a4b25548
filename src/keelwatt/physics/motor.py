"""The motor and its speed control: current, power, steps."""

import numpy as np

from keelwatt.physics.real import Real


def current_a(
    *, shaft_ratio: Real, speed_fraction: Real, max_current_a: Real, no_load_a: Real
) -> Real:
    """Current the motor takes at a shaft speed and a boat speed.

    The propeller's torque and a constant no-load current. Holds for ``shaft_ratio`` at or above
    ``speed_fraction`` and 2 or 3 blades of pitch ratio 0.5 to 0.8 and area ratio 0.3 to 0.5, to
    0.105 of bollard torque. Starting and acceleration are left out.

    Parameters
    ----------
    shaft_ratio : float or array, shaft speed over that at full throttle [-]
    speed_fraction : float or array, boat speed over the no-thrust speed [-]
    max_current_a : float or array, at full throttle, tethered [A]
    no_load_a : float or array, [A]

    Returns
    -------
    float or array, broadcast, [A]

    References
    ----------
    Wageningen B-series (Oosterveld and van Oossanen, 1975), scaled by bollard value and
    zero-thrust advance: ``k_q = 1 - 0.85 s + 0.18 s (1 - s)``, s the scaled advance.

    >>> round(current_a(shaft_ratio=0.6, speed_fraction=0.3, max_current_a=30, no_load_a=1), 4)
    7.4728
    """
    r, v = shaft_ratio, speed_fraction
    return no_load_a + (max_current_a - no_load_a) * (r**2 - 0.67 * r * v - 0.18 * v**2)


def power_w(*, shaft_ratio: Real, voltage_v: Real, current_a: Real) -> Real:
    """Electrical power at the motor's terminals.

    The voltage follows the shaft speed; the drop over brushes and winding is left out.

    Parameters
    ----------
    shaft_ratio : float or array, shaft speed over that at full throttle [-]
    voltage_v : float or array, nominal [V]
    current_a : float or array, [A]

    Returns
    -------
    float or array, broadcast, [W]

    References
    ----------
    Back electromotive force in proportion to shaft speed.

    >>> power_w(shaft_ratio=0.5, voltage_v=12.0, current_a=10.0)
    60.0
    """
    return shaft_ratio * voltage_v * current_a


def step_ratio(*, shaft_ratio: Real, steps: Real) -> Real:
    """Shaft speed of the lowest step of a stepped control that is fast enough.

    Steps are equal parts of full speed; a ratio of 0 is "off". A ratio above a step by less than
    one part in 1e9 of full speed counts as that step.

    Parameters
    ----------
    shaft_ratio : float or array, not negative [-]
    steps : int or array, number of forward steps, at least 1

    Returns
    -------
    float or array, broadcast, [-]; nan where no step is fast enough

    Raises
    ------
    ValueError
        If a control has fewer than one step.

    References
    ----------
    Common practice.

    >>> float(step_ratio(shaft_ratio=0.41, steps=5))
    0.6
    """
    if np.any(np.asarray(steps) < 1):
        raise ValueError(f"a stepped control has at least one step, not {steps}")
    step = np.ceil(np.asarray(shaft_ratio) * steps - 1e-9 * np.asarray(steps))
    ratio: Real = np.where(step <= steps, np.maximum(step, 0.0) / steps, np.nan)[()]
    return ratio


def chopper_current_a(
    *, motor_power_w: Real, efficiency: Real, drop_fraction: Real, bank_voltage_v: Real
) -> Real:
    """Current a pulse-width control draws from the bank.

    The cable's loss is taken at its permitted limit, which is on the safe side.

    Parameters
    ----------
    motor_power_w : float or array, [W]
    efficiency : float or array, of the control, 0 to 1 [-]
    drop_fraction : float or array, permitted voltage drop, 0 to below 1 [-]
    bank_voltage_v : float or array, [V]

    Returns
    -------
    float or array, broadcast, [A]

    References
    ----------
    Energy balance.

    >>> chopper_current_a(motor_power_w=114.0, efficiency=0.95, drop_fraction=0.2,
    ...                   bank_voltage_v=12.5)
    12.0
    """
    return motor_power_w / (efficiency * (1 - drop_fraction)) / bank_voltage_v
