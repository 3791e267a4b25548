"""Staircases and fronts of kits, in a terminal."""

from collections.abc import Callable, Iterator, Sequence
from math import isinf

from keelwatt import words
from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import Advice
from keelwatt.explain.prices import Found
from keelwatt.explain.stretch import Step, Stretch
from keelwatt.files.kit import Kit
from keelwatt.limits import OVERS
from keelwatt.report import plots
from keelwatt.report.explanations import kit_text
from keelwatt.report.screen import Column, Screen

MAIN = ("battery", "motor", "controller")
"""The parts told by name; of the others only that they change."""

WIDEST = 76


def amount(value: float, unit: str) -> str:
    return words.finely(value, unit).removesuffix(" of the wished speed")


def edge(result: Stretch, value: float) -> str:
    """A breakpoint, rounded to where the better kit still does."""
    if isinf(value):
        return "beyond"
    rounded = words.safely(value, result.unit, up=not result.growing)
    return rounded.removesuffix(" of the wished speed")


def stretch(screen: Screen, advice: Advice, result: Stretch) -> None:
    """What the answer is now, what is next, then every step."""
    screen.say(advice.outing.title, style="bold")
    best, over = words.MEASURES[result.by], OVERS[result.over].phrase
    screen.say(f"How the {best} changes with the {over}, all else as in the outing.")
    for sentence in _next_to_do(advice, result):
        screen.say(sentence)
    if not result.climbs:
        return
    screen.heading("Every step")
    shown = _shown(result)
    first = Column("Up to" if result.growing else "From", whole=True)
    columns = [first, *sums_columns(advice), Column("Changes to"), Column("", whole=True)]
    screen.table(columns, list(_rows(advice, result, shown)))
    if hidden := len(result.steps) - len(shown):
        screen.say(f"{hidden} steps are too narrow to show here; --json has them all.")
    _stairs(screen, advice, result)


def _next_to_do(advice: Advice, result: Stretch) -> Iterator[str]:
    if result.partial:
        yield "Stopped before the end: what is given is final, the rest was not searched."
    if not result.climbs and not result.partial:
        yield (
            "Nothing fits, whatever this is set to: other limits are in the way. "
            "keelwatt pick OUTING names them and the ways out."
        )
        return
    if result.over == "speed":
        fastest = max(leg.speed_m_s for leg in advice.outing.legs)
        yield f"100 % is what the outing asks, its fastest leg at {words.finely(fastest, 'm/s')}."
    now = None if result.asked is None else result.at(result.asked)
    if result.asked is None or now is None:
        yield "The outing asks for nothing in this range."
        return
    asked = amount(result.asked, result.unit)
    if now.found is None:
        yield f"At the {asked} asked nothing fits{'' if now.known else ' as far as was searched'}."
    else:
        word = "up" if result.growing else "down"
        far = edge(result, result.reach(now))
        yield f"At the {asked} asked it is {_sums(advice, now.found)}, enough {word} to {far}."
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
    season = f", {words.money(found.value('season'))} a season" if advice.by == "season" else ""
    price = f"{words.money(found.cost_cents)} {advice.outing.currency}"
    return f"{price}{season}, {words.kilograms(found.mass_g)}"


def difference(by: Measure, before: Found, after: Found) -> str:
    """ "22.00 more", "1.2 kg lighter", "as good"."""
    change = after.value(by) - before.value(by)
    if not change:
        return "as good"
    low, high = ("lighter", "heavier") if by == "mass" else ("less", "more")
    per = " a season" if by == "season" else ""
    return f"{words.measure(by, abs(change))}{per} {high if change > 0 else low}"


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
            sums, told = sums_cells(advice, step.found), _what_changes(advice, step)
        yield [edge(result, result.reach(step)), *sums, told, "asked" if step is now else ""]


def sums_columns(advice: Advice) -> list[Column]:
    """The headings of ``sums_cells``."""
    season = [Column("A season", number=True)] if advice.by == "season" else []
    return [Column(advice.outing.currency, number=True), *season, Column("Mass", number=True)]


def sums_cells(advice: Advice, found: Found) -> list[str]:
    """Price, the season's where that decides, and mass."""
    season = [words.money(found.value("season"))] if advice.by == "season" else []
    return [words.money(found.cost_cents), *season, words.kilograms(found.mass_g)]


def _what_changes(advice: Advice, step: Step) -> str:
    assert step.found is not None
    if not step.changes:
        return kit_text(advice, step.found.kit)
    return changes_text(advice, step.found.kit, step.changes)


def changes_text(advice: Advice, kit: Kit, changes: Sequence[str]) -> str:
    """The new parts by name, and that small ones change with them."""
    told = [_called(advice, kind, kit) for kind in MAIN if kind in changes]
    small = [kind for kind in changes if kind not in MAIN]
    if small:
        told.append(f"other {', '.join(small)}")
    return "; ".join(told)


def _called(advice: Advice, kind: str, kit: Kit) -> str:
    id_ = getattr(kit, kind)
    if id_ is None:
        return "its own control"
    name: str = advice.catalog.part(id_).name
    if kind == "battery":
        count = f"{kit.units} x " if kit.units > 1 else ""
        return f"{count}{name}, {kit.compartment}"
    return f"{name}, {kit.mount}" if kind == "motor" else name


def _stairs(screen: Screen, advice: Advice, result: Stretch) -> None:
    climbs = result.climbs
    values = [step.found.value(result.by) for step in climbs if step.found]
    if len(climbs) < 2:
        return
    low, high = span(result)
    screen.heading(plot_title(advice, result))
    lines = plots.staircase(
        [(s.start, s.end, s.found.value(result.by) if s.found else None) for s in result.steps],
        axis(low, high, lambda v: amount(v, result.unit)),
        axis(min(values), max(values), lambda v: words.measure(result.by, v)),
        width=min(WIDEST, screen.console.width),
        ascii_only=screen.console.options.ascii_only,
        mark=result.asked if result.asked and low <= result.asked <= high else None,
    )
    screen.plot(lines)


def span(result: Stretch) -> tuple[float, float]:
    """The range to draw, or, where it is open, about the breakpoints in it."""
    between = [step.end for step in result.steps[:-1]]
    room = 0.15 * (max(between) - min(between) or max(between))
    low = result.low if OVERS[result.over].span else max(result.low, min(between) - room)
    high = result.high if result.over in ("hours", "speed") else max(between) + room
    return low, min(result.high, high)


def axis(low: float, high: float, text: Callable[[float], str]) -> plots.Axis:
    """An axis with words at its ends and its middle."""
    return plots.Axis(low, high, (text(low), text((low + high) / 2), text(high)))


def plot_title(advice: Advice, result: Stretch) -> str:
    return f"{_measured(advice)} over {OVERS[result.over].phrase}"


def _measured(advice: Advice) -> str:
    per = " a season" if advice.by == "season" else ""
    return "Mass" if advice.by == "mass" else f"{advice.outing.currency}{per}".capitalize()
