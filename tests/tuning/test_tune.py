"""What a log tells, and what it is refused for."""

import random
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from keelwatt.errors import InputError
from keelwatt.files.kit import Kit
from keelwatt.files.log import LogRow, TripLog
from keelwatt.files.outing import Outing
from keelwatt.tuning.tune import Tuning, tune
from samples import assert_says
from tuning.made_logs import (
    CHOPPER,
    NO_THRUST_M_S,
    PERFECT,
    SPREAD,
    STEPPED,
    STEPS,
    Meters,
    Truth,
    day,
    eased,
    example,
    log_of,
    shipped,
)

OFF = (0.0, 0.0)
KNOWN = replace(PERFECT, settings=True)


def tuned(log: TripLog, kit: Kit = CHOPPER, outing: Outing | None = None) -> Tuning:
    return tune(outing or example(), shipped(), kit, log)


def refused(log: TripLog, kit: Kit = CHOPPER) -> InputError:
    with pytest.raises(InputError) as caught:
        tuned(log, kit)
    return caught.value


def changed(log: TripLog, row: int, **values: object) -> TripLog:
    return replace(log, rows={**log.rows, row: log.rows[row].model_copy(update=values)})


@pytest.mark.few(3)
@pytest.mark.parametrize(
    ("truth", "meters"),
    [
        (Truth(), PERFECT),
        (Truth(settings=OFF + SPREAD, load_w=25.0), PERFECT),
        (Truth(kit=STEPPED, settings=STEPS, drag_factor=1.2), PERFECT),
        (Truth(stream_m_s=0.3, settings=OFF + SPREAD), replace(PERFECT, runs=True)),
        (Truth(settings=OFF + SPREAD, no_thrust_speed_m_s=2.6, load_w=5.0), KNOWN),
        (Truth(kit=STEPPED, settings=OFF + STEPS, no_thrust_speed_m_s=2.5), KNOWN),
        (
            Truth(settings=OFF + SPREAD, no_thrust_speed_m_s=2.6, load_w=25.0, stream_m_s=-0.2),
            replace(KNOWN, runs=True),
        ),
    ],
)
def test_perfect_meters_give_back_what_was_put_in(truth: Truth, meters: Meters) -> None:
    result = tuned(log_of(truth, meters), truth.kit)
    found = result.together or result.fit
    assert found.drag_factor.value == pytest.approx(truth.drag_factor, rel=1e-3)
    assert found.values.no_thrust_speed_m_s == pytest.approx(truth.no_thrust_speed_m_s, rel=1e-3)
    if found.load_w:
        assert found.load_w.value == pytest.approx(truth.load_w, abs=0.02)
    if meters.runs:
        assert found.streams_m_s["morning"].value == pytest.approx(truth.stream_m_s, abs=1e-3)
    if meters.settings:
        off = abs(truth.no_thrust_speed_m_s - NO_THRUST_M_S) > 0.03
        assert result.motor_is_off is off


def test_an_unknown_stream_would_lead_astray_were_it_not_found() -> None:
    truth = Truth(stream_m_s=0.15)
    log = log_of(truth, Meters(runs=True), 6)
    drag = tuned(log).fit.drag_factor
    assert drag.low <= truth.drag_factor <= drag.high
    out = {
        n: row.model_copy(update={"run": None, "heading": None})
        for n, row in (
            log_of(truth, Meters(runs=True, current=0.01, speed_m_s=0.01), 6)
        ).rows.items()
        if row.heading == "out"
    }
    astray = tuned(TripLog("log.csv", out)).fit.drag_factor
    assert astray.low > truth.drag_factor


def test_slips_are_told_and_count_for_little() -> None:
    log = log_of(Truth(settings=2 * SPREAD), Meters(), 1)
    clean = tuned(log)
    row = next(n for n, each in log.rows.items() if (each.current_a or 0) > 8)
    slipped = tuned(changed(log, row, current_a=2.0 * (log.rows[row].current_a or 0.0)))
    assert [each.number for each in slipped.rows if each.doubtful] == [row]
    change = slipped.fit.drag_factor.value - clean.fit.drag_factor.value
    assert abs(change) < clean.fit.drag_factor.error
    assert not any(each.doubtful for each in clean.rows)


def test_whole_trips_tell_as_well() -> None:
    """Lead-acid keeps 0.9 of what the charger puts back."""
    truth = Truth()
    seen = day(truth)
    rows = {
        n + 2: LogRow(
            speed_m_s=speed,
            voltage_v=truth.volts,
            headwind_m_s=wind,
            duration_h=2.0,
            charged_ah=2.0 * amperes / 0.9,
        )
        for n, (speed, amperes, wind) in enumerate(
            zip(seen.ground_m_s, seen.current_a, seen.headwind_m_s, strict=True)
        )
    }
    found = tuned(TripLog("log.csv", rows)).fit.drag_factor
    assert found.value == pytest.approx(truth.drag_factor, rel=1e-3)
    better = {n: row.model_copy(update={"charge_efficiency": 1.0}) for n, row in rows.items()}
    assert tuned(TripLog("log.csv", better)).fit.drag_factor.value > 1.05 * found.value


@pytest.mark.parametrize("kit", [CHOPPER, STEPPED])
def test_with_the_motor_off_wind_draws_nothing(kit: Kit) -> None:
    truth = Truth(kit=kit, settings=OFF + (SPREAD if kit is CHOPPER else STEPS))
    result = tuned(changed(log_of(truth), 2, headwind_m_s=8.0), kit)
    assert [row.after_a for row in result.rows[:2]] == pytest.approx(
        [row.measured_a for row in result.rows[:2]], rel=1e-3
    )
    assert result.fit.drag_factor.value == pytest.approx(truth.drag_factor, rel=2e-3)


def test_devices_that_were_off_are_not_taken_off() -> None:
    log = log_of(Truth(load_w=1e-6), PERFECT)
    rows = {n: row.model_copy(update={"devices": False}) for n, row in log.rows.items()}
    result = tuned(replace(log, rows=rows))
    assert result.fit.load_w is None
    assert result.fit.drag_factor.value == pytest.approx(1.9, rel=2e-3)


def test_the_kit_is_proved_anew() -> None:
    result = tuned(log_of(Truth(drag_factor=2.2), Meters(), 2), outing=eased())
    assert result.before.holds
    assert not result.after.holds
    before, after = (p.assessment.hours_at_limit for p in (result.before, result.after))
    assert after < before
    light = tuned(log_of(Truth(drag_factor=1.1), Meters(), 2), outing=eased())
    assert light.after.holds
    assert light.after.assessment.hours_at_limit > before


@pytest.mark.slow
@settings(max_examples=4, deadline=None)
@given(st.randoms(use_true_random=False))
def test_the_order_of_rows_never_matters(shuffle: random.Random) -> None:
    log = log_of(Truth(settings=OFF + SPREAD), Meters(settings=True, runs=True, slips=0.1), 4)
    rows = list(log.rows.items())
    shuffle.shuffle(rows)
    one, other = tuned(log), tuned(replace(log, rows=dict(rows)))
    assert other.fit.drag_factor.value == pytest.approx(one.fit.drag_factor.value, rel=1e-5)
    assert other.fit.drag_factor.error == pytest.approx(one.fit.drag_factor.error, rel=1e-4)
    assert [row.number for row in other.rows] == [row.number for row in one.rows]
    assert [row.off for row in other.rows] == pytest.approx([row.off for row in one.rows], rel=1e-2)


def test_too_few_rows() -> None:
    log = log_of(Truth(settings=(*OFF, 0.6, 0.8, 1.0)))
    (problem,) = refused(log).problems
    assert_says(problem, "has 3 rows with the motor running, too few.*add 1 more")
    log = log_of(Truth(settings=(0.6, 0.6, 0.9, 0.9)), replace(PERFECT, runs=True))
    (problem,) = refused(log).problems
    assert_says(problem, "1 unknown stream; add 1 more")


def test_too_slow() -> None:
    log = log_of(Truth(settings=(0.2, 0.21, 0.22, 0.23, 0.24, 0.25)), Meters(), 4)
    (problem,) = refused(log).problems
    assert_says(problem, "is too slow to find.*add runs at higher speed, one at full throttle")


def test_too_much_scatter() -> None:
    log = log_of(Truth(settings=SPREAD[4:]), Meters(current=0.5), 3)
    (problem,) = refused(log).problems
    assert_says(problem, "scatters too much.*each speed held for a minute")


def test_only_rows_that_are_not_there_are_asked_for() -> None:
    log = log_of(Truth(settings=SPREAD[4:]), replace(Meters(current=0.5), settings=True), 3)
    (problem,) = refused(log).problems
    assert_says(problem, "each speed held for a minute before reading: slow ones$")
    slow = Truth(settings=(0.2, 0.21, 0.22, 0.23, 0.24, 0.25))
    full = {2: log_of(slow).rows[2].model_copy(update={"throttle": 1.0})}
    log = log_of(slow, Meters(), 3)
    (problem,) = refused(replace(log, rows={**log.rows, **full})).problems
    assert_says(problem, "is too slow to find.*read a finer meter, with the devices off")


@pytest.mark.parametrize(("share", "says"), [(0.12, "far less"), (1.9, "far more")])
def test_a_meter_in_the_wrong_place(share: float, says: str) -> None:
    log = log_of(Truth(settings=SPREAD[:6]))
    rows = {
        n: row.model_copy(update={"current_a": share * (row.current_a or 0), "speed_m_s": speed})
        for n, row in log.rows.items()
        for speed in [row.speed_m_s * (1.4 if share < 1 else 0.3)]
    }
    (problem,) = refused(replace(log, rows=rows)).problems
    assert_says(problem, f"would mean a drag factor of .*{says}.*check the units")


@pytest.mark.parametrize("unit_m_s", [1852 / 3600, 0.44704], ids=["knots", "mph"])
def test_a_speed_in_another_unit_than_the_header_says(unit_m_s: float) -> None:
    log = log_of(Truth(), Meters(), 1)
    rows = {
        n: row.model_copy(update={"speed_m_s": row.speed_m_s / unit_m_s / 3.6})
        for n, row in log.rows.items()
    }
    (problem,) = refused(replace(log, rows=rows)).problems
    assert_says(problem, "far more.*are they knots or mph")


def test_one_reading_six_times_is_not_taken_for_certain() -> None:
    row = LogRow(speed_m_s=5 / 3.6, current_a=12.0)
    drag = tuned(TripLog("log.csv", dict.fromkeys(range(2, 8), row))).fit.drag_factor
    rounded = [
        tuned(
            TripLog("log.csv", dict.fromkeys(range(2, 8), row.model_copy(update={name: value})))
        ).fit.drag_factor.value
        for name, value in (("speed_m_s", 5.05 / 3.6), ("speed_m_s", 4.95 / 3.6))
    ]
    assert drag.low < min(rounded) < max(rounded) < drag.high


@pytest.mark.parametrize(
    ("values", "column", "says"),
    [
        ({"voltage_v": 24.5}, "voltage", "is no voltage of this kit's 12 V bank"),
        ({"current_a": 700.0}, "current", "more than twice the .* A this kit can draw"),
        ({"step": 3}, "step", "it has a chopper, and no steps; write throttle"),
    ],
)
def test_rows_of_another_kit(values: dict[str, object], column: str, says: str) -> None:
    log = changed(changed(log_of(Truth()), 4, **values), 7, **values)
    one, other = refused(log).problems
    assert (one.row, other.row, one.column) == (4, 7, column)
    assert_says(one, says)


def test_a_step_beyond_the_last() -> None:
    log = changed(log_of(Truth(kit=STEPPED, settings=STEPS)), 5, step=6)
    (problem,) = refused(log, STEPPED).problems
    assert_says(problem, "is no step of this kit: it has 5 steps; write 0 to 5")


def test_steps_say_as_much_as_shares() -> None:
    truth = Truth(kit=STEPPED, settings=OFF + STEPS)
    log = log_of(truth, KNOWN)
    rows = {
        n: row.model_copy(update={"throttle": None, "step": round(5 * setting)})
        for (n, row), setting in zip(log.rows.items(), truth.settings, strict=True)
    }
    one, other = tuned(log, STEPPED), tuned(replace(log, rows=rows), STEPPED)
    assert one.together
    assert other.together
    assert other.together.values.drag_factor == pytest.approx(one.together.values.drag_factor)


def test_another_motor_would_mean_another_drag_factor() -> None:
    """Told only where the log does not tell the motor's no-thrust speed."""
    faster = Truth(no_thrust_speed_m_s=1.1 * NO_THRUST_M_S, load_w=14.0)
    result = tuned(log_of(faster))
    assert result.other_motor == pytest.approx(faster.drag_factor, rel=2e-3)
    assert result.fit.drag_factor.value < 0.95 * faster.drag_factor
    assert tuned(log_of(Truth(settings=OFF + SPREAD), KNOWN)).other_motor is None


def test_one_speed_is_told() -> None:
    assert tuned(log_of(Truth(settings=(0.8,) * 8), Meters(), 1)).one_speed
    assert not tuned(log_of(Truth(), Meters(), 1)).one_speed


def test_what_is_written_is_rounded() -> None:
    result = tuned(log_of(Truth(), Meters(), 1))
    craft, drag = result.tuned.craft, result.fit.drag_factor
    assert craft.drag_factor == pytest.approx(drag.value, rel=5e-3)
    assert craft.drag_factor_error == pytest.approx(drag.error / drag.value, rel=5e-2)
    assert np.isclose(craft.drag_factor * 100, round(craft.drag_factor * 100))


def test_a_boat_that_was_towed_has_no_drag_factor_to_fit() -> None:
    outing = example()
    towed = outing.craft.model_copy(update={"towed": ((1.0, 12.0),), "drag_factor": 1.0})
    with pytest.raises(InputError) as caught:
        tuned(log_of(Truth(), PERFECT), outing=outing.model_copy(update={"craft": towed}))
    (problem,) = caught.value.problems
    assert problem.key == "craft.towed"
    assert_says(problem, "no drag factor to fit; leave it out to fit one")
