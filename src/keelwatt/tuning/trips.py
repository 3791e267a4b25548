"""A log of a few whole trips: too few to scatter, so what leaves them open is from memory."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.boat.search import crossing
from keelwatt.physics.battery import LEAD_ACID
from keelwatt.tuning.fit import LEAST_DRAG, LEVEL, MOST_DRAG, Estimate, Fit
from keelwatt.tuning.forward import Forward, Values
from keelwatt.tuning.readings import TRIP_SHARE, Readings
from keelwatt.tuning.robust import normal

FEW = 3
"""Trips; more of them show by their scatter how sure they are."""

LOAD_SHARE = 0.2
"""How true the devices' power is; from memory."""

EFFICIENCY_SHARE = {"lead": 0.05, "lithium": 0.01}
"""How true the share is that counts of what a charger puts back; from memory."""


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
