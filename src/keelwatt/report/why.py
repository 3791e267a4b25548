"""Why a part is in the kit or not."""

from collections.abc import Iterator
from itertools import chain

from keelwatt import words
from keelwatt.choose.sums import Measure
from keelwatt.explain.prices import Found
from keelwatt.explain.why import Why
from keelwatt.report.blocks import Blocks, Heading, Say, items
from keelwatt.report.kits import difference, kit_text, price_and_mass, price_of, ways
from keelwatt.report.limits import resting, together
from keelwatt.wiring.shopping import amount

MOST_WAYS = 3
"""Ways out shown here; --json gives them all."""


def why(result: Why) -> Blocks:
    """The answer in a sentence, then the kit it speaks of."""
    part = result.advice.catalog.part(result.part)
    yield Say(f"{part.name} ({result.part})", style="bold")
    tell = {
        "in the kit": _in_the_kit,
        "shut out": _shut_out,
        "beaten": _beaten,
        "breaks limits": _breaks_limits,
    }[result.verdict]
    yield from map(Say, tell(result))
    if result.set_aside:
        ids = ", ".join(result.set_aside)
        yield Say(f"To answer, the outing's wishes about {ids} under [parts] were set aside.")
    if result.verdict == "shut out":
        yield items(_rules(result))
    elif found := result.rival:
        with_it = "without" if result.verdict == "in the kit" else "with"
        yield Heading(f"The best kit {with_it} it")
        kit = kit_text(result.advice, found.kit)
        yield Say(f"{price_and_mass(result.advice, found)}: {kit}.")
    if result.verdict == "breaks limits":
        yield from _ways(result)
    tried = (limit.name for limit in (result.attempt.broken if result.attempt else ()))
    rules = (*(each.rule for each in result.rules), *tried, *chain.from_iterable(result.conflicts))
    yield from resting(result.advice.catalog, rules, result.part)
    if result.verdict != "shut out" and result.best:
        worth = words.command("worth", result.advice.outing.file, result.part)
        yield Say(f"What it buys: {worth}", paste=True)


def _in_the_kit(result: Why) -> Iterator[str]:
    proof, best = result.advice.proof, result.best
    assert proof and best
    outing = result.advice.outing
    assert proof.assessment.bill
    line = next(line for line in proof.assessment.bill.lines if line.part == result.part)
    price = "yours already" if line.owned else f"{price_of(line)} {outing.currency}"
    kit = words.MEASURES[result.advice.by]
    yield f"It is in the {kit}: {amount(line)}, {', '.join(line.uses)}, {price}."
    if result.rival:
        yield f"Without it the best kit is {_differs(result, best, result.rival)}."
    else:
        yield "Without it no kit of the catalog meets every limit."


def _differs(result: Why, before: Found, after: Found) -> str:
    """In the measure and in the other: "22.00 more and 1.2 kg heavier"."""
    by = result.advice.by
    other: Measure = "cost" if by == "mass" else "mass"
    also = difference(other, before, after)
    return difference(by, before, after) + ("" if also == "as good" else f" and {also}")


def _beaten(result: Why) -> Iterator[str]:
    best, rival = result.best, result.rival
    assert best and rival
    kit = words.MEASURES[result.advice.by]
    if result.dearer == 0 and best.cost_cents == rival.cost_cents and best.mass_g == rival.mass_g:
        yield f"A kit with it is just as good as the {kit}; the catalog's order decided."
    else:
        differs = _differs(result, best, rival)
        yield f"It is not in the {kit}: the best kit with it is {differs}."
    yield _winning(result)


def _winning(result: Why) -> str:
    per = " a metre" if result.kind == "cables" else ""
    now = f"{words.money(result.price_cents)}{per}"
    if result.wins_at_cents is None:
        return f"Its price ({now}) is not what keeps it out: it would lose even if it were free."
    at = f"{words.money(result.wins_at_cents)}{per}"
    return f"It would win at {at} {result.advice.outing.currency} or less; now it costs {now}."


def _breaks_limits(result: Why) -> Iterator[str]:
    if result.best is None:
        yield "No kit of the catalog meets every limit, and none with this part either."
    else:
        yield "No kit with it meets every limit."
    if result.wins_at_cents is not None:
        yield _winning(result)


def _ways(result: Why) -> Blocks:
    if result.ways_out:
        yield Heading("It could be in the kit if you loosen (the mildest first)")
        yield from ways(result.advice, result.ways_out[:MOST_WAYS])
    else:
        yield Heading("With it these clash, and rules are among them")
        yield items(together(result.conflicts[:MOST_WAYS]))


def _shut_out(result: Why) -> Iterator[str]:
    if result.rules:
        yield "No kit can hold it: a rule excludes it everywhere."
    elif result.attempt:
        yield "No kit can hold it: no combination with it meets the rules. The nearest one breaks:"
    else:
        yield "No kit can hold it: the catalog lacks a kind of part that a kit needs."


def _rules(result: Why) -> Iterator[str]:
    for rule in result.rules:
        value, bound = (words.quantity(number, rule.unit) for number in (rule.value, rule.bound))
        times = f", the nearest of {rule.tried} tries" if rule.tried > 1 else ""
        where = f" ({rule.where}{times})" if rule.where else ""
        yield f"{words.LABELS[rule.rule]}: has {value}, the bound is {bound}{where}"
    for limit in result.attempt.broken if result.attempt else ():
        needs = words.needs(limit) or "a match"
        yield f"{words.LABELS[limit.name]}: {needs} asked, {words.has(limit)} found"
