"""Why a part is in the kit or not, in a terminal."""

from collections.abc import Iterator

from keelwatt import words
from keelwatt.choose.sums import Measure
from keelwatt.explain.prices import Found
from keelwatt.explain.why import Why
from keelwatt.report.explanations import change_text, kit_text
from keelwatt.report.screen import Screen
from keelwatt.report.studies import difference
from keelwatt.wiring.shopping import shopping_list

MOST_WAYS = 3
"""Ways out shown here; --json gives them all."""


def why(screen: Screen, result: Why) -> None:
    """The answer in a sentence, then the kit it speaks of."""
    part = result.advice.catalog.part(result.part)
    screen.say(f"{part.name} ({result.part})", style="bold")
    tell = {
        "in the kit": _in_the_kit,
        "shut out": _shut_out,
        "beaten": _beaten,
        "breaks limits": _breaks_limits,
    }[result.verdict]
    for sentence in tell(result):
        screen.say(sentence)
    if result.set_aside:
        ids = ", ".join(result.set_aside)
        screen.say(f"To answer, the outing's wishes about {ids} under [parts] were set aside.")
    if result.verdict == "shut out":
        screen.items(_rules(result))
    elif result.rival:
        screen.heading(
            "The best kit without it" if result.verdict == "in the kit" else "The best kit with it"
        )
        _kit(screen, result, result.rival)
    if result.verdict == "breaks limits":
        _ways(screen, result)


def _kit(screen: Screen, result: Why, found: Found) -> None:
    screen.say(f"{_sums(result, found)}: {kit_text(result.advice, found.kit)}.")


def _sums(result: Why, found: Found) -> str:
    return (
        f"{words.money(found.cost_cents)} {result.advice.outing.currency}, "
        f"{words.kilograms(found.mass_g)}"
    )


def _in_the_kit(result: Why) -> Iterator[str]:
    proof, best = result.advice.proof, result.best
    assert proof and best
    outing = result.advice.outing
    line = next(
        line
        for line in shopping_list(proof.assessment.kit, proof.chosen, outing.parts)
        if line.part == result.part
    )
    price = "yours already" if line.owned else f"{words.money(line.price_cents)} {outing.currency}"
    kit = words.MEASURES[result.advice.by]
    yield f"It is in the {kit}: {line.quantity}, {line.where}, {price}."
    if result.rival:
        change = difference(result.advice.by, best, result.rival)
        heavier = _also(result, best, result.rival)
        yield f"Without it the best kit is {change}{heavier}."
    else:
        yield "Without it no kit of the catalog meets every limit."


def _also(result: Why, before: Found, after: Found) -> str:
    """The difference in the other measure: " and 1.2 kg heavier"."""
    other: Measure = "cost" if result.advice.by == "mass" else "mass"
    text = difference(other, before, after)
    return "" if text == "as good" else f" and {text}"


def _beaten(result: Why) -> Iterator[str]:
    best, rival = result.best, result.rival
    assert best and rival
    kit = words.MEASURES[result.advice.by]
    if result.dearer == 0 and best.cost_cents == rival.cost_cents and best.mass_g == rival.mass_g:
        yield f"A kit with it is just as good as the {kit}; the catalog's order decided."
    else:
        change = difference(result.advice.by, best, rival)
        also = _also(result, best, rival)
        yield f"It is not in the {kit}: the best kit with it is {change}{also}."
    yield _winning(result)


def _winning(result: Why) -> str:
    per = " a metre" if result.kind == "cables" else ""
    now = f"{words.money(result.price_cents)}{per}"
    if result.wins_at_cents is None:
        return f"Its price ({now}) is not what keeps it out: not even as a gift would it win."
    at = f"{words.money(result.wins_at_cents)}{per}"
    return f"It would win at {at} {result.advice.outing.currency} or less; now it costs {now}."


def _breaks_limits(result: Why) -> Iterator[str]:
    if result.best is None:
        yield "No kit of the catalog meets every limit, and none with this part either."
    else:
        yield "No kit with it meets every limit."
    if result.wins_at_cents is not None:
        yield _winning(result)


def _ways(screen: Screen, result: Why) -> None:
    ways, conflicts = result.ways_out, result.conflicts
    if ways:
        screen.heading("It could be in the kit if you loosened, the mildest first")
        for number, way in enumerate(ways[:MOST_WAYS], start=1):
            changes = "; ".join(change_text(change) for change in way.changes)
            told = f"{_sums(result, way.found)}: {kit_text(result.advice, way.found.kit)}"
            screen.numbered(number, changes, told)
        return
    screen.heading("With it these clash, and rules are among them")
    screen.items(
        " + ".join(words.LABELS[name] for name in limits) for limits in conflicts[:MOST_WAYS]
    )


def _shut_out(result: Why) -> Iterator[str]:
    if result.rules:
        yield "No kit can hold it: a rule shuts it out wherever it could go."
    elif result.attempt:
        yield "No kit can hold it: nothing in the catalog goes with it. The nearest try breaks:"
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
