"""A kit chosen with a chance, in a terminal."""

from math import floor

from keelwatt import words
from keelwatt.chance.odds import DAYS
from keelwatt.chance.spreads import Spreads
from keelwatt.chance.sure import LEAST, Checked, Sure
from keelwatt.report import odds, terminal
from keelwatt.report.explanations import what_was_left_out
from keelwatt.report.screen import Column, Screen


def pick(screen: Screen, result: Sure, *, left_out: bool = False) -> None:
    """The kit as ``pick`` shows it, and then how sure it is; or why none is sure enough."""
    if result.chosen is None:
        _nothing(screen, result, left_out)
        return
    terminal.pick(screen, result.advice, left_out=left_out)
    how_sure(screen, result, result.chosen)


def how_sure(screen: Screen, result: Sure, chosen: Checked) -> None:
    """On how many days the kit does as planned, and what being sure costs."""
    screen.heading("How sure is it?")
    screen.say(
        f"You asked for {100 * result.asked:g}%. All above is the day as planned. Besides, this "
        f"kit meets at least {result.needed} of {result.scenarios} days drawn about it: every leg "
        "at its speed, the top speed if one is wished, and the reserve kept. No better kit does."
    )
    _verdict(screen, result, chosen)
    screen.table(odds.CHANCE_COLUMNS, list(odds.chance_rows(chosen.chances)))
    _cost_of_it(screen, result, chosen)
    _drawn(screen, result)
    screen.say(
        "What hours and speeds cost is not told here: the chance decides about them. More: "
        "keelwatt odds OUTING --kit KIT.json."
    )


def _verdict(screen: Screen, result: Sure, chosen: Checked) -> None:
    chance = chosen.chances.as_planned
    found = f"{odds.percent(chance.share)} of {DAYS:,} fresh days ({odds.within(chance)})"
    if result.holds:
        screen.say(f"Checked: it goes as planned on {found}.")
    else:
        screen.say(
            f"It FALLS SHORT of what you asked: checked, it goes as planned on {found}, and no "
            "harder choice was found. Take it for no more than that.",
            style="bold",
        )


def _cost_of_it(screen: Screen, result: Sure, chosen: Checked) -> None:
    """What being sure costs against the best kit for the day as planned alone."""
    if result.plain is None or result.plain.advice.proof is None:
        return
    assert chosen.advice.proof is not None
    mine = chosen.advice.proof.assessment
    plain = result.plain.advice.proof.assessment
    share = odds.percent(result.plain.chances.as_planned.share)
    if mine.kit == plain.kit:
        screen.say("The best kit for the day as planned alone is this very kit.")
        return
    by, currency = result.advice.by, result.advice.outing.currency
    screen.say(
        f"The {words.MEASURES[by]} for the day as planned alone comes to "
        f"{words.money(plain.totals.price_cents)} {currency} and "
        f"{words.kilograms(plain.totals.mass_g)}, "
        f"where this one comes to {words.money(mine.totals.price_cents)} and "
        f"{words.kilograms(mine.totals.mass_g)}; it goes as planned on {share} of the days."
    )


def _drawn(screen: Screen, result: Sure) -> None:
    screen.heading("What the days differ in, one standard deviation")
    drawn = odds.assumptions(Spreads(result.advice.outing))
    screen.table(
        [Column("Unknown"), Column("Spread")],
        [[odds.UNKNOWNS[unknown], spread] for unknown, spread in drawn],
    )
    screen.say("From memory unless the outing gives its own under [odds].")


def _nothing(screen: Screen, result: Sure, left_out: bool) -> None:
    if result.advice.status == "unproved" or result.plain is None:
        terminal.pick(screen, result.advice, left_out=left_out)
        if result.advice.status == "impossible":
            screen.say("Nothing meets even the day as planned, so how sure it is was not asked.")
        return
    screen.say(result.advice.outing.title, style="bold")
    screen.say(
        "No kit in the catalog meets every limit both on the day as planned and on "
        f"{result.needed} of {result.scenarios} days drawn about it. This is proved for these days."
    )
    plain = result.plain
    assert plain.advice.proof is not None
    totals = plain.advice.proof.assessment.totals
    screen.heading("What you can do")
    told = [
        "Without --sure: a kit for the day as planned comes to "
        f"{words.money(totals.price_cents)} {result.advice.outing.currency} and "
        f"{words.kilograms(totals.mass_g)}, and goes as planned on "
        f"{odds.percent(plain.chances.as_planned.share)} of {DAYS:,} days."
    ]
    if result.reachable is not None:
        told.append(_reachable(result.reachable))
    told.append(
        "Ask less of the day: fewer or slower legs, a larger budget, more mass. Or know more: "
        "keelwatt tune OUTING LOG.csv measures the drag, which then spreads less."
    )
    screen.items(told)
    if left_out:
        what_was_left_out(screen, result.advice)


def _reachable(share: float) -> str:
    whole = floor(100 * share + 1e-9) / 100
    if whole >= LEAST:
        return f"Some kit meets {whole:.0%} of the days drawn: --sure {whole:.0%}."
    return f"Not even {LEAST:.0%} of the days drawn are met by any kit."
