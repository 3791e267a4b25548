"""A few whole trips and a charger's reading: one number each, and a wide interval."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import binom

from keelwatt.boat.load_case import LoadCase
from keelwatt.errors import InputError
from keelwatt.files.log import LogRow, TripLog
from keelwatt.proof import Assessor
from keelwatt.tuning.fit import fit_trips, only_trips
from keelwatt.tuning.forward import Forward, Values
from keelwatt.tuning.readings import Readings
from keelwatt.tuning.tune import Tuning, tune
from samples import assert_says
from tuning.made_logs import CHOPPER, example, shipped
from tuning.proof_logs import Boat, random_boat, trip_log

DRAGS = 1.6


def fitted(boat: Boat, log: TripLog) -> Tuning:
    return tune(boat.outing, boat.claimed, boat.kit, log)


def changed(log: TripLog, **values: object) -> TripLog:
    return replace(log, rows={n: row.model_copy(update=values) for n, row in log.rows.items()})


@pytest.mark.few(2)
@pytest.mark.parametrize("stepped", [False, True], ids=["chopper", "stepped"])
@pytest.mark.parametrize("share", [0.3, 0.55, 0.8])
def test_one_trip_is_met_exactly(share: float, stepped: bool) -> None:
    """On a switch a mean speed is two steps in turn, the slowest and off at trolling speed."""
    boat = random_boat(4, stepped=stepped, thrust=0.85, drag=DRAGS)
    log = trip_log(boat, share * float(boat.steps(0.0)[0][-1]))
    result = fitted(boat, log)
    found, true = result.fit.drag_factor, DRAGS * boat.outing.craft.drag_factor
    assert found.value == pytest.approx(true, rel=2e-3)
    (row,) = result.rows
    assert row.after_a == pytest.approx(row.measured_a, rel=1e-6)
    assert 0.1 < found.error / found.value < 0.5
    assert found.low * found.high == pytest.approx(found.value**2)
    assert result.tuned.craft.drag_factor_error == pytest.approx(found.error / found.value, rel=0.1)


def test_more_trips_are_surer_and_one_reading_twice_is_not_twice_as_sure() -> None:
    boat = random_boat(4, stepped=False, thrust=0.85, drag=DRAGS)
    full = float(boat.steps(0.0)[0][-1])
    one, three = (
        fitted(boat, trip_log(boat, *(share * full for share in shares))).fit.drag_factor
        for shares in ((0.7,), (0.6, 0.7, 0.8))
    )
    assert 3**-0.5 * one.error < three.error < 0.9 * one.error
    assert three.value == pytest.approx(one.value, rel=5e-3)


def test_a_charger_whose_efficiency_is_known_leaves_less_open() -> None:
    boat = random_boat(4, stepped=False, thrust=0.85, drag=DRAGS)
    log = trip_log(boat, 0.7 * float(boat.steps(0.0)[0][-1]))
    blank, known = (
        fitted(boat, each).fit.drag_factor for each in (log, changed(log, charge_efficiency=0.9))
    )
    assert known.value == pytest.approx(blank.value)
    assert known.error < 0.98 * blank.error


def seen_by(log: TripLog) -> tuple[Forward, Values]:
    """The example's model beside a log, and a drag factor of 1.3 to begin with."""
    assessor = Assessor(example(), shipped())
    chosen = assessor.chosen(CHOPPER)
    readings = Readings.of(log, CHOPPER, chosen)
    forward = Forward(
        LoadCase(example()),
        chosen,
        readings,
        displacement_kg=assessor.assess(CHOPPER).totals.displacement_kg,
        cable_ohm=assessor.circuit_ohm(CHOPPER, chosen),
    )
    return forward, Values(1.3, 14.0, forward._drive.no_thrust_speed_m_s.item(), np.zeros(0))


def test_an_ampere_counts_less_where_more_flow() -> None:
    """What an instrument leaves open grows with what it shows."""
    rows = {
        at: LogRow(speed_m_s=speed, voltage_v=12.4, current_a=20.0)
        for at, speed in ((2, 0.8), (3, 1.6))
    }
    forward, held = seen_by(TripLog("log.csv", rows))
    model_a = forward.expected(held).current_a
    more = forward.seeing(replace(forward.readings, current_a=model_a + 1.0))
    slow, fast = more.whitened(held, near=held, settings=False)
    assert model_a[0] < model_a[1]
    assert slow > fast > 0.0


def test_the_interval_of_one_trip_holds_at_its_rate() -> None:
    """Trips whose instruments, wind, charger and devices are off by what is said of them."""
    rng, days, wind_m_s = np.random.default_rng(3), 100, 0.7
    log = TripLog(
        "log.csv", {2: LogRow(speed_m_s=1.3, voltage_v=12.4, duration_h=3.0, charged_ah=30.0)}
    )
    forward, held = seen_by(log)
    readings = forward.readings
    true, kept = replace(held, drag_factor=1.7), 0
    for _ in range(days):
        z = rng.standard_normal(5)
        so = replace(readings, headwind_m_s=np.array([wind_m_s * z[0]]))
        load = replace(true, load_w=14.0 * (1.0 + 0.2 * z[1]))
        drawn_a = forward.seeing(so).expected(load).current_a
        seen = replace(
            readings,
            speed_m_s=readings.speed_m_s * (1.0 + 0.05 * z[2]),
            current_a=drawn_a * (1.0 + 0.05 * z[3]) * (1.0 + 0.05 * z[4]),
        )
        drag = fit_trips(forward.seeing(seen), held, wind_m_s=wind_m_s).drag_factor
        kept += drag.low <= 1.7 <= drag.high
    assert binom.ppf(0.001, days, 0.95) <= kept <= binom.ppf(0.999, days, 0.95)


def test_a_trip_that_says_next_to_nothing_is_refused() -> None:
    """Of 2.2 A the devices and the idling motor take nearly all."""
    row = LogRow(speed_m_s=0.5, duration_h=3.0, charged_ah=3.0 * 2.2 / 0.9)
    with pytest.raises(InputError) as caught:
        tune(example(), shipped(), CHOPPER, TripLog("log.csv", {2: row}))
    (problem,) = caught.value.problems
    assert_says(problem, "is too slow to find the drag factor")


def test_four_trips_scatter_and_what_is_mixed_or_has_a_run_is_not_a_few_trips() -> None:
    boat = random_boat(4, stepped=False, thrust=0.85, drag=DRAGS)
    full = float(boat.steps(0.0)[0][-1])
    log = trip_log(boat, *(share * full for share in (0.5, 0.6, 0.7, 0.8)))
    result = fitted(boat, log)
    assert not result.fit.trips_only
    assert result.fit.drag_factor.value == pytest.approx(
        DRAGS * boat.outing.craft.drag_factor, 0.01
    )
    chosen = boat.true().chosen(boat.kit)
    steady = {9: LogRow(speed_m_s=1.2, current_a=9.0)}
    trip = {2: log.rows[2]}
    for rows, so in ((trip, True), (trip | steady, False)):
        assert only_trips(Readings.of(TripLog("log.csv", rows), boat.kit, chosen)) is so
