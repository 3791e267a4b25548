"""Laws written out at full length, which the room's quicker forms are held against."""

from collections.abc import Callable

import numpy as np

from keelwatt.physics.battery import charge_used_ah
from keelwatt.physics.michell import resistance_share
from keelwatt.physics.motor import current_fraction, shaft_ratio_at_voltage
from keelwatt.physics.propeller import thrust_fraction
from keelwatt.physics.real import Floats, Real
from keelwatt.physics.rungs import LADDER_START, froude_number
from keelwatt.physics.steps import Running, StepMotor
from keelwatt.physics.water import G

_HALVINGS = 52

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
    ``speed_m_s``: (n,), through the water, not negative. ``draft_m``: (m,), above 0. ``fineness,
    fullness``: int, exponents p and q, at least 2. Returns float or array (n, m), without the axis
    of a scalar.
    ValueError: outside Froude numbers 0 to 3. ArithmeticError: if the integral does not settle.
    Source: J. H. Michell, Philosophical Magazine 45 (1898) 106: ``4 rho g**2 / (pi V**2) * integral
    (I**2 + J**2) lambda**2 / sqrt(lambda**2 - 1)``, with lambda = cosh u by the trapezoid rule,
    which converges exponentially on an even analytic integrand (Trefethen and Weideman, SIAM Review
    56 (2014) 385).
    """
    speed = np.asarray(speed_m_s, dtype=np.float64)
    draft = np.asarray(draft_m, dtype=np.float64)
    share = np.zeros((speed.size, draft.size))
    froude = froude_number(speed_m_s=speed, length_m=length_m)
    moving = froude > LADDER_START
    share[moving] = resistance_share(
        froude=froude[moving],
        draft=draft.ravel() / length_m,
        form=(fineness, fullness),
        tolerance=_FINE,
    )
    scale = density_kg_m3 * G * length_m * beam_m**2
    shaped: Real = scale * share.reshape(speed.shape + draft.shape)[()]
    return shaped


def step_running(
    *,
    motor: StepMotor,
    series_ohm: Real,
    supply_voltage_v: Real,
    resistance_n: Callable[[Floats], Floats],
) -> Running:
    """Speed and current at which a boat settles on a step, by bisection on its thrust.

    Thrust on a step falls with speed and resistance does not, so there is one such speed; 0 where
    the step cannot overcome the resistance at rest, with the current of the motor at rest.
    ``motor``: StepMotor. ``series_ohm``: see :func:`series_resistance_ohm`; 0 at full throttle.
    ``supply_voltage_v``: of the bank less the cable's drop. ``resistance_n``: function of an array
    of speeds through the water [m/s], of the shape all others broadcast to; gives as many
    resistances that never fall with speed. Returns Running, arrays of that shape.
    Source: Kirchhoff: ``V_b (1 - d) = V_m(r, v) + I(r, v) R``; thrust equals resistance.
    """
    idle = motor.no_load_a / np.asarray(motor.max_current_a)
    supply = supply_voltage_v / np.asarray(motor.nominal_voltage_v)
    series = series_ohm * np.asarray(motor.max_current_a) / motor.nominal_voltage_v

    def turning(speed_m_s: Floats) -> Real:
        return shaft_ratio_at_voltage(
            voltage_fraction=supply,
            speed_fraction=speed_m_s / motor.no_thrust_speed_m_s,
            no_load_fraction=idle,
            winding_fraction=motor.winding_fraction,
            series_fraction=series,
        )

    def spare_n(speed_m_s: Floats) -> Floats:
        thrust = motor.static_thrust_n * np.asarray(
            thrust_fraction(
                shaft_ratio=turning(speed_m_s),
                speed_fraction=speed_m_s / motor.no_thrust_speed_m_s,
            )
        )
        return np.asarray(thrust - resistance_n(speed_m_s))

    fastest = supply / (1 - np.asarray(motor.winding_fraction)) * motor.no_thrust_speed_m_s
    high = fastest + np.zeros(np.broadcast_shapes(*(np.shape(x) for x in (*motor, series, supply))))
    low = np.zeros_like(high)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        pulls = spare_n(middle) > 0
        low, high = np.where(pulls, middle, low), np.where(pulls, high, middle)
    current = motor.max_current_a * np.asarray(
        current_fraction(
            shaft_ratio=turning(low),
            speed_fraction=low / motor.no_thrust_speed_m_s,
            no_load_fraction=idle,
        )
    )
    return Running(low, current)


def hours_to_empty(*, current_a: Real, capacity_ah: Real, rated_h: Real, peukert: Real) -> Real:
    """Hours until the whole rated capacity of one string is used.

    As :func:`charge_used_ah`; without current, for ever.
    ``current_a``: of one string, not negative. ``capacity_ah``: rated capacity of one string.
    ``rated_h``: hours of the rating. ``peukert``: exponent, at least 1. Returns float or array,
    broadcast, [h].
    Source: Peukert (1897) in the form for any rating: ``H (C / (I H))**k``. The form ``C / I**k``
    holds for a one-hour rating alone.
    """
    used_in_one_hour = charge_used_ah(
        duration_h=1.0,
        current_a=current_a,
        capacity_ah=capacity_ah,
        rated_h=rated_h,
        peukert=peukert,
    )
    with np.errstate(divide="ignore"):
        hours: Real = np.divide(capacity_ah, used_in_one_hour)
    return hours
