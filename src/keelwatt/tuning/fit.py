"""What a log tells: the drag factor, and as much else as its rows carry.
Of a few whole trips, too few to scatter, what leaves them open is from memory."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.boat.search import crossing
from keelwatt.physics.battery import LEAD_ACID
from keelwatt.tuning.forward import FASTEST_STREAM_M_S, Forward, Values
from keelwatt.tuning.readings import TRIP_SHARE, Readings
from keelwatt.tuning.robust import Solution, normal, solve, students_t

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

FEW = 3
"""Trips; more of them show by their scatter how sure they are."""

LOAD_SHARE = 0.2
"""How true the devices' power is; from memory."""

EFFICIENCY_SHARE = {"lead": 0.05, "lithium": 0.01}
"""How true the share is that counts of what a charger puts back; from memory."""


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


def only_trips(readings: Readings) -> bool:
    """Whether a log is so few whole trips and nothing else, no stream unknown."""
    return bool(readings.trip.all()) and 0 < len(readings.rows) <= FEW and not readings.runs


def fit_trips(forward: Forward, held: Values, *, wind_m_s: float) -> Fit:
    """The drag factor exactly through each trip, and their geometric mean.
    What is open of it: in each trip by itself speed, charge and wind, in all alike the devices and
    the charger. The water's temperature is left out: 5 K move friction by 2 %."""
    factors = _log_factors(forward, held)
    own = np.array(list(_own(forward, held, wind_m_s)))
    alike = np.array(list(_alike(forward, held)))
    count = len(factors)
    error = float(np.sqrt((own**2).sum() / count**2 + (alike.mean(axis=1) ** 2).sum()))
    value, far = float(np.exp(factors.mean())), normal(LEVEL) * error
    estimate = Estimate(value, value * error, value * np.exp(-far), value * np.exp(far))
    left = np.zeros(count)
    return Fit(replace(held, drag_factor=value), estimate, None, None, {}, 1.0, left, spare=0)


def _own(forward: Forward, held: Values, wind_m_s: float) -> Iterator[Floats]:
    """What one standard deviation of each does to the factors' logarithms, shape (trips,)."""
    seen = forward.readings
    for name, up in (
        ("speed_m_s", TRIP_SHARE * seen.speed_m_s),
        ("current_a", TRIP_SHARE * seen.current_a),
        ("headwind_m_s", np.full(len(seen.rows), wind_m_s)),
    ):
        ends = (replace(seen, **{name: getattr(seen, name) + way * up}) for way in (1.0, -1.0))
        yield _half_between(*((forward.seeing(end), held) for end in ends))


def _alike(forward: Forward, held: Values) -> Iterator[Floats]:
    seen = forward.readings
    kind = "lead" if forward.chosen.battery.chemistry in LEAD_ACID else "lithium"
    charger = np.where(seen.efficiency_given, 0.0, EFFICIENCY_SHARE[kind])
    ends = (replace(seen, current_a=seen.current_a * (1.0 + way * charger)) for way in (1.0, -1.0))
    yield _half_between(*((forward.seeing(end), held) for end in ends))
    loads = (replace(held, load_w=held.load_w * (1.0 + way * LOAD_SHARE)) for way in (1.0, -1.0))
    yield _half_between(*((forward, load) for load in loads))


def _half_between(more: tuple[Forward, Values], less: tuple[Forward, Values]) -> Floats:
    return (_log_factors(*more) - _log_factors(*less)) / 2.0


def _log_factors(forward: Forward, held: Values) -> Floats:
    """Logarithms of the drag factors that give the rows' currents; an end where none does."""

    def above_a(logarithms: Floats) -> Floats:
        values = replace(held, drag_factor=np.exp(logarithms))
        return forward.expected(values).current_a - forward.readings.current_a

    rows = np.zeros(len(forward.readings.rows))
    return crossing(above_a, rows + np.log(LEAST_DRAG / 2), rows + np.log(2 * MOST_DRAG))
