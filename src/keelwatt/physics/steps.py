"""A stepped speed control: the current, resistance and speed of each step.
Each step puts a resistance in series with the motor. On it the boat settles where the bank's
voltage turns the propeller just fast enough for the boat's own resistance."""

from typing import NamedTuple

import numpy as np

from keelwatt.physics.motor import current_fraction, voltage_fraction
from keelwatt.physics.propeller import shaft_ratio
from keelwatt.physics.real import Floats, Real

LOWEST_STEP = 0.28
"""Tethered current of the lowest step over full current (common practice, from memory)."""


class StepMotor(NamedTuple):
    """What a stepped motor is, each a float or array: they broadcast against each other."""

    static_thrust_n: Real
    no_thrust_speed_m_s: Real
    max_current_a: Real
    no_load_a: Real
    nominal_voltage_v: Real
    winding_fraction: Real


class Running(NamedTuple):
    """What a step brings: boat speed through the water [m/s] and current [A]."""

    speed_m_s: Floats
    current_a: Floats


def step_currents_a(*, max_current_a: Real, steps: int) -> Floats:
    """Tethered current of every step where a maker prints none.
    ``max_current_a``: full throttle, tethered. ``steps``: int, at least 1. Returns array, the shape
    of ``max_current_a`` and a last axis of steps.
    ValueError: for fewer than one step.
    Source: Common practice, from memory: the lowest of five draws between a quarter and a third of
    full current; the others in equal ratios, ``I_max 0.28**((n - j) / (n - 1))``.

    >>> step_currents_a(max_current_a=30.0, steps=5).round(2)
    array([ 8.4 , 11.55, 15.87, 21.82, 30.  ])
    """
    if steps < 1:
        raise ValueError(f"a stepped control has at least one step, not {steps}")
    place = np.arange(steps - 1, -1, -1) / max(steps - 1, 1)
    currents: Floats = np.multiply.outer(max_current_a, LOWEST_STEP**place)
    return currents


def step_shaft_ratio(*, step_current_a: Real, max_current_a: Real, no_load_a: Real) -> Real:
    """Tethered shaft speed on a step, over that at full throttle.
    ``step_current_a``: tethered at nominal voltage, from ``no_load_a``. ``max_current_a``: at full
    throttle, tethered.
    Source: :func:`keelwatt.physics.motor.current_fraction` at rest, inverted.

    >>> f"{130 * step_shaft_ratio(step_current_a=8.4, max_current_a=30, no_load_a=1.2)**2:.2f} N"
    '32.50 N'
    """
    turning = np.maximum(step_current_a - np.asarray(no_load_a), 0.0)
    ratio: Real = np.sqrt(turning / (max_current_a - np.asarray(no_load_a)))
    return ratio


def series_resistance_ohm(
    *,
    step_current_a: Real,
    max_current_a: Real,
    no_load_a: Real,
    nominal_voltage_v: Real,
    winding_fraction: Real,
) -> Real:
    """Resistance a step puts in series with the motor.
    ``step_current_a``: tethered at nominal voltage, from ``no_load_a`` to ``max_current_a``.
    ``max_current_a``: at full throttle, tethered. ``winding_fraction``: part of the voltage lost in
    the winding at full current.
    Source: Ohm's law: the nominal voltage less the motor's own, over the step's current.

    >>> ohm = series_resistance_ohm(step_current_a=8.4, max_current_a=30.0, no_load_a=1.2,
    ...                             nominal_voltage_v=12.0, winding_fraction=0.2)
    >>> f"{ohm:.4f}"
    '0.7771'
    """
    turning = step_shaft_ratio(
        step_current_a=step_current_a, max_current_a=max_current_a, no_load_a=no_load_a
    )
    motor = voltage_fraction(
        shaft_ratio=turning,
        current_fraction=step_current_a / np.asarray(max_current_a),
        winding_fraction=winding_fraction,
    )
    ohm: Real = np.maximum(nominal_voltage_v * (1 - np.asarray(motor)) / step_current_a, 0.0)
    return ohm


def step_running_on_ladder(
    *,
    motor: StepMotor,
    series_ohm: Floats,
    supply_voltage_v: Real,
    speeds_m_s: Floats,
    resistance_n: Floats,
) -> Running:
    """Speed and current at which a boat settles on every step, from resistances on a ladder.
    The voltage a step needs rises with speed: it is looked up, straight between rungs, as is the
    current. 0 where a step cannot overcome the resistance at rest, with the current that
    would hold the boat there (more than it draws); nan beyond the last rung.
    ``motor``: its arrays of shape (...) or less. ``series_ohm``: array (..., n), of n steps, see
    :func:`series_resistance_ohm`. ``supply_voltage_v``: (...), of the bank less the cable's drop.
    ``speeds_m_s``: array (s,), rising from 0. ``resistance_n``: array (..., s), never falling with
    speed. Returns Running, arrays (..., n).
    Source: Kirchhoff: ``V_b (1 - d) = V_m(r, v) + I(r, v) R``; thrust equals resistance.

    >>> motor, speeds = StepMotor(130.0, 2.537, 30.0, 1.2, 12.0, 0.2), np.linspace(0, 2.5, 251)
    >>> run = step_running_on_ladder(motor=motor, series_ohm=np.array([0.7771, 0.0]),
    ...     supply_voltage_v=12.0, speeds_m_s=speeds, resistance_n=14 * speeds**2)
    >>> run.speed_m_s.round(3)
    array([1.17, 1.98])
    """
    along = StepMotor(*(np.asarray(part)[..., None] for part in motor))
    speed = speeds_m_s / along.no_thrust_speed_m_s
    turning = shaft_ratio(
        thrust_fraction=resistance_n / np.asarray(along.static_thrust_n), speed_fraction=speed
    )
    current = current_fraction(
        shaft_ratio=turning,
        speed_fraction=speed,
        no_load_fraction=np.asarray(along.no_load_a) / along.max_current_a,
    )
    series = series_ohm * np.asarray(along.max_current_a) / along.nominal_voltage_v
    needed = np.asarray(
        voltage_fraction(
            shaft_ratio=np.asarray(turning)[..., None, :],
            current_fraction=np.asarray(current)[..., None, :],
            winding_fraction=np.asarray(along.winding_fraction)[..., None],
            series_fraction=series[..., None],
        )
    )
    supply = np.asarray(supply_voltage_v)[..., None] / along.nominal_voltage_v
    needed, given = np.broadcast_arrays(needed, supply[..., None])
    given = given[..., 0]
    below = np.clip((needed <= given[..., None]).sum(axis=-1), 1, speeds_m_s.size - 1)
    rungs = np.stack([below - 1, below], axis=-1)
    start, end = np.moveaxis(np.take_along_axis(needed, rungs, axis=-1), -1, 0)
    share = np.maximum((given - start) / (end - start), 0.0)
    share = np.where(given > needed[..., -1], np.nan, share)

    def looked_up(values: Floats) -> Floats:
        spread = np.broadcast_to(values[..., None, :], needed.shape)
        first, last = np.moveaxis(np.take_along_axis(spread, rungs, axis=-1), -1, 0)
        return np.asarray(first + share * (last - first))

    return Running(
        looked_up(np.broadcast_to(speeds_m_s, needed.shape[:-2] + speeds_m_s.shape)),
        looked_up(np.asarray(along.max_current_a * np.asarray(current))),
    )
