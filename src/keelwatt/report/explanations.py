"""What each wish costs, what clashes, the ways out, and what was left out, in plain words."""

from collections.abc import Iterator
from math import isinf

from keelwatt import words
from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import Advice
from keelwatt.explain.prices import Found, Price
from keelwatt.explain.ways import Change, WayOut
from keelwatt.files.kit import Kit
from keelwatt.limits import LIMITS
from keelwatt.report.screen import Column, Screen
from keelwatt.wiring.shopping import arrangement

LARGE = (
    "The catalog is very large, so what decided this is not told. Ask with --explain; "
    "it takes long."
)

MOST_SHOWN = 8
"""Conflicts and ways out shown on a screen; --json gives them all."""


def what_it_costs(screen: Screen, advice: Advice) -> None:
    """The price of each binding limit, and how far the wishes are from another kit."""
    if not advice.explained:
        screen.say(LARGE)
    binding = [price for price in advice.prices if price.binding]
    wishes = [_cost(advice, price) for price in binding if price.wish]
    if wishes:
        screen.heading("What the binding wishes cost")
        screen.items(wishes)
    rules = [price for price in binding if not price.wish]
    if rules:
        screen.heading("What the binding rules cost: a fact, not an offer")
        screen.items(_rule(advice, price) for price in rules)
    more = [_headroom(advice, price) for price in advice.prices if price.headroom]
    if more:
        screen.heading("If you ask for more")
        screen.items(more)


def _cost(advice: Advice, price: Price) -> str:
    """What lifting a wish alone would save, and the first step that saves anything."""
    assert price.lifted is not None
    name, step = words.LABELS[price.name], price.next_step
    if step and step.kit == price.lifted.kit:
        return f"{name}: {_asking(price, step.amount)} lets in {_saved(advice, step)}."
    without = f"{name}: without it {_saved(advice, price.lifted)}."
    if step:
        return f"{without} First step: {_asking(price, step.amount)}, {_saved(advice, step)}."
    return without


def _rule(advice: Advice, price: Price) -> str:
    assert price.lifted is not None
    return f"{words.LABELS[price.name]}: {_less(advice, price.lifted)} without it; keep it."


def _headroom(advice: Advice, price: Price) -> str:
    assert price.headroom is not None and price.has is not None
    more = LIMITS[price.name].grows
    return (
        f"{words.LABELS[price.name]}: enough {'up' if more else 'down'} to "
        f"{words.safely(price.has, price.unit, up=not more)}; for {'more' if more else 'less'}: "
        f"{_shown(advice.by, price.headroom, advice)}."
    )


def _asking(price: Price, amount: float | None) -> str:
    """A loosened wish: "5 h 35 instead of 5 h 41"."""
    to = words.safely(amount or 0.0, price.unit, up=not LIMITS[price.name].grows)
    if price.name == "leg_speed":
        return to
    return f"{to} instead of {words.finely(price.asked or 0.0, price.unit)}"


def _saved(advice: Advice, other: Found) -> str:
    return f"{_shown(advice.by, other, advice)} ({_less(advice, other)})"


def _less(advice: Advice, other: Found) -> str:
    """How much better another kit is than the chosen one."""
    assert advice.proof is not None
    totals = advice.proof.assessment.totals
    mine = {
        "cost": float(totals.price_cents),
        "mass": float(totals.mass_g),
        "season": totals.season_cents,
    }[advice.by]
    saving = words.measure(advice.by, mine - other.value(advice.by))
    return f"{saving} {'lighter' if advice.by == 'mass' else 'cheaper'}"


def _shown(by: Measure, other: Found, advice: Advice) -> str:
    text = words.measure(by, other.value(by))
    if by == "mass":
        return f"{text} for {words.money(other.cost_cents)} {advice.outing.currency}"
    per = " a season" if by == "season" else ""
    return f"{text} {advice.outing.currency}{per}"


def nothing(screen: Screen, advice: Advice) -> None:
    """Why no kit fits, and every way out."""
    if advice.status == "unproved":
        screen.say("Time ran out before a kit was found. Try again with more: --seconds 60.")
        return
    screen.say("No kit in the catalog meets every limit. This is proved, not guessed.")
    if not advice.explained:
        screen.say(LARGE)
        return
    if advice.empty:
        screen.heading("No kit can be put together at all")
        screen.items(advice.empty)
        screen.say("Add parts to the catalog; --left-out tells why each one fell out.")
        return
    alone = [limits[0] for limits in advice.conflicts if len(limits) == 1]
    clashes = [limits for limits in advice.conflicts if len(limits) > 1]
    if alone:
        screen.heading("Each of these alone shuts every kit out")
        screen.items(words.LABELS[name] for name in alone)
    if clashes:
        screen.heading("These clash: no kit keeps them together")
        screen.items(
            " + ".join(words.LABELS[name] for name in limits) for limits in clashes[:MOST_SHOWN]
        )
        _rest(screen, len(clashes))
    counts = advice.excluded.groupby("rule")["tried"].sum().sort_values(ascending=False)
    if counts.size:
        told = ", ".join(f"{words.LABELS[str(rule)].lower()} {n}" for rule, n in counts.items())
        screen.say(f"Shut out before that, in placements, couples and sets: {told}.")
    if advice.ways_out:
        screen.heading("Ways out, the mildest first")
        for number, way in enumerate(advice.ways_out[:MOST_SHOWN], start=1):
            changes = "; ".join(change_text(change) for change in way.changes)
            screen.numbered(number, changes, _way_kit(advice, way))
        _rest(screen, len(advice.ways_out))
        screen.say("To take one: keelwatt pick OUTING --apply 1 writes it into your outing.")
    else:
        screen.say(
            "No loosening of your wishes helps: a rule is in the way. Look for other parts, "
            "another compartment or less aboard; --left-out tells why each part fell out."
        )


def _rest(screen: Screen, count: int) -> None:
    if count > MOST_SHOWN:
        screen.say(f"... and {count - MOST_SHOWN} more; --json lists them all.")


def change_text(change: Change) -> str:
    """One loosened wish: "Budget 450.00 -> 918.82"."""
    if change.limit == "leg_speed":
        slower = ", ".join(f"{name} {words.safely(v, 'm/s', up=False)}" for name, v in change.legs)
        return f"Slower: {slower}"
    asked = words.finely(change.asked, change.unit)
    if isinf(change.to):
        return f"{words.LABELS[change.limit]} {asked} -> given up"
    to = words.safely(change.to, change.unit, up=not LIMITS[change.limit].grows)
    return f"{words.LABELS[change.limit]} {asked} -> {to}"


def _way_kit(advice: Advice, way: WayOut) -> str:
    sums = f"{words.money(way.found.cost_cents)} {advice.outing.currency}"
    return f"{sums}, {words.kilograms(way.found.mass_g)}: {kit_text(advice, way.found.kit)}"


def kit_text(advice: Advice, kit: Kit) -> str:
    """A kit in one line: battery and motor by name, and where they go."""
    battery, motor = advice.catalog.part(kit.battery), advice.catalog.part(kit.motor)
    count = f"{kit.units} x " if kit.units > 1 else ""
    layout = arrangement(kit)
    joined = f" ({layout})" if layout else ""
    chopper = f"; {advice.catalog.part(kit.controller).name}" if kit.controller else ""
    return f"{count}{battery.name}{joined}, {kit.compartment}; {motor.name}, {kit.mount}{chopper}"


def what_was_left_out(screen: Screen, advice: Advice) -> None:
    """The parts no kit could use, with rule, number and bound."""
    screen.heading("Left out before the choice")
    rows = list(_left_out_rows(advice))
    if not rows:
        screen.say("Nothing: every part of the catalog could be used somehow.")
        return
    columns = [Column("Part"), Column("Rule"), Column("Has", number=True)]
    screen.table([*columns, Column("Bound", number=True), Column("Where")], rows)


def _left_out_rows(advice: Advice) -> Iterator[list[str]]:
    for row in advice.excluded[advice.excluded["wholly"]].to_dict("records"):
        yield [
            str(row["part"]),
            words.LABELS[str(row["rule"])],
            words.quantity(float(row["value"]), str(row["unit"])),
            words.quantity(float(row["bound"]), str(row["unit"])),
            str(row["where"]),
        ]
