"""Kits side by side."""

from collections.abc import Callable, Iterator, Mapping, Sequence

from keelwatt import words
from keelwatt.explain.changed import PLACES
from keelwatt.explain.compare import Contender
from keelwatt.files.outing import Outing
from keelwatt.limits import RULES, WISHES
from keelwatt.report.blocks import Blocks, Column, Heading, Rest, Say, items, numbers, table, whole
from keelwatt.report.first import MUST, Ranked, fitted
from keelwatt.report.limits import TERMS
from keelwatt.wiring.shopping import arrangement

AT_ONCE = 3
"""Kits in one table with every wish."""

UNMET = {"at least": "(too low)", "at most": "(too high)", "equal": "(no match)"}

Named = Sequence[tuple[str, Contender]]
"""Kits under the names they have on the screen."""


def compare(outing: Outing, kits: Sequence[Contender]) -> Blocks:
    """Which is the best, then what differs; then all of it."""
    named = [(f"Kit {number}", kit) for number, kit in enumerate(kits, start=1)]
    yield fitted(_first(outing, named))
    yield Rest(_all_of_it(outing, named))


def _first(outing: Outing, named: Named) -> Iterator[Ranked]:
    yield MUST, Say(outing.title, style="bold")
    yield MUST, Say(_sentence(named))
    for at, (name, kit) in enumerate(named):
        twin = next(other for other, known in named if known.kit == kit.kit)
        same = text(kit) if twin == name else f"the same as {twin.lower()}"
        yield 2 + at, Say(f"{name}, {kit.name}: {same}.")
    if len(named) > AT_ONCE:
        columns = (Column(""), *numbers(*(label(outing, name) for name in ALWAYS)))
        yield MUST, table(columns, _summary(named))
    else:
        for block in side_by_side(outing, named, every=False):
            yield MUST, block
    if any(kit.broken for _, kit in named):
        yield 20, items(breaking(named))
    names = (kit.name for _, kit in named)
    yield MUST, Say(f"Next: {words.command('compare', outing.file, *names, '--full')}", paste=True)


def _all_of_it(outing: Outing, named: Named) -> Blocks:
    yield Say(outing.title, style="bold")
    yield Say(_sentence(named))
    yield from in_full(outing, named)


def in_full(outing: Outing, named: Named) -> Blocks:
    """Parts, then what each kit has of every wish, then its room under every rule."""
    yield Heading("What is in them")
    for some in _few(named):
        yield table(("Part", *(name for name, _ in some)), _parts(some))
    yield Heading("What each has of your wishes")
    yield from side_by_side(outing, named, every=True)
    if any(kit.broken for _, kit in named):
        yield items(breaking(named))
    yield Heading("Room under the rules")
    for some in _few(named):
        yield table((whole("Rule"), *numbers(*(name for name, _ in some))), _rules(some))
    yield Say(TERMS)


def text(kit: Contender) -> str:
    """Battery, motor and control by name, and where they go."""
    has, chosen = kit.kit, kit.proof.chosen
    control = f"; {chosen.controller.name}" if chosen.controller else ""
    return f"{_bank(kit)}, {has.compartment}; {chosen.motor.name}, {has.mount}{control}"


def _bank(kit: Contender) -> str:
    has, name, layout = kit.kit, kit.proof.chosen.battery.name, arrangement(kit.kit)
    return (f"{has.units} x " if has.units > 1 else "") + name + (f" ({layout})" if layout else "")


def side_by_side(outing: Outing, named: Named, *, every: bool) -> Blocks:
    """Wishes as rows, kits as columns; else only price, mass, hours, speed and what differs."""
    for some in _few(named):
        columns = (Column("Wish"), *numbers("Asked", *(name for name, _ in some)))
        yield table(columns, _wishes(outing, some, every=every))


def breaking(named: Named) -> Iterator[str]:
    """What each kit fails, in words."""
    for name, kit in named:
        if kit.broken:
            broken = ", ".join(SHORT.get(each, words.LABELS[each]).lower() for each in kit.broken)
            yield f"{name} does not meet: {broken}."


def cell(kit: Contender, name: str) -> str:
    """What a kit has of a wish, asked for or not, and whether that is too little or too much."""
    limit = kit.limits.get(name)
    if name in SUMS:
        amount = SUMS[name](kit)
    elif name == "top_speed":
        amount = words.speed(kit.top_speed_m_s)
    elif name == "recharge" and kit.kit.charger is None:
        return "no charger"
    else:
        amount = words.has(limit) if limit else ""
    return amount if limit is None or limit.holds else f"{amount} {UNMET[limit.sense]}"


SUMS: Mapping[str, Callable[[Contender], str]] = {
    "budget": lambda kit: words.money(kit.sums.cost_cents),
    "kit_mass": lambda kit: words.kilograms(kit.sums.mass_g),
    "season": lambda kit: words.money(kit.sums.value("season")),
}

ALWAYS = ("budget", "kit_mass", "hours", "top_speed")


def _wishes(outing: Outing, some: Named, *, every: bool) -> Iterator[list[str]]:
    by_season = outing.wish.by == "season" or outing.limits.season_cents is not None
    for name in WISHES:
        found = [kit.limits.get(name) for _, kit in some]
        cells = [cell(kit, name) for _, kit in some]
        if name in ALWAYS or (name == "season" and by_season) or any(found):
            needs = {words.needs(limit) for limit in found if limit}
            if every or name in ALWAYS or len({*cells}) > 1:
                yield [label(outing, name), needs.pop() if len(needs) == 1 else "", *cells]


def _summary(named: Named) -> Iterator[list[str]]:
    """A row a kit, below what is asked."""
    first = named[0][1].limits
    yield ["Asked", *(words.needs(first[name]) if name in first else "" for name in ALWAYS)]
    for name, kit in named:
        yield [name, *(cell(kit, each) for each in ALWAYS)]


def label(outing: Outing, name: str) -> str:
    """What a row is called: price and mass are there even if nothing bounds them."""
    sums = {
        "budget": f"To buy, {outing.currency}",
        "kit_mass": "To carry",
        "season": f"A season, {outing.currency}",
    }
    return sums.get(name) or SHORT.get(name) or words.LABELS[name]


SHORT = {"hours": "Hours", "top_speed": "Top speed"}


def _parts(some: Named) -> Iterator[list[str]]:
    yield ["Battery", *(_bank(kit) for _, kit in some)]
    for kind in list(PLACES)[1:]:
        parts = [getattr(kit.proof.chosen, kind) for _, kit in some]
        if any(parts):
            yield [kind.capitalize(), *(part.name if part else "none" for part in parts)]
    yield ["Places", *(f"{kit.kit.compartment}; {kit.kit.mount}" for _, kit in some)]


def _rules(some: Named) -> Iterator[list[str]]:
    for name in RULES:
        found = [kit.limits.get(name) for _, kit in some]
        if any(found) and name != "parts":
            yield [words.LABELS[name], *(words.room(limit) if limit else "" for limit in found)]


def _sentence(named: Named) -> str:
    """Which of the kits are good for what."""
    good = [(name, kit) for name, kit in named if kit.proof.holds]
    if not good:
        return "None of these kits meets every limit."
    if len(good) == 1:
        return f"{good[0][0]} alone meets every limit."
    found: dict[str, list[str]] = {}
    for praise, of in PRAISES.items():
        first = max(good, key=lambda each: of(each[1]))[0]
        found.setdefault(first, []).append(praise)
    told = ", ".join(f"{name.lower()} {words.together(each)}" for name, each in found.items())
    count = "All" if len(good) == len(named) else f"{len(good)} of {len(named)}"
    return f"{count} meet every limit: {told}."


PRAISES: Mapping[str, Callable[[Contender], float]] = {
    "costs least": lambda kit: -kit.sums.cost_cents,
    "weighs least": lambda kit: -kit.sums.mass_g,
    "runs longest": lambda kit: kit.hours,
}


def _few(named: Named) -> Iterator[Named]:
    """As many as one table holds."""
    for at in range(0, len(named), AT_ONCE):
        yield named[at : at + AT_ONCE]
