"""An outing's drag factor from a log, and what that does to the kit that was aboard."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from keelwatt.boat.load_case import LoadCase
from keelwatt.edit.document import Raw, rewritten
from keelwatt.edit.rewrite import difference
from keelwatt.errors import InternalError, Problem
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.log import TripLog
from keelwatt.files.outing import Outing, outing_from_text
from keelwatt.files.outing.toml_lines import Key, locate
from keelwatt.proof import Assessor, Proof, prove
from keelwatt.proof.model import Chosen
from keelwatt.tuning.fit import Fit, fit, fit_trips, only_trips, with_motor
from keelwatt.tuning.forward import Forward, Values
from keelwatt.tuning.readings import Readings
from keelwatt.tuning.refusals import check_craft, check_fit, check_kit, check_rows, doubts

DOUBTFUL = 3.5
"""A row further off than this many scatters is told as doubtful; common practice."""

ONE_SPEED = 1.15
"""Speeds that differ by no more than this are about the same; chosen."""

OTHER_MOTOR = 1.1
"""By how much a catalog's no-thrust speed may be out, to see what it does; chosen."""

DRAG = ("craft", "drag_factor")


@dataclass(frozen=True)
class Row:
    """A row of the log, and what flows at its speed by the old drag factor and the new.
    ``off``: how many scatters it lies off the fit; above ``DOUBTFUL`` it counts for little."""

    number: int
    water_speed_m_s: float
    measured_a: float
    before_a: float
    after_a: float
    running: bool
    off: float

    @property
    def doubtful(self) -> bool:
        return self.off > DOUBTFUL


@dataclass(frozen=True)
class Tuning:
    """A log fitted: with the motor as the catalog has it, and, if carried, with that fitted too.
    ``held``: what was taken for granted before. ``ratio``: resistance over thrust in these rows, of
    that planned. ``other_motor``: the drag factor of a motor whose no-thrust speed is
    ``OTHER_MOTOR`` times the catalog's, None where the log tells that speed. ``tuned``: the outing
    with the new drag factor, rounded as it is written; ``before`` and ``after``: the kit's day with
    the old and the new."""

    outing: Outing
    catalog: Catalog
    kit: Kit
    chosen: Chosen
    log: TripLog
    held: Values
    readings: Readings
    fit: Fit
    ratio: float
    together: Fit | None
    other_motor: float | None
    rows: tuple[Row, ...]
    tuned: Outing
    before: Proof
    after: Proof

    @property
    def warnings(self) -> tuple[Problem, ...]:
        return (*self.log.warnings, *doubts(self.log.file, self.fit))

    @property
    def drag_factor(self) -> float:
        return self.tuned.craft.drag_factor

    @property
    def one_speed(self) -> bool:
        """Whether every row with the motor running is at about the same speed."""
        speeds = [row.water_speed_m_s for row in self.rows if row.running]
        return max(speeds) < ONE_SPEED * min(speeds)

    @property
    def motor_is_off(self) -> bool:
        """Whether the log contradicts the catalog's no-thrust speed."""
        speed = self.together.no_thrust_speed_m_s if self.together else None
        given = self.held.no_thrust_speed_m_s
        return speed is not None and not speed.low <= given <= speed.high


@dataclass(frozen=True)
class Written:
    """The outing's text with the new drag factor in it, and the lines that change."""

    text: str
    difference: str


def tune(outing: Outing, catalog: Catalog, kit: Kit, log: TripLog) -> Tuning:
    """Fit the log of an outing with this kit aboard, and prove the kit anew.
    Raises InputError if the log does not go with the kit, or cannot tell the drag factor."""
    check_craft(outing)
    assessor = Assessor(outing, catalog)
    chosen = assessor.chosen(kit)
    before = prove(assessor, kit)
    check_kit(log, kit, chosen, assessor.full_throttle_a(kit, chosen))
    readings = Readings.of(log, kit, chosen)
    trips = only_trips(readings)
    if not trips:
        check_rows(log.file, readings)
    case = LoadCase(outing)
    forward = Forward(
        case,
        chosen,
        readings,
        displacement_kg=before.assessment.totals.displacement_kg,
        cable_ohm=assessor.circuit_ohm(kit, chosen),
    )
    held = Values(
        drag_factor=outing.craft.drag_factor,
        load_w=sum(device.power_w for device in outing.devices),
        no_thrust_speed_m_s=case.no_thrust_speed_m_s(chosen.motor),
        streams_m_s=np.zeros(len(readings.runs)),
    )
    wind_m_s = outing.odds.gust_spread_m_s
    if trips:
        found, together = fit_trips(forward, held, wind_m_s=wind_m_s), None
    else:
        found, together = fit(forward, held)
    check_fit(log.file, found, forward)
    faster = replace(held, no_thrust_speed_m_s=OTHER_MOTOR * held.no_thrust_speed_m_s)
    other = None
    if trips:
        other = fit_trips(forward, faster, wind_m_s=wind_m_s)
    elif together is None:
        other = with_motor(forward, found, faster.no_thrust_speed_m_s)
    tuned = _tuned(outing, kit, found)
    return Tuning(
        outing=outing,
        catalog=catalog,
        kit=kit,
        chosen=chosen,
        log=log,
        held=held,
        readings=readings,
        fit=found,
        ratio=_ratio(forward, held, found),
        together=together,
        other_motor=other.drag_factor.value if other else None,
        rows=tuple(_rows(forward, held, found, together)),
        tuned=tuned,
        before=before,
        after=prove(Assessor(tuned, catalog), kit),
    )


def _tuned(outing: Outing, kit: Kit, found: Fit) -> Outing:
    drag = found.drag_factor
    factor = float(f"{drag.value:.3g}")
    error = float(f"{drag.error / drag.value:.2g}")
    measured = {"drag_factor": factor, "drag_factor_error": error, "drag_factor_motor": kit.motor}
    craft = outing.craft.model_copy(update=measured)
    return outing.model_copy(update={"craft": craft})


def _ratio(forward: Forward, held: Values, found: Fit) -> float:
    """Of the pull on the rows by the new drag factor to that by the old."""
    speed, running = forward.water_speed_m_s(found.values), forward.readings.running
    old = replace(held, streams_m_s=found.values.streams_m_s)
    new_n, old_n = (forward.pull_n(values, speed)[running].sum() for values in (found.values, old))
    return float(new_n / old_n)


def _rows(forward: Forward, held: Values, found: Fit, together: Fit | None) -> Iterator[Row]:
    readings = forward.readings
    old = replace(held, streams_m_s=found.values.streams_m_s)
    speeds = forward.water_speed_m_s(found.values)
    was, now = forward.expected(old).current_a, forward.expected(found.values).current_a
    off = np.abs(found.left)
    if together:
        of_settings = np.abs(together.left[len(readings.rows) :])
        off[readings.set_rows] = np.maximum(off[readings.set_rows], of_settings)
    for place in np.argsort(readings.rows):
        yield Row(
            number=int(readings.rows[place]),
            water_speed_m_s=float(speeds[place]),
            measured_a=float(readings.current_a[place]),
            before_a=float(was[place]),
            after_a=float(now[place]),
            running=bool(readings.running[place]),
            off=float(off[place]),
        )


def write_in(text: str, result: Tuning, today: date) -> Written:
    """The outing's text with the drag factor and its error in it, a dated line above them.
    Raises InternalError if the text does not then hold the tuned outing."""
    craft, file = result.tuned.craft, result.outing.file
    assert craft.drag_factor_error is not None
    assert craft.drag_factor_motor is not None
    error = f"{100 * craft.drag_factor_error:.3g} %"
    values: dict[Key, Raw | None] = {
        DRAG: craft.drag_factor,
        ("craft", "drag_factor_error"): error,
        ("craft", "drag_factor_motor"): craft.drag_factor_motor,
    }
    new = rewritten(text, values)
    name = "".join(sign for sign in Path(result.log.file).name if sign.isprintable())
    rows = f"{len(result.rows)} row{'s' * (len(result.rows) != 1)}"
    comment = (
        f"# tuned {today.isoformat()} from {name}, {rows}: "
        f"{craft.drag_factor:g} ± {error}; it was {result.outing.craft.drag_factor:g}"
    )
    lines = new.split("\n")
    at = locate(new.replace("\r\n", "\n")).line(DRAG)
    assert at is not None
    line = lines[at - 1]
    indent = line[: len(line) - len(line.lstrip())]
    lines.insert(at - 1, indent + comment + "\r" * line.endswith("\r"))
    new = "\n".join(lines)
    if outing_from_text(new, file) != result.tuned:
        raise InternalError("the outing cannot be edited: its drag factor")
    return Written(new, difference(text, new, file))
