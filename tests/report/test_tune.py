"""What a fitted log says in words: what it tells, and what it cannot."""

import io
import re
from dataclasses import replace

import pytest
from rich.console import Console

from keelwatt.files.log import LogRow, TripLog
from keelwatt.files.outing import Outing
from keelwatt.report import tune as shown
from keelwatt.report.screen import Screen
from keelwatt.tuning.tune import Tuning, tune
from tuning.made_logs import (
    CHOPPER,
    NO_THRUST_M_S,
    PERFECT,
    SPREAD,
    Meters,
    Truth,
    eased,
    example,
    log_of,
    shipped,
)

OFF = (0.0, 0.0)
KNOWN = replace(PERFECT, settings=True)


def result(log: TripLog, outing: Outing) -> Tuning:
    return tune(outing, shipped(), CHOPPER, log)


def told(
    truth: Truth, meters: Meters = PERFECT, width: int = 80, outing: Outing | None = None
) -> str:
    return screen(result(log_of(truth, meters, 1), outing or example()), width)


def screen(tuning: Tuning, width: int = 80) -> str:
    file = io.StringIO()
    console = Console(file=file, width=width, highlight=False, emoji=False)
    Screen(console).print(shown.tune(tuning))
    lines = file.getvalue().splitlines()
    assert all(len(line) <= width for line in lines)
    return " ".join(file.getvalue().split())


@pytest.mark.parametrize(
    ("drag", "words"),
    [
        (
            1.625,
            r"Resistance over thrust is 1\d% above the plan: the boat drags more or the motor "
            "pulls less than claimed; which does not matter for the rest",
        ),
        (
            0.975,
            r"Resistance over thrust is 1\d% below the plan: the boat drags less or the motor "
            "pulls more than planned; which does not matter for the rest",
        ),
    ],
)
def test_old_against_new(drag: float, words: str) -> None:
    text = told(Truth(drag_factor=drag))
    assert re.search(
        f"The log gives a drag factor of (?:{drag - 0.005:.2f}|{drag:.2f}|{drag + 0.005:.2f}) ± ",
        text,
    )
    assert "The outing has 1.30" in text
    assert re.search(words, text)


def test_agreement_is_said() -> None:
    text = told(Truth(drag_factor=1.3), Meters(), outing=eased())
    assert "They agree within what the log leaves open." in text
    assert "With the new drag factor the kit still meets every limit." in text


def test_more_devices_than_the_outing_has() -> None:
    text = told(Truth(settings=OFF + SPREAD, load_w=34.0))
    assert "Something draws 20 W more than the outing's devices" in text
    assert '[[device]] name = "always on", power = "20 W", hours = "5 h 41"' in text


def test_fewer_devices() -> None:
    assert "The devices draw less than the outing's 14 W" in told(
        Truth(settings=OFF + SPREAD, load_w=5.0)
    )


def test_what_cannot_be_told_names_the_rows_that_would() -> None:
    text = told(Truth(settings=(0.8,) * 6), Meters())
    assert "To measure it, add a row with the motor off (throttle 0) and the devices on." in text
    assert "To measure it, add rows with their throttle or step, one at full." in text
    assert re.search(r"If it is 10% higher, the drag factor is \d\.\d\d", text)
    assert "All rows are at about one speed" in text


def test_rows_that_are_there_are_not_asked_for() -> None:
    """Of ten rows two have their throttle, the full one among them; two have the motor off."""
    log = log_of(Truth(settings=OFF + SPREAD), replace(PERFECT, settings=True))
    few = {
        n: row if row.throttle in (0.0, 1.0) else row.model_copy(update={"throttle": None})
        for n, row in log.rows.items()
    }
    noisy = {
        n: row.model_copy(update={"throttle": 1.0 - 0.1 * (n % 2)}) if n > 11 else row
        for n, row in few.items()
    }
    text = screen(result(replace(log, rows=noisy), example()))
    assert "cannot show the motor's no-thrust speed" in text
    assert "To measure it, write the throttle or step into more rows." in text
    assert "one at full" not in text
    assert "(throttle 0)" not in text


@pytest.mark.parametrize("speeds", [(1.3,), (1.2, 1.5)])
def test_a_few_trips_are_wide(speeds: tuple[float, ...]) -> None:
    rows = {
        n: LogRow(speed_m_s=speed, duration_h=2.0, charged_ah=2.0 * 5.5 * speed**2 / 0.9)
        for n, speed in enumerate(speeds, start=2)
    }
    text = screen(result(TripLog("log.csv", rows), example()))
    trips = "One trip" if len(speeds) == 1 else "2 trips"
    assert f"{trips}: wide. The log gives a drag factor of" in text
    assert "±: one standard error, from memory: 5% of a trip's speed and of its charge" in text
    assert "To measure it" not in text


def test_a_motor_unlike_the_catalogs() -> None:
    row = shipped().rows[CHOPPER.motor][1]
    text = told(Truth(settings=OFF + SPREAD, no_thrust_speed_m_s=9 / 3.6), KNOWN)
    assert f"change motors.csv, row {row}, column no_thrust_speed, and run tune again" in text
    assert "the drag factor would then be 1.90" in text
    given = 3.6 * NO_THRUST_M_S
    assert f"Motor's no-thrust speed {given:.2f} km/h 9.00 km/h" in text
    same = told(Truth(settings=OFF + SPREAD), Meters(settings=True))
    assert "The motor's no-thrust speed agrees with the catalog's" in same
    assert f"{given:.1f} km/h." in same


def test_the_plot_has_the_larger_current_above() -> None:
    plot = told(Truth(drag_factor=1.625)).partition("Current over speed")[2]
    marks = [float(a) for a in re.findall(r"([0-9.]+) A", plot.partition("measured")[0])[:3]]
    assert marks == sorted(marks, reverse=True)
    assert marks[-1] == 0.0 < marks[0]


def test_streams_are_told() -> None:
    text = told(Truth(stream_m_s=0.25), replace(PERFECT, runs=True))
    assert "Stream, morning unknown 0.90 km/h" in text
    assert "A stream above 0 runs against the way out." in text


@pytest.mark.few(2)
@pytest.mark.parametrize("width", [40, 60, 80, 120])
def test_it_fits_the_screen(width: int) -> None:
    truth = Truth(settings=2 * SPREAD, no_thrust_speed_m_s=9 / 3.6, drag_factor=2.3)
    text = told(truth, Meters(settings=True, runs=True, slips=0.2), width)
    assert "Rows that do not fit the others" in text
    assert "does NOT meet" in text
