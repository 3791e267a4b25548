"""What each wish costs, what clashes, the ways out, and what was left out, in plain words."""

from keelwatt import words
from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import Advice
from keelwatt.explain.prices import Found, Price
from keelwatt.limits import LIMITS
from keelwatt.report.blocks import Blocks, Heading, Say, items, numbers, table
from keelwatt.report.kits import ways
from keelwatt.report.limits import together

MOST_SHOWN = 8
"""Conflicts and ways out shown on a screen; --json gives them all."""


def what_it_costs(advice: Advice) -> Blocks:
    """The price of each binding limit, and how far the wishes are from another kit."""
    binding = [price for price in advice.prices if price.binding]
    for title, lines in (
        ("What the binding wishes cost", [_cost(advice, p) for p in binding if p.wish]),
        (
            "What the binding rules cost: a fact, not an offer",
            [
                f"{words.LABELS[p.name]}: {_less(advice, p.lifted)} without it; keep it."
                for p in binding
                if p.lifted and not p.wish
            ],
        ),
        ("If you ask for more", [_headroom(advice, p) for p in advice.prices if p.headroom]),
    ):
        if lines:
            yield Heading(title)
            yield items(lines)


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
    mine = {"cost": totals.price_cents, "mass": totals.mass_g, "season": totals.season_cents}
    saving = words.measure(advice.by, mine[advice.by] - other.value(advice.by))
    return f"{saving} {'lighter' if advice.by == 'mass' else 'cheaper'}"


def _shown(by: Measure, other: Found, advice: Advice) -> str:
    text = words.measure(by, other.value(by))
    if by == "mass":
        return f"{text} for {words.money(other.cost_cents)} {advice.outing.currency}"
    per = " a season" if by == "season" else ""
    return f"{text} {advice.outing.currency}{per}"


def nothing(advice: Advice) -> Blocks:
    """Why no kit fits, and every way out."""
    if advice.status == "unproved":
        yield Say("Time ran out before a kit was found. Try again with more: --seconds 60.")
        return
    yield Say("No kit in the catalog meets every limit. This is proved, not guessed.")
    if advice.empty:
        yield Heading("No kit can be put together at all")
        yield items(advice.empty)
        yield Say("Add parts to the catalog; --left-out tells why each one fell out.")
        return
    yield from _clashes(advice)
    if advice.ways_out:
        yield Heading("Ways out, the mildest first")
        yield from ways(advice, advice.ways_out[:MOST_SHOWN])
        yield from _rest(len(advice.ways_out))
        yield Say("To take one: keelwatt pick OUTING --apply 1 writes it into your outing.")
    else:
        yield Say(
            "No loosening of your wishes helps: a rule is in the way. Look for other parts, "
            "another compartment or less aboard; --left-out tells why each part fell out."
        )


def _clashes(advice: Advice) -> Blocks:
    if alone := [limits for limits in advice.conflicts if len(limits) == 1]:
        yield Heading("Each of these alone shuts every kit out")
        yield items(together(alone))
    if clashes := [limits for limits in advice.conflicts if len(limits) > 1]:
        yield Heading("These clash: no kit keeps them together")
        yield items(together(clashes[:MOST_SHOWN]))
        yield from _rest(len(clashes))
    counts = sorted(advice.shut_out.items(), key=lambda count: -count[1])
    if counts:
        told = ", ".join(f"{words.LABELS[rule].lower()} {n}" for rule, n in counts)
        yield Say(f"Shut out before that, in placements, couples and sets: {told}.")


def _rest(count: int) -> Blocks:
    if count > MOST_SHOWN:
        yield Say(f"... and {count - MOST_SHOWN} more; --json lists them all.")


def what_was_left_out(advice: Advice) -> Blocks:
    """The parts no kit could use, with rule, number and bound."""
    yield Heading("Left out before the choice")
    rows = [
        [
            row.part,
            words.LABELS[row.rule],
            words.quantity(float(row.value), row.unit),
            words.quantity(float(row.bound), row.unit),
            row.where,
        ]
        for row in advice.excluded
        if row.wholly
    ]
    if rows:
        yield table(("Part", "Rule", *numbers("Has", "Bound"), "Where"), rows)
    else:
        yield Say("Nothing: every part of the catalog could be used somehow.")
