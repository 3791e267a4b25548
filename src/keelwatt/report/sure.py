"""A kit chosen with a chance."""

from math import floor

from keelwatt import words
from keelwatt.chance.odds import DAYS
from keelwatt.chance.sure import LEAST, Checked, Sure
from keelwatt.report import odds
from keelwatt.report import pick as plain
from keelwatt.report.answer import Answer
from keelwatt.report.blocks import Blocks, Heading, Rest, Say, items, table
from keelwatt.report.explanations import what_was_left_out


def pick(answer: Answer, *, left_out: bool = False) -> Blocks:
    """The kit as ``pick`` shows it, and then how sure it is; or why none is sure enough."""
    result = answer.certain
    assert result is not None
    if result.chosen:
        yield from plain.pick(answer, left_out=left_out)
        yield Rest(how_sure(result, result.chosen))
    elif result.advice.status == "unproved" or result.plain is None:
        yield from plain.pick(answer, left_out=left_out)
        if result.advice.status == "impossible":
            yield Say("No kit meets even the day as planned, so the chance was not worked out.")
    else:
        yield from _nothing(result, result.plain)
        if left_out:
            yield from what_was_left_out(result.advice)


def how_sure(result: Sure, chosen: Checked) -> Blocks:
    """On how many days the kit does as planned, and what being sure costs."""
    yield Heading("How sure is it?")
    yield Say(
        f"You asked for {100 * result.asked:g}%. All above is the day as planned. This kit also "
        f"meets at least {result.needed} of {result.scenarios} days drawn about it. Each leg keeps "
        "its speed, the top speed is reached, and the reserve is kept. No better kit does this."
    )
    yield _verdict(result, chosen)
    yield odds.chance_table(chosen.chances)
    yield from _cost_of_it(result, chosen)
    yield Heading("What the days differ in, one standard deviation")
    drawn = odds.assumptions(result.spreads)
    yield table(("Unknown", "Spread"), ((odds.UNKNOWNS[each], spread) for each, spread in drawn))
    yield Say("From memory unless the outing gives its own under [odds].")
    yield Say(
        "The cost of hours and speeds is left out: the chance decides about them. More: "
        "keelwatt odds with this kit (save it with --json > kit.json)."
    )


def _verdict(result: Sure, chosen: Checked) -> Say:
    chance = chosen.chances.as_planned
    found = f"{odds.percent(chance.share)} of {DAYS:,} fresh days ({odds.within(chance)})"
    if result.holds:
        return Say(f"Checked: it goes as planned on {found}.")
    return Say(
        f"It FALLS SHORT of what you asked: checked, it goes as planned on {found}, and no "
        "harder choice was found. Take it for no more than that.",
        style="bold",
    )


def _cost_of_it(result: Sure, chosen: Checked) -> Blocks:
    """What being sure costs against the best kit for the day as planned alone."""
    if result.plain is None or result.plain.advice.proof is None:
        return
    assert chosen.advice.proof is not None
    mine = chosen.advice.proof.assessment
    alone = result.plain.advice.proof.assessment
    share = odds.percent(result.plain.chances.as_planned.share)
    if mine.kit == alone.kit:
        yield Say("The best kit for the day as planned alone is this very kit.")
        return
    by, currency = result.advice.by, result.advice.outing.currency
    yield Say(
        f"The {words.MEASURES[by]} for the day as planned alone comes to "
        f"{words.money(alone.totals.price_cents)} {currency} and "
        f"{words.kilograms(alone.totals.mass_g)}, "
        f"where this one comes to {words.money(mine.totals.price_cents)} and "
        f"{words.kilograms(mine.totals.mass_g)}; it goes as planned on {share} of the days."
    )


def _nothing(result: Sure, alone: Checked) -> Blocks:
    yield Say(result.advice.outing.title, style="bold")
    yield Say(
        "No kit in the catalog meets every limit both on the day as planned and on "
        f"{result.needed} of {result.scenarios} days drawn about it. This is proved for these days."
    )
    assert alone.advice.proof is not None
    totals = alone.advice.proof.assessment.totals
    yield Heading("What you can do")
    told = [
        "Without --sure: a kit for the day as planned comes to "
        f"{words.money(totals.price_cents)} {result.advice.outing.currency} and "
        f"{words.kilograms(totals.mass_g)}, and goes as planned on "
        f"{odds.percent(alone.chances.as_planned.share)} of {DAYS:,} days."
    ]
    if result.reachable is not None:
        told.append(_reachable(result.reachable))
    told.append(
        "Ask less of the day: fewer or slower legs, a larger budget, more mass. Or know more: "
        "keelwatt tune measures the drag from a log, which then spreads less."
    )
    yield items(told)


def _reachable(share: float) -> str:
    whole = floor(100 * share + 1e-9) / 100
    if whole >= LEAST:
        return f"Some kit meets {whole:.0%} of the days drawn: --sure {whole:.0%}."
    return f"Not even {LEAST:.0%} of the days drawn are met by any kit."
