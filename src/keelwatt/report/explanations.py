"""What each wish costs, what clashes, the ways out, and what was left out, in plain words."""

import re
from collections import Counter
from collections.abc import Iterator
from itertools import chain

from keelwatt import words
from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import Advice
from keelwatt.explain.moving import Move
from keelwatt.explain.prices import Found, Price
from keelwatt.kits import Excluded
from keelwatt.limits import LIMITS
from keelwatt.report.blocks import Blocks, Heading, Say, items, numbers, table
from keelwatt.report.cautions import awash
from keelwatt.report.kits import found_text, ways
from keelwatt.report.limits import move_text, resting, together

MOST_SHOWN = 8
"""Conflicts and ways out shown on a screen; --json gives them all."""


def what_it_costs(advice: Advice) -> Blocks:
    """The price of each binding limit, and how far the wishes are from another kit."""
    binding = [price for price in advice.prices if price.binding]
    for title, lines in (
        ("What moving gear or a seat saves", [moving(advice, move) for move in advice.moves]),
        ("What the binding wishes cost", [_cost(advice, p) for p in binding if p.wish]),
        (
            "Cost of binding safety rules (for information; keep them)",
            [
                f"{words.LABELS[p.name]}: {_less(advice, p.lifted)} without it."
                for p in binding
                if p.lifted and not p.wish
            ],
        ),
        ("If you ask for more", [_headroom(advice, p) for p in advice.prices if p.headroom]),
    ):
        if lines:
            yield Heading(title)
            yield items(lines)


def moving(advice: Advice, move: Move) -> str:
    """A move and what it saves: "Trim: moving volunteer (82.0 kg) 6 cm forward saves 62.00"."""
    saved = _saving(advice, move.found)
    return f"{words.LABELS[move.limit]}: moving {move_text(move)} saves {saved}"


def _cost(advice: Advice, price: Price) -> str:
    """What lifting a wish alone would save, and the first step that saves anything."""
    assert price.lifted is not None
    name, step = words.LABELS[price.name], price.next_step
    if step and step.kit == price.lifted.kit:
        return (
            f"{name}: accepting {_asking(price, step.amount)} saves {_saving(advice, step)}; "
            f"{_comes_to(advice, step)}."
        )
    without = f"{name}: without this limit {_comes_to(advice, price.lifted, saved=True)}."
    if step:
        return (
            f"{without} Accepting {_asking(price, step.amount)} already saves "
            f"{_saving(advice, step)}."
        )
    return without


def accepting(advice: Advice, price: Price) -> str:
    """The same in a line: "Top speed: 5.77 instead of 5.80 km/h saves 62.00"."""
    assert price.lifted is not None
    name, step, all_of_it = words.LABELS[price.name], price.next_step, _saving(advice, price.lifted)
    if step is None:
        return f"{name}: without it {_less(advice, price.lifted)}"
    saved = f"{name}: {_asking(price, step.amount)} saves {_saving(advice, step)}"
    return saved if step.kit == price.lifted.kit else f"{saved}; without it {all_of_it}"


def setting(price: Price) -> str:
    """The step as ``--set`` takes it: "top_speed=5.77 km/h"."""
    assert price.next_step is not None
    declared, amount = LIMITS[price.name], price.next_step.amount or 0.0
    up = not declared.grows
    if price.name == "leg_speed":
        less = words.safely(1.0 - amount, "share", up=True)
        return f"{declared.over}=-{less}"
    told = words.safely(amount, price.unit, up=up).replace(",", "")
    minutes = price.unit == "h" and told[-1].isdigit()
    return f"{declared.over}={told}{' min' if minutes else ''}"


def _headroom(advice: Advice, price: Price) -> str:
    assert price.headroom is not None and price.has is not None
    more = LIMITS[price.name].grows
    to = words.safely(price.has, words.unit_of(price.name, price.unit), up=not more)
    beyond = "asking for more" if more else "a tighter limit"
    return (
        f"{words.LABELS[price.name]}: this kit stays best {'up' if more else 'down'} to {to}; "
        f"{beyond} costs {_shown(advice.by, price.headroom, advice)}."
    )


def _asking(price: Price, amount: float | None) -> str:
    """A loosened wish: "5 h 35 instead of 5 h 41"."""
    unit = words.unit_of(price.name, price.unit)
    to = words.safely(amount or 0.0, unit, up=not LIMITS[price.name].grows)
    if price.name == "leg_speed":
        return to
    return f"{to} instead of {words.finely(price.asked or 0.0, unit)}"


def _comes_to(advice: Advice, other: Found, *, saved: bool = False) -> str:
    verb = "weighs" if advice.by == "mass" else "costs"
    less = f" (-{_saving(advice, other)})" if saved else ""
    return f"the best kit {verb} {_shown(advice.by, other, advice)}{less}"


def saving(advice: Advice, other: Found | None) -> float:
    """How much less another kit comes to than the chosen one, in the measure's own unit."""
    assert advice.proof is not None
    totals = advice.proof.assessment.totals
    mine = {"cost": totals.price_cents, "mass": totals.mass_g, "season": totals.season_cents}
    return 0.0 if other is None else mine[advice.by] - other.value(advice.by)


def _saving(advice: Advice, other: Found) -> str:
    return words.measure(advice.by, saving(advice, other))


def _less(advice: Advice, other: Found) -> str:
    """How much better another kit is than the chosen one."""
    return f"{_saving(advice, other)} {'lighter' if advice.by == 'mass' else 'cheaper'}"


def _shown(by: Measure, other: Found, advice: Advice) -> str:
    text = words.measure(by, other.value(by))
    if by == "mass":
        return f"{text} for {words.money(other.cost_cents)} {advice.outing.currency}"
    per = " a season" if by == "season" else ""
    return f"{text} {advice.outing.currency}{per}"


def proved_none(advice: Advice) -> str:
    """That there is no kit, or that none was found in time."""
    if advice.status == "unproved":
        return "Time ran out before a kit was found. Try again with more: --seconds 60."
    return "No kit in the catalog meets every limit (proved)."


def nothing(advice: Advice) -> Blocks:
    """Why no kit fits, and every way out."""
    yield Say(proved_none(advice))
    if advice.status == "unproved":
        return
    if advice.empty:
        yield Heading("No kit can be put together at all")
        yield items((*advice.empty, *nearest_misses(advice)))
        why = words.command("pick", advice.outing.file, "--left-out")
        yield Say(f"Add parts to the catalog. Why each part fell out: {why}")
        return
    yield from _clashes(advice)
    if advice.moves:
        yield Heading("To loosen nothing, move gear or a seat")
        for move in advice.moves:
            yield items([f"Move {move_text(move)}: {found_text(advice, move.found)}"])
    if advice.ways_out:
        yield Heading("Ways out, the mildest first")
        yield from ways(advice, advice.ways_out[:MOST_SHOWN])
        yield from _rest(len(advice.ways_out))
        take = words.command("pick", advice.outing.file, "--apply", "1")
        yield Say(f"To write the first into your outing: {take}")
    else:
        yield Say(
            "No loosening of your wishes helps: a rule is in the way. Look for other parts, "
            "another compartment or less aboard. Why each part fell out: "
            + words.command("pick", advice.outing.file, "--left-out")
        )
        yield from map(Say, awash(advice.case))


def nearest_misses(advice: Advice) -> Iterator[str]:
    """Of each rule that left out all parts of a kind, the part that came nearest."""
    kinds = {
        re.sub("ies$", "y", stem).rstrip("s"): len(parts)
        for stem, parts in advice.catalog.kinds().items()
    }
    gone = Counter(kind for kind, _ in {(e.kind, e.part) for e in advice.excluded if e.wholly})
    nearest: dict[tuple[str, str], Excluded] = {}
    for each in sorted(advice.excluded, key=lambda e: e.miss / (abs(e.bound) or 1.0)):
        if each.wholly and gone[each.kind] == kinds.get(each.kind) and each.kind != "controller":
            nearest.setdefault((each.kind, each.rule), each)
    for (_, rule), each in nearest.items():
        has, bound = (words.quantity(float(it), each.unit) for it in (each.value, each.bound))
        yield f"{words.LABELS[rule]}: {each.part} has {has}, the bound is {bound} ({each.where})."


def _clashes(advice: Advice) -> Blocks:
    if alone := [limits for limits in advice.conflicts if len(limits) == 1]:
        yield Heading("Each of these alone excludes every kit")
        yield items(together(alone))
    if clashes := [limits for limits in advice.conflicts if len(limits) > 1]:
        yield Heading("These limits clash: no kit meets them together")
        yield items(together(clashes[:MOST_SHOWN]))
        yield from _rest(len(clashes))
    yield from resting(advice.catalog, chain.from_iterable(advice.conflicts))
    counts = sorted(advice.shut_out.items(), key=lambda count: -count[1])
    if counts:
        told = ", ".join(f"{words.in_a_sentence(rule)} {n}" for rule, n in counts)
        yield Say(f"Excluded before that, counted over all combinations: {told}.")


def _rest(count: int) -> Blocks:
    if count > MOST_SHOWN:
        yield Say(f"... and {count - MOST_SHOWN} more; --json lists them all.")


def what_was_left_out(advice: Advice) -> Blocks:
    """The parts no kit could use, with rule, number and bound."""
    yield Heading("Parts left out before the choice")
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
