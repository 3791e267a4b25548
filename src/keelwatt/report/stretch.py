"""The best kit for every amount of one wish."""

from collections.abc import Iterator, Sequence
from functools import partial
from math import isinf

from keelwatt import words
from keelwatt.explain.advise import Advice
from keelwatt.explain.prices import Found
from keelwatt.explain.stretch import Step, Stretch
from keelwatt.files.kit import Kit
from keelwatt.limits import OVERS
from keelwatt.report import plots
from keelwatt.report.blocks import (
    Block,
    Blocks,
    Column,
    First,
    Heading,
    Plot,
    Rest,
    Say,
    table,
    whole,
)
from keelwatt.report.first import room_for
from keelwatt.report.kits import (
    changes_text,
    difference,
    kit_text,
    price_and_mass,
    sums_cells,
    sums_columns,
)


def amount(result: Stretch, value: float) -> str:
    told = words.finely(value, words.unit_of(result.over, result.unit))
    return told.removesuffix(" of the planned speed")


def edge(result: Stretch, value: float) -> str:
    """A breakpoint, rounded to where the better kit still does."""
    if isinf(value):
        return "beyond"
    rounded = words.safely(value, words.unit_of(result.over, result.unit), up=not result.growing)
    return rounded.removesuffix(" of the planned speed")


def stretch(advice: Advice, result: Stretch) -> Blocks:
    """What the answer is now, what is next, then the steps about it; or every step."""
    yield _first(advice, result)
    yield Rest(_all_of_it(advice, result))


def _first(advice: Advice, result: Stretch) -> First:
    """As many steps as a screen has room for, about the one asked for."""
    file, over = advice.outing.file, result.over
    said: list[Block] = [Say(advice.outing.title, style="bold")]
    said += [Say(text) for text in _next_to_do(advice, result)]
    end = Say(f"Next: {words.command('stretch', file, '--over', over, '--full')}", paste=True)
    if not result.climbs:
        return First((*said, end))
    steps = _shown(result)
    now = None if result.asked is None else result.at(result.asked)
    room = max(1, room_for([*said, end]) - 2)
    at = steps.index(now) if now in steps else 0
    start = max(0, min(at - room // 3, len(steps) - room))
    kept = steps[start : start + room]
    if hidden := len(result.steps) - len(kept):
        end = Say(f"{hidden} more: {end.text.removeprefix('Next: ')}", paste=True)
    first = whole("Up to" if result.growing else "From")
    columns = [first, *sums_columns(advice), Column("Changes to", cut=True), whole("")]
    return First((*said, table(columns, _rows(advice, result, kept)), end))


def _all_of_it(advice: Advice, result: Stretch) -> Blocks:
    yield Say(advice.outing.title, style="bold")
    best, over = words.MEASURES[result.by], OVERS[result.over].phrase
    yield Say(f"How the {best} changes with the {over}, all else as in the outing.")
    yield from map(Say, _next_to_do(advice, result))
    if not result.climbs:
        return
    yield Heading("Every step")
    shown = _shown(result)
    first = whole("Up to" if result.growing else "From")
    columns = [first, *sums_columns(advice), Column("Changes to"), whole("")]
    yield table(columns, _rows(advice, result, shown))
    if result.merged:
        yield Say(f"Merged into a harder neighbour: {result.merged} steps; --every-step shows all.")
    if hidden := len(result.steps) - len(shown):
        many = "1 step is" if hidden == 1 else f"{hidden} steps are"
        yield Say(f"{many} too narrow to show here; --json has them all.")
    values = [step.found.value(result.by) for step in result.climbs if step.found]
    if len(values) > 1:
        yield Heading(plot_title(advice, result))
        yield _stairs(result, values)


def _next_to_do(advice: Advice, result: Stretch) -> Iterator[str]:
    if result.partial:
        yield "Stopped before the end: what is given is final, the rest was not searched."
    if not result.climbs and not result.partial:
        yield (
            "Nothing fits, whatever this is set to: other limits are in the way. They and the "
            f"ways out: {words.command('pick', advice.outing.file)}"
        )
        return
    if result.over == "speed":
        fastest = max(leg.speed_m_s for leg in advice.outing.legs)
        yield f"100 % is what the outing asks, its fastest leg at {words.finely(fastest, 'm/s')}."
    now = None if result.asked is None else result.at(result.asked)
    if result.asked is None or now is None:
        yield "The outing asks for nothing in this range."
        return
    asked = amount(result, result.asked)
    if now.found is None:
        yield f"At the {asked} asked nothing fits{'' if now.known else ' as far as was searched'}."
    else:
        word = "up" if result.growing else "down"
        far = edge(result, result.reach(now))
        best = words.MEASURES[result.by]
        yield (
            f"The {best} for the {asked} asked comes to {_sums(advice, now.found)}, and serves "
            f"{word} to {far}."
        )
    ladder = _shown(result)
    place = ladder.index(now)
    less, more = ("Ask for less", "Ask for more"), ("Allow more", "Allow less")
    easier, harder = less if result.growing else more
    if place:
        yield from _neighbour(advice, result, now, ladder[place - 1], easier)
    if place + 1 < len(ladder):
        yield from _neighbour(advice, result, now, ladder[place + 1], harder)


def _neighbour(
    advice: Advice, result: Stretch, now: Step, other: Step, words_: str
) -> Iterator[str]:
    """One step further: "Ask for more, up to 6 h 10: 421.64 crowns (22.00 more)."""
    if other.found is None:
        if other.known:
            yield f"{words_} than that, and nothing in the catalog fits."
        return
    reach = f"{'up to' if result.growing else 'from'} {edge(result, result.reach(other))}"
    change = f" ({difference(result.by, now.found, other.found)})" if now.found else ""
    yield f"{words_}, {reach}: {_sums(advice, other.found)}{change}."


def _sums(advice: Advice, found: Found) -> str:
    return price_and_mass(advice, found, season=advice.by == "season")


def _shown(result: Stretch) -> tuple[Step, ...]:
    """The steps wide enough to show, from what asks least of a kit; that asked for always."""
    now = None if result.asked is None else result.at(result.asked)
    shown: list[Step] = []
    seen = {edge(result, result.low if result.growing else result.high)}
    for step in result.ladder:
        far = edge(result, result.reach(step))
        if far not in seen or step is now:
            shown.append(step)
        seen.add(far)
    return tuple(shown)


def _rows(advice: Advice, result: Stretch, steps: Sequence[Step]) -> Iterator[list[str]]:
    now = None if result.asked is None else result.at(result.asked)
    for step in steps if result.growing else steps[::-1]:
        sums = [""] * (len(sums_columns(advice)))
        told = "nothing fits" if step.known else "not searched"
        if step.found:
            sums = sums_cells(advice, step.found)
            told = _what_changes(advice, step.found.kit, step.changes)
        yield [edge(result, result.reach(step)), *sums, told, "asked" if step is now else ""]


def _what_changes(advice: Advice, kit: Kit, changes: Sequence[str]) -> str:
    return changes_text(advice, kit, changes) if changes else kit_text(advice, kit)


def _stairs(result: Stretch, values: Sequence[float]) -> Plot:
    low, high = span(result)
    return Plot(
        partial(
            plots.staircase,
            [(s.start, s.end, s.found.value(result.by) if s.found else None) for s in result.steps],
            plots.axis(low, high, lambda v: amount(result, v)),
            plots.axis(min(values), max(values), lambda v: words.measure(result.by, v)),
            mark=result.asked if result.asked and low <= result.asked <= high else None,
        )
    )


def span(result: Stretch) -> tuple[float, float]:
    """The range to draw, or, where it is open, about the breakpoints in it."""
    between = [step.end for step in result.steps[:-1]]
    room = 0.15 * (max(between) - min(between) or max(between))
    low = result.low if OVERS[result.over].span else max(result.low, min(between) - room)
    high = result.high if result.over in ("hours", "speed") else max(between) + room
    return low, min(result.high, high)


def plot_title(advice: Advice, result: Stretch) -> str:
    per = " a season" if advice.by == "season" else ""
    measured = "Mass" if advice.by == "mass" else f"{advice.outing.currency}{per}".capitalize()
    return f"{measured} over {OVERS[result.over].phrase}"
