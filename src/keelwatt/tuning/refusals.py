"""What a log cannot tell, or gets wrong about the kit, in words."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from keelwatt.errors import InputError, Problem
from keelwatt.files.kit import Kit
from keelwatt.files.log import LogRow, TripLog
from keelwatt.files.outing import Outing
from keelwatt.proof.model import Chosen
from keelwatt.tuning.fit import LEAST_DRAG, LEAST_SPARE, LEAST_USUAL, MOST_DRAG, MOST_USUAL, Fit
from keelwatt.tuning.forward import Forward
from keelwatt.tuning.readings import Readings
from keelwatt.units import shown

DRAG_ERROR = 0.15
"""A standard error above this share is refused: a default can be wrong by a third, and two standard
errors should do better."""

TRIPS_ERROR = 0.5
"""The same of a few whole trips: as wide as an outing can hold."""

VOLTS = (0.75, 1.35)
"""Of the bank's nominal voltage: what a meter can show on it; common practice."""

BEYOND = 2.0
"""Times what the kit can draw: no log's current."""

UNITS = (
    "check the units of speed (are they knots or mph?) and current, that the current is that of "
    "the whole bank, the stream, the outing's waterline, the motor's thrust and --kit"
)

TOO_SLOW = 0.5
"""Where a tenth more drag changes the fastest row's current by less than half a tenth."""


def check_craft(outing: Outing) -> None:
    """Raises InputError for a boat that was towed: it has no drag factor to fit."""
    if outing.craft.towed:
        raise InputError.at(
            outing.file,
            key="craft.towed",
            what="gives what the boat pulled when towed, so there is no drag factor to fit",
            remedy="leave it out to fit one from the log",
        )


def check_kit(log: TripLog, kit: Kit, chosen: Chosen, full_throttle_a: float) -> None:
    """Raises InputError with every row that this kit cannot have given."""
    problems = [
        Problem(file=log.file, row=number, column=column, value=value, what=what, remedy=remedy)
        for number, row in log.rows.items()
        for column, value, what, remedy in _unlike(row, kit, chosen, full_throttle_a)
    ]
    if problems:
        raise InputError(problems)


def _unlike(
    row: LogRow, kit: Kit, chosen: Chosen, full_throttle_a: float
) -> Iterator[tuple[str, str, str, str]]:
    bank_v = chosen.battery.voltage_v * kit.series
    if row.voltage_v is not None and not VOLTS[0] <= row.voltage_v / bank_v <= VOLTS[1]:
        yield (
            "voltage",
            f"{row.voltage_v:g} V",
            f"is no voltage of this kit's {bank_v:g} V bank",
            "write the voltage of the whole bank under load, and check --kit",
        )
    if row.current_a is not None and row.current_a > BEYOND * full_throttle_a:
        yield (
            "current",
            f"{row.current_a:g} A",
            f"is more than twice the {full_throttle_a:.0f} A this kit can draw",
            "check the unit in the header, and --kit",
        )
    steps = 0 if chosen.chopper else chosen.motor.steps
    if row.step is not None and row.step > steps:
        has = f"has {steps} steps" if steps else "has a chopper, and no steps"
        write = f"write 0 to {steps}" if steps else "write throttle, a share of full, instead"
        yield (
            "step",
            str(row.step),
            f"is no step of this kit: it {has}",
            f"{write}, and check --kit",
        )


def check_rows(file: str, readings: Readings) -> None:
    """Raises InputError where there are too few rows to tell anything from."""
    running = int(np.count_nonzero(readings.running))
    needed = 1 + len(readings.runs) + LEAST_SPARE
    if running < needed:
        unknown = len(readings.runs)
        streams = f" and {unknown} unknown stream{'s' * (unknown > 1)}" if unknown else ""
        raise InputError.at(
            file,
            f"has {running} rows with the motor running, too few for a drag factor{streams}",
            f"add {needed - running} more, at other speeds: {needed} are the least that also show "
            "how sure the answer is",
        )


def check_fit(file: str, fit: Fit, forward: Forward) -> None:
    """Raises InputError where the drag factor is beyond belief, or not sharp enough to use."""
    drag = fit.drag_factor
    if not LEAST_DRAG <= drag.value <= MOST_DRAG:
        side = "less" if drag.value < LEAST_DRAG else "more"
        raise InputError.at(
            file,
            f"would mean a drag factor of {drag.value:.2g}: the current is far {side} than any "
            "boat of this outing's size takes at these speeds",
            UNITS,
        )
    if drag.error <= (TRIPS_ERROR if fit.trips_only else DRAG_ERROR) * drag.value:
        return
    share = _share_of_drag(fit, forward)
    running = forward.readings.running
    fastest = float(forward.water_speed_m_s(fit.values)[running].max())
    if share < TOO_SLOW:
        what = (
            f"is too slow to find the drag factor: at the fastest, {shown.speed(fastest)} "
            "through the water, most of the current goes into other things than drag"
        )
        remedy = "add runs at higher speed, one at full throttle"
        if forward.readings.full_throttle:
            remedy = "read a finer meter, with the devices off (devices no)"
    else:
        off = drag.error / drag.value
        told = f"{off:.0%}" if off < 10 else "more than itself"
        what = f"scatters too much to find the drag factor: it would be {drag.value:.2f} ± {told}"
        lacking = ", ".join(forward.readings.lacking())
        remedy = "add rows on flat water, each speed held for a minute before reading"
        remedy += f": {lacking}" if lacking else ""
    raise InputError.at(file, what, remedy)


def doubts(file: str, fit: Fit) -> Iterator[Problem]:
    """A warning where the drag factor is one that a wrong unit would give too."""
    drag = fit.drag_factor.value
    if not LEAST_USUAL <= drag <= MOST_USUAL:
        yield Problem(
            file=file,
            what=f"gives a drag factor of {drag:.2g}, which a wrong unit of speed would give too: "
            "knots or mph under km/h multiply it by four to eleven",
            remedy=UNITS,
            warning=True,
        )


def _share_of_drag(fit: Fit, forward: Forward) -> float:
    """By what share of a tenth the most telling row's current grows with a tenth more drag."""
    more = replace(fit.values, drag_factor=1.1 * fit.values.drag_factor)
    now, then = forward.expected(fit.values).current_a, forward.expected(more).current_a
    return float(np.max(10.0 * (then - now) / np.maximum(now, 1e-9)))
