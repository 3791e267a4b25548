"""Staircases and fronts of kits, in a terminal."""

from collections.abc import Callable, Iterator, Sequence
from math import ceil, floor, isinf

from keelwatt.advise import Advice
from keelwatt.choose.sums import Measure
from keelwatt.explain.prices import Found
from keelwatt.kit import Kit
from keelwatt.present import plots, words
from keelwatt.present.explanations import kit_text
from keelwatt.present.screen import Column, Screen
from keelwatt.studies.stretch import Step, Stretch
from keelwatt.studies.tradeoff import Runner, Tradeoff

MAIN = ("battery", "motor", "controller")
"""The parts told by name; of the others only that they change."""

WIDEST = 76

OVERS = {
    "hours": "hours on the water",
    "speed": "speed of all legs",
    "top_speed": "top speed through calm water",
    "budget": "budget",
    "season": "cost a season",
    "kit_mass": "mass carried",
    "lift": "heaviest piece to lift",
    "recharge": "time to recharge",
    "reserve": "reserve",
    "payload_margin": "margin under the builder's plate",
    "trim": "trim",
    "heel": "heel",
}
"""What each stretch is called in a sentence."""

FINEST = {
    "money": 0.01,
    "h": 1 / 60,
    "kg": 0.01,
    "m/s": 0.01 / 3.6,
    "deg": 0.01,
    "share": 0.001,
    "of the wished speed": 0.001,
}
"""The least step of an amount on the screen."""


def amount(value: float, unit: str) -> str:
    if unit in ("share", "of the wished speed"):
        return f"{value:.1%}"
    return words.finely(value, unit)


def edge(result: Stretch, value: float) -> str:
    """A breakpoint, rounded to where the better kit still does."""
    if isinf(value):
        return "any"
    step = FINEST[result.unit]
    whole = floor(value / step + 1e-6) if result.growing else ceil(value / step - 1e-6)
    return amount(whole * step, result.unit)


def stretch(screen: Screen, advice: Advice, result: Stretch) -> None:
    """What the answer is now, what is next, then every step."""
    screen.say(advice.outing.title, style="bold")
    best, over = words.MEASURES[result.by], OVERS[result.over]
    screen.say(f"How the {best} changes with the {over}, all else as in the outing.")
    for sentence in _next_to_do(advice, result):
        screen.say(sentence)
    if not result.climbs:
        return
    screen.heading("Every step")
    rows, hidden = _rows(advice, result)
    screen.table(
        [
            Column("Up to" if result.growing else "From", whole=True),
            Column(advice.outing.currency, number=True),
            Column("Mass", number=True),
            Column("What changes"),
            Column("", whole=True),
        ],
        rows,
    )
    if hidden:
        screen.say(f"{hidden} steps too narrow to show here; --json and the API have them all.")
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
    place = result.ladder.index(now)
    less, more = ("Ask for less", "Ask for more"), ("Allow more", "Allow less")
    easier, harder = less if result.growing else more
    if place:
        yield from _neighbour(advice, result, now, result.ladder[place - 1], easier)
    if place + 1 < len(result.ladder):
        yield from _neighbour(advice, result, now, result.ladder[place + 1], harder)


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


def _rows(advice: Advice, result: Stretch) -> tuple[list[list[str]], int]:
    """Table rows, and how many steps are too narrow for one."""
    now = None if result.asked is None else result.at(result.asked)
    rows: list[list[str]] = []
    hidden = 0
    shown = {edge(result, result.low if result.growing else result.high)}
    for step in result.ladder:
        far = edge(result, result.reach(step))
        if far in shown and step is not now:
            hidden += 1
            continue
        shown.add(far)
        mark = "asked" if step is now else ""
        if step.found is None:
            word = "nothing fits" if step.known else "not searched"
            rows.append([far, "", "", word, mark])
            continue
        sums = [words.money(step.found.cost_cents), words.kilograms(step.found.mass_g)]
        rows.append([far, *sums, _what_changes(advice, step), mark])
    return rows if result.growing else rows[::-1], hidden


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
    bounds = [b for step in result.steps for b in (step.start, step.end) if not isinf(b)]
    low, high = min(bounds), max(bounds)
    if result.over not in ("hours", "speed"):
        inner = [b for step in climbs for b in (step.start, step.end) if not isinf(b)]
        spread = max(inner) - min(inner) or max(inner) or 1.0
        low, high = max(low, min(inner) - 0.1 * spread), max(inner) + 0.1 * spread
    values = [step.found.value(result.by) for step in climbs if step.found]
    if len(climbs) < 2:
        return
    screen.heading(f"{_measured(advice)} over {OVERS[result.over]}")
    lines = plots.staircase(
        [(s.start, s.end, s.found.value(result.by) if s.found else None) for s in result.steps],
        _axis(low, high, lambda v: amount(v, result.unit)),
        _axis(min(values), max(values), lambda v: words.measure(result.by, v)),
        width=min(WIDEST, screen.console.width),
        ascii_only=screen.console.options.ascii_only,
        mark=result.asked if result.asked and low <= result.asked <= high else None,
    )
    for line in lines:
        screen.say(line)


def _axis(low: float, high: float, text: Callable[[float], str]) -> plots.Axis:
    return plots.Axis(low, high, (text(low), text((low + high) / 2), text(high)))


def _measured(advice: Advice) -> str:
    per = " a season" if advice.by == "season" else ""
    return "Mass" if advice.by == "mass" else f"{advice.outing.currency}{per}".capitalize()


def tradeoff(
    screen: Screen,
    advice: Advice,
    result: Tradeoff,
    runners: Sequence[Runner],
    within: float,
) -> None:
    """The front as a table and a plot, then the best kits that differ."""
    screen.say(advice.outing.title, style="bold")
    if not result.points:
        screen.say(
            "No kit meets every limit. keelwatt pick OUTING names what clashes and ways out."
        )
        return
    count = len(result.points)
    if count == 1:
        screen.say("One kit is both the cheapest and the lightest: there is nothing to trade.")
    else:
        screen.say(
            f"{count} kits meet every limit and are not beaten on both price and mass: whichever "
            "of them you take, no other is cheaper and lighter. Each next one is dearer and "
            "lighter."
        )
    screen.heading("Every kit not beaten")
    screen.table(
        [
            Column("No.", whole=True),
            Column(advice.outing.currency, number=True),
            Column("Mass", number=True),
            Column("A kg less", number=True),
            Column("What changes"),
        ],
        list(_points(advice, result)),
    )
    if count > 1:
        _scatter(screen, advice, result)
    if runners:
        best_kits(screen, advice, runners, within)


def _points(advice: Advice, result: Tradeoff) -> Iterator[list[str]]:
    last: Found | None = None
    for number, point in enumerate(result.points, start=1):
        kit = point.found
        a_kg, told = "", kit_text(advice, kit.kit)
        if last:
            dearer = kit.cost_cents - last.cost_cents
            a_kg = words.money(1000 * dearer / (last.mass_g - kit.mass_g))
            told = changes_text(advice, kit.kit, point.changes)
        sums = [words.money(kit.cost_cents), words.kilograms(kit.mass_g)]
        yield [str(number), *sums, a_kg, told]
        last = kit


def _scatter(screen: Screen, advice: Advice, result: Tradeoff) -> None:
    screen.heading(f"{advice.outing.currency.capitalize()} over mass")
    found = [point.found for point in result.points]
    for line in plots.points(
        [(kit.mass_g, kit.cost_cents) for kit in found],
        _axis(found[-1].mass_g, found[0].mass_g, lambda g: words.kilograms(round(g))),
        _axis(found[0].cost_cents, found[-1].cost_cents, words.money),
        width=min(WIDEST, screen.console.width),
        ascii_only=screen.console.options.ascii_only,
    ):
        screen.say(line)


def best_kits(screen: Screen, advice: Advice, runners: Sequence[Runner], within: float) -> None:
    """The best kits that differ in bank, drive or place."""
    screen.heading(f"The {words.MEASURES[advice.by]}s, each in its best wiring")
    season = advice.by == "season"
    columns = [Column("No.", whole=True), Column(advice.outing.currency, number=True)]
    columns += [Column("A season", number=True)] if season else []
    columns += [Column("Mass", number=True), Column("Behind", number=True), Column("Kit")]
    rows = [
        [
            str(number),
            words.money(runner.found.cost_cents),
            *([words.money(runner.found.value("season"))] if season else []),
            words.kilograms(runner.found.mass_g),
            f"{runner.behind:.1%}",
            kit_text(advice, runner.found.kit),
        ]
        for number, runner in enumerate(runners, start=1)
    ]
    screen.table(columns, rows)
    near = sum(runner.behind <= within for runner in runners) - 1
    if near > 0:
        screen.say(
            f"{near} of the others {'lies' if near == 1 else 'lie'} within {100 * within:g} %: as "
            "good as the best but for what numbers do not know, such as what your shop has."
        )
