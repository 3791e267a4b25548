"""What a log tells: the drag factor, and as much else as its rows carry."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.tuning.forward import FASTEST_STREAM_M_S, Forward, Values
from keelwatt.tuning.robust import Solution, solve, students_t

LEVEL = 0.95
"""Of the intervals."""

LEAST_SPARE = 3
"""Differences a fit must have beyond its values, else nothing tells how sure they are."""

LOAD_ERROR_A = 0.3
"""Up to this standard error, as a current, a device load is taken from the log; chosen."""

NO_THRUST_ERROR = 0.05
"""Up to this standard error, as a share, a no-thrust speed is; chosen."""

LEAST_DRAG, MOST_DRAG = 0.2, 8.0
"""Drag factors beyond these are no boat's: a unit or the place of the meter is wrong; chosen."""

LEAST_USUAL, MOST_USUAL = 0.5, 3.0
"""Beyond these a wrong unit is as likely as a motor far from its claim; chosen."""

MOST_LOAD_W = 1000.0
NO_THRUST_M_S = (0.5, 10.0)


@dataclass(frozen=True)
class Estimate:
    """A value, one standard error, and its interval at ``LEVEL``."""

    value: float
    error: float
    low: float
    high: float


@dataclass(frozen=True)
class Fit:
    """What was fitted; None where the value was held. ``values`` holds both."""

    values: Values
    drag_factor: Estimate
    load_w: Estimate | None
    no_thrust_speed_m_s: Estimate | None
    streams_m_s: Mapping[str, Estimate]
    scatter: float
    left: Floats
    spare: int

    @property
    def trips_only(self) -> bool:
        """Whether there were too few rows to scatter, all of them whole trips."""
        return self.spare == 0


def fit(forward: Forward, held: Values) -> tuple[Fit, Fit | None]:
    """The log with the motor as the catalog has it; and, if it carries it, with that fitted too.
    The first goes by the currents alone: they are what a day takes, and with a motor unlike the
    catalog's the settings would pull the drag factor away from them. A device load is fitted where
    the log carries it, else held. The first's interval for the drag factor spans the second's, so
    that it holds for either motor. The rows must be at least ``LEAST_SPARE`` more than drag factor
    and streams."""
    alone = _fit(forward, held)
    first = alone
    if forward.readings.devices.any() and alone.spare > LEAST_SPARE:
        with_load = _fit(forward, alone.values, "load")
        load = with_load.load_w
        if load and load.error <= LOAD_ERROR_A * forward.watts_per_ampere:
            first = with_load
    settings = forward.readings.set_rows.size
    if not settings or first.spare + settings <= LEAST_SPARE:
        return first, None
    both = _fit(forward, first.values, *(["load"] * bool(first.load_w)), "no_thrust_speed")
    speed = both.no_thrust_speed_m_s
    if speed is None or speed.error > NO_THRUST_ERROR * speed.value:
        return first, None
    one, other = first.drag_factor, both.drag_factor
    wide = replace(one, low=min(one.low, other.low), high=max(one.high, other.high))
    return replace(first, drag_factor=wide), both


def with_motor(forward: Forward, found: Fit, no_thrust_speed_m_s: float) -> Fit:
    """The same values, were the motor's no-thrust speed this."""
    held = replace(found.values, no_thrust_speed_m_s=no_thrust_speed_m_s)
    return _fit(forward, held, *(["load"] * bool(found.load_w)))


def _fit(forward: Forward, held: Values, *names: str) -> Fit:
    settings = "no_thrust_speed" in names
    runs, more = forward.readings.runs, 1 + len(names)
    of = {"load": (held.load_w, -MOST_LOAD_W, MOST_LOAD_W)}
    of["no_thrust_speed"] = (held.no_thrust_speed_m_s, *NO_THRUST_M_S)
    streams = [(float(m_s), -FASTEST_STREAM_M_S, FASTEST_STREAM_M_S) for m_s in held.streams_m_s]
    drag = (held.drag_factor, LEAST_DRAG / 2, 2 * MOST_DRAG)
    start, low, high = np.transpose([drag, *(of[name] for name in names), *streams])

    def values(fitted: Floats) -> Values:
        found = dict(zip(names, map(float, fitted[1:more]), strict=True))
        return Values(
            drag_factor=float(fitted[0]),
            load_w=found.get("load", held.load_w),
            no_thrust_speed_m_s=found.get("no_thrust_speed", held.no_thrust_speed_m_s),
            streams_m_s=fitted[more:],
        )

    def differences(fitted: Floats, near: Floats) -> Floats:
        return forward.whitened(values(fitted), near=values(near), settings=settings)

    solution = solve(differences, np.clip(start, low, high), low, high)
    estimates = _estimates(solution)
    told = dict(zip(names, estimates[1:more], strict=True))
    return Fit(
        values=values(solution.values),
        drag_factor=estimates[0],
        load_w=told.get("load"),
        no_thrust_speed_m_s=told.get("no_thrust_speed"),
        streams_m_s=dict(zip(runs, estimates[more:], strict=True)),
        scatter=solution.scatter,
        left=solution.left,
        spare=solution.spare,
    )


def _estimates(solution: Solution) -> list[Estimate]:
    reach = students_t(solution.spare, LEVEL) * solution.errors
    return [
        Estimate(float(value), float(error), float(value - far), float(value + far))
        for value, error, far in zip(solution.values, solution.errors, reach, strict=True)
    ]
