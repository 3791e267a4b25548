"""A log fitted: old against new, the rows, and what it does to the kit."""

from collections.abc import Iterator
from functools import partial

from keelwatt import words
from keelwatt.proof import Proof
from keelwatt.report import plots
from keelwatt.report.applied import changed_lines, written
from keelwatt.report.blocks import Blocks, Heading, Plot, Say, items, numbers, table
from keelwatt.tuning.fit import EFFICIENCY_SHARE, LEVEL, LOAD_SHARE, Estimate
from keelwatt.tuning.readings import TRIP_SHARE
from keelwatt.tuning.tune import OTHER_MOTOR, Row, Tuning, Written
from keelwatt.units import shown

MEASURED, NEW, OLD = "o", "+", "."
LEAST_SPAN_M_S = 0.17

EITHER = "The range given for the drag factor holds whichever of the two is right."

CAREFUL = (
    "Read meters with the boat in hand: somebody else steers, or you stop and write. A probe that "
    "slips on a battery's terminals makes a short: measure behind the fuse.",
    "These numbers do not replace a trial close to the shore with the kit as it will be.",
)


def tune(result: Tuning, change: Written | None = None) -> Blocks:
    """What the log tells, the kit before and after, and what may be written."""
    yield Say(result.outing.title, style="bold")
    yield Say(_verdict(result))
    yield Heading("Results of the log")
    known = numbers("Before", "By the log", "±", f"{LEVEL:.0%} interval")
    yield table(("", *known), _values(result))
    yield Say(_open(result))
    yield items(_notes(result))
    yield from _plot(result)
    if doubtful := [row for row in result.rows if row.doubtful]:
        yield Heading("Rows that do not fit the others")
        yield items(_doubtful(row) for row in doubtful)
        yield Say("They count for little. Check them; a slip of the pen may be put right.")
    yield from _kit(result)
    yield Heading("Be careful")
    yield items(CAREFUL)
    if change:
        yield Heading("To be written")
        yield from changed_lines(change.difference)
    else:
        yield Heading("Nothing was written")
        yield Say(
            "The same command with --write puts the new drag factor into the outing and keeps a "
            "backup beside it."
        )


def _verdict(result: Tuning) -> str:
    drag, old = result.fit.drag_factor, result.outing.craft.drag_factor
    says = (
        f"The log gives a drag factor of {result.drag_factor:.2f} ± {_short(drag.error)}. "
        f"The outing has {old:.2f}."
    )
    if result.fit.trips_only:
        trips = len(result.rows)
        says = f"{'One trip' if trips == 1 else f'{trips} trips'}: wide. {says}"
    if drag.low <= old <= drag.high:
        return f"{says} They agree within what the log leaves open."
    change = result.ratio - 1.0
    side, drags, pulls = "above", "more", f"less than {result.chosen.motor.thrust_is}"
    if change < 0.0:
        side, drags, pulls = "below", "less", "more than planned"
    return (
        f"{says} Resistance over thrust is {abs(change):.0%} {side} the plan: the boat drags "
        f"{drags} or the motor pulls {pulls}; which does not matter for the rest."
    )


def _open(result: Tuning) -> str:
    if not result.fit.trips_only:
        return (
            "±: one standard error, from the scatter of the rows. It leaves out a meter that "
            "always reads too high or too low: compare it with another."
        )
    charger, wind = max(EFFICIENCY_SHARE.values()), result.outing.odds.gust_spread_m_s
    return (
        f"±: one standard error, from memory: {TRIP_SHARE:.0%} of a trip's speed and of its "
        f"charge, up to {charger:.0%} of the charger's efficiency, {LOAD_SHARE:.0%} of the "
        f"devices' power, {words.speed(wind)} of wind. Steady minutes under way, read from a "
        "meter, leave less open."
    )


def _short(value: float) -> str:
    return f"{value:.2f}"


def _values(result: Tuning) -> Iterator[list[str]]:
    def row(name: str, before: str, found: Estimate, unit: str, size: float) -> list[str]:
        def text(value: float) -> str:
            return words.number(value * size)

        low_high = f"{text(found.low)} to {text(found.high)}"
        cells = (text(found.value), text(found.error), low_high)
        return [name, before, *(f"{cell} {unit}".rstrip() for cell in cells)]

    held, fit = result.held, result.fit
    factor, unit, _ = shown.scale("m/s")
    yield row("Drag factor", f"{held.drag_factor:.2f}", fit.drag_factor, "", 1.0)
    if fit.load_w:
        yield row("Devices together", f"{held.load_w:.0f} W", fit.load_w, "W", 1.0)
    for run, stream in fit.streams_m_s.items():
        yield row(f"Stream, {run}", "unknown", stream, unit, factor)
    if result.together and result.together.no_thrust_speed_m_s:
        speed = result.together.no_thrust_speed_m_s
        before = words.finely(held.no_thrust_speed_m_s, "m/s")
        yield row("Motor's no-thrust speed", before, speed, unit, factor)


def _notes(result: Tuning) -> Iterator[str]:
    if result.fit.streams_m_s:
        yield "A stream above 0 runs against the way out."
    if result.one_speed:
        other = "slower" if result.readings.full_throttle else "slower and faster"
        yield (
            "All rows are at about one speed: the drag factor is right there. Add rows "
            f"{other} before you trust it elsewhere."
        )
    yield _devices(result)
    yield from _motor(result)


def _devices(result: Tuning) -> str:
    held, load = result.held.load_w, result.fit.load_w
    if load is None:
        taken = (
            f"These rows cannot show what the devices draw. The outing's {held:.0f} W were taken, "
            "except where the column devices says no."
        )
        if result.fit.trips_only:
            return taken
        if result.readings.drifting:
            return f"{taken} The row with the motor off alone is too few: read that meter again."
        return (
            f"{taken} To measure it, add a row with the motor off (throttle 0) and the devices on."
        )
    if load.low <= held <= load.high:
        return (
            f"The devices draw what the outing says, {held:.0f} W, within the scatter of the log."
        )
    if load.value < held:
        return (
            f"The devices draw less than the outing's {held:.0f} W: put their power right under "
            "[[device]], or leave it on the safe side."
        )
    hours = words.duration(_hours(result))
    return (
        f"Something draws {load.value - held:.0f} W more than the outing's devices. If it is on "
        f'all day, add it: [[device]] name = "always on", power = "{load.value - held:.0f} W", '
        f'hours = "{hours}".'
    )


def _motor(result: Tuning) -> Iterator[str]:
    given = words.speed(result.held.no_thrust_speed_m_s)
    if result.together is None:
        yield (
            "These rows cannot show the motor's no-thrust speed, where full throttle gives no "
            f"thrust. The catalog's {given} was taken. If it is {OTHER_MOTOR - 1:.0%} higher, the "
            f"drag factor is {result.other_motor:.2f}, which ± leaves out."
            f"{_to_measure_the_motor(result)}"
        )
    elif result.motor_is_off:
        both = result.together.drag_factor
        file, row = result.catalog.rows[result.chosen.motor.id]
        yield (
            f"The catalog gives this motor a no-thrust speed of {given}, and the log contradicts "
            f"it. If you trust these rows, change {file}, row {row}, column no_thrust_speed, and "
            f"run tune again: the drag factor would then be {both.value:.2f} ± "
            f"{_short(both.error)}. Until then the one above belongs to the motor as the catalog "
            f"has it. {EITHER}"
        )
    else:
        yield f"The motor's no-thrust speed agrees with the catalog's {given}. {EITHER}"


def _to_measure_the_motor(result: Tuning) -> str:
    """Only what the log does not hold yet."""
    if result.fit.trips_only:
        return ""
    if not result.readings.set_rows.size:
        return " To measure it, add rows with their throttle or step, one at full."
    if lacking := ", ".join(result.readings.lacking()):
        return f" To measure it, add rows with their throttle or step: {lacking}."
    return " To measure it, write the throttle or step into more rows."


def _plot(result: Tuning) -> Blocks:
    rows = [row for row in result.rows if row.running]
    factor, unit, _ = shown.scale("m/s")
    speeds = [factor * row.water_speed_m_s for row in rows]
    currents = {
        MEASURED: [row.measured_a for row in rows],
        NEW: [row.after_a for row in rows],
        OLD: [row.before_a for row in rows],
    }
    yield Heading("Current over speed through the water")
    low, high = min(speeds), max(speeds)
    least = factor * LEAST_SPAN_M_S
    if high - low < least:
        low, high = max(0.0, low - least / 2), high + least / 2
    yield Plot(
        partial(
            plots.marked,
            {mark: list(zip(speeds, amperes, strict=True)) for mark, amperes in currents.items()},
            plots.axis(low, high, lambda v: f"{v:.1f} {unit}"),
            plots.axis(0.0, max(map(max, currents.values())), lambda v: f"{v:.1f} A"),
        )
    )
    yield Say(
        f"{MEASURED} measured, {NEW} by the new drag factor, {OLD} by the old, each in its row's "
        f"wind; where they meet, {MEASURED} hides {NEW}."
    )


def _doubtful(row: Row) -> str:
    speed = f"at {words.speed(row.water_speed_m_s)} through the water"
    return (
        f"Row {row.number}: {words.number(row.measured_a)} A "
        f"{speed if row.running else 'with the motor off'}, where {words.number(row.after_a)} A "
        "would fit the others."
    )


def _hours(result: Tuning) -> float:
    return sum(leg.duration_h for leg in result.outing.legs)


def _kit(result: Tuning) -> Blocks:
    yield Heading("The kit aboard, held against the outing again")
    hours = _hours(result)

    def day(proof: Proof) -> tuple[str, str, str]:
        return (
            "all" if proof.holds else "not all",
            words.duration(hours * proof.assessment.hours_at_limit),
            f"{proof.minutes[-1].left_ah:.1f} of {proof.full_ah:.0f} Ah",
        )

    names = ("Limits met", f"Hours, {words.duration(hours)} needed", "Charge left at the end")
    rows = zip(names, day(result.before), day(result.after), strict=True)
    yield table(("", *numbers("Before", "Now")), rows)
    if not result.after.holds:
        yield Say("With the new drag factor the kit does NOT meet the outing:")
        broken = (
            f"{words.LABELS[limit.name]}: asked {words.needs(limit)}, it has {words.has(limit)}"
            for limit in result.after.assessment.broken
        )
        yield items((*broken, *result.after.failures))
    else:
        yield Say("With the new drag factor the kit still meets every limit.")


def done(result: Tuning, backup: str) -> Blocks:
    """What was written, and what to do next."""
    yield from written(
        result.outing.file,
        backup,
        "Now see which kit is best for the boat as it is; parts you have already cost nothing if "
        "the outing names them: own = [...] under [parts].",
    )
