"""The page of ``pick``: what to buy first, then why, where it goes and how it is wired."""

from collections.abc import Iterator
from datetime import datetime

from keelwatt import words
from keelwatt.drawings import boat, charts, kits, wiring
from keelwatt.explain import tradeoff
from keelwatt.explain.advise import Advice
from keelwatt.explain.curves import speed_curves
from keelwatt.proof import Proof
from keelwatt.report import sure
from keelwatt.report.answer import Answer
from keelwatt.report.blocks import Blocks, Column, Heading, Pictures, Say, numbers, table, unfolded
from keelwatt.report.day import LEG_COLUMNS, charge_told, day_told, leg_rows
from keelwatt.report.explanations import what_it_costs
from keelwatt.report.fitting import fitting
from keelwatt.report.kits import (
    kit_text,
    not_proved,
    prices_told,
    shopping_columns,
    shopping_row,
    total,
)
from keelwatt.report.limits import KINDS, row
from keelwatt.report.page.assumptions import assumptions
from keelwatt.report.page.page import Figure, Page, html
from keelwatt.report.pick import binds, care, dangers, floats, pick, spare
from keelwatt.report.tradeoff import NEAR, best_rows
from keelwatt.report.wiring_sheet import warning, work
from keelwatt.wiring.shopping import arrangement

BEST_SHOWN = 10

OWNED = "Yours already"
KEY = "Solid: plus. Dashed: minus. The numbers are those of the cut list."

FLAT = (
    "Where the line hardly rises, the theory has the waves of bow and stern cancel. A real hull "
    "does that less well, so the plan does not count on it."
)
"""Why the curve of the running maximum has steps."""

LIMIT_COLUMNS = [
    Column("Limit"),
    Column("Used"),
    *numbers("Asked", "This kit", "Room"),
    Column("", whole=True),
]


def pick_page(answer: Answer, made: datetime) -> str:
    """The whole file."""
    return html(page(answer), answer.advice, made)


def page(answer: Answer) -> Page:
    """The kit with everything about it, or why there is none."""
    advice, certain = answer.advice, answer.certain
    if advice.proof is None or (certain and certain.chosen is None):
        _title, *told = unfolded(sure.pick(answer) if certain else pick(answer), full=True)
        return Page.of(advice, "No kit yet", [*told, *assumptions(advice)])
    shown = figures(advice, answer.proof)
    return Page.of(advice, "The kit to buy", _kit(answer), figures=shown)


def _kit(answer: Answer) -> Blocks:
    advice, proof, certain = answer.advice, answer.proof, answer.certain
    yield from _lead(answer)
    yield from care(advice)
    yield from warning(answer.sheet)
    yield Heading("Where it goes in the boat")
    yield Pictures(tuple((it, "") for it in (boat.from_above(advice), boat.from_the_side(advice))))
    yield Say(floats(advice))
    yield from _shopping(answer)
    yield from _limits(advice, proof)
    if not advice.explained:
        yield Heading("What decided this")
    yield from what_it_costs(advice)
    yield from _day(proof)
    yield from _speed(advice, proof)
    if certain and certain.chosen:
        yield from sure.how_sure(certain, certain.chosen)
    yield from _others(advice, proof)
    yield Heading("How it is wired")
    drawn = (wiring.wiring(answer.net), wiring.branches(answer.net))
    yield Pictures(tuple((it, KEY) for it in drawn if it))
    yield from work(answer.net, answer.sheet)
    yield from fitting(answer.fitting, proof.chosen, answer.net)
    yield from dangers(advice, proof)
    yield from assumptions(advice)


def _lead(answer: Answer) -> Blocks:
    advice, certain = answer.advice, answer.certain
    best = words.MEASURES[advice.by]
    yield Say(f"{kit_text(advice, answer.proof.assessment.kit)}.")
    if advice.status == "best":
        yield Say(f"The {best} that meets every limit, proved best of the catalog.")
    else:
        yield Say(f"A kit that meets every limit; {not_proved(advice)}. Another may be better.")
    if certain and not certain.holds:
        yield Say(
            f"It falls short of the {100 * certain.asked:g}% asked: see how sure it is below."
        )


def figures(advice: Advice, proof: Proof) -> Iterator[Figure]:
    """The numbers a kit is judged by."""
    totals, currency = proof.assessment.totals, advice.outing.currency
    yield Figure("To buy", words.money(totals.price_cents), currency)
    if advice.by == "season":
        yield Figure("A season", words.money(totals.season_cents), currency)
    yield Figure("To carry", words.kilograms(totals.mass_g), "charger ashore")
    hours = next(limit for limit in proof.assessment.limits if limit.name == "hours")
    yield Figure(
        "Hours, reserve kept",
        words.duration(hours.has),
        f"{words.duration(hours.needs)} asked, room {words.room(hours)}",
    )
    left = proof.minutes[-1].left_ah
    yield Figure("Charge left at the end", f"{left:.0f} Ah", f"reserve {proof.keep_ah:.0f} Ah")


def _shopping(answer: Answer) -> Blocks:
    """What is to be bought, apart from what is owned."""
    joined = arrangement(answer.proof.assessment.kit)
    columns = shopping_columns(answer.advice.outing.currency)
    missing = [line for line in answer.bill.lines if not line.owned]
    cents, grams = sum(it.price_cents or 0 for it in missing), sum(it.mass_g for it in missing)
    rows = [*(shopping_row(line, joined) for line in missing), *spare(answer)]
    yield Heading("What to buy")
    yield table(columns, [*rows, total(cents, grams + answer.spare_g)], total=True, done=True)
    for sentence in prices_told(answer.bill, answer.advice.outing.currency):
        yield Say(sentence)
    if owned := [line for line in answer.bill.lines if line.owned]:
        rows = [shopping_row(line, joined) for line in owned]
        yield table([OWNED, *columns[1:]], rows, caption=OWNED)


def _limits(advice: Advice, proof: Proof) -> Blocks:
    for kind, title in KINDS:
        yield Heading(title)
        shown = (it for it in proof.assessment.limits if it.kind == kind and it.name != "parts")
        rows = ((charts.bar(limit), row(limit, limit.name in advice.binding)) for limit in shown)
        yield table(LIMIT_COLUMNS, ((name, bar, *cells) for bar, (name, *cells) in rows))
        if kind == "wish":
            yield Say(
                "A bar shows how much of a limit this kit uses, up to the mark. "
                f"{binds(advice)} tight: no room left."
            )


def _day(proof: Proof) -> Blocks:
    yield Heading("The day")
    rows = enumerate(leg_rows(proof, words.setting), start=1)
    yield table(LEG_COLUMNS, ((f"{number}. {leg}", *rest) for number, (leg, *rest) in rows))
    yield Pictures(((charts.charge(proof), "The numbers are those of the legs."),))
    yield Say(" ".join(day_told(proof)))
    yield from charge_told(proof)


def _speed(advice: Advice, proof: Proof) -> Blocks:
    curves = speed_curves(advice, proof)
    winds = " Thin lines: in the wind and stream of a leg." if len(curves.curves) > 1 else ""
    caption = f"Thick line: calm water.{winds} The numbers are those of the legs."
    flat = "" if advice.outing.craft.towed else f" {FLAT}"
    yield Heading("Speed")
    yield Pictures(
        ((charts.resistance(curves), f"{caption}{flat}"), (charts.current(curves), caption))
    )


def _others(advice: Advice, proof: Proof) -> Blocks:
    runners = tradeoff.best_kits(advice, BEST_SHOWN) if advice.explained else ()
    if not runners or runners[0].found.kit != proof.assessment.kit:
        return
    front = tradeoff.tradeoff(advice)
    chart = kits.scatter(front, runners, advice.outing.currency)
    stepped = " On the stepped line: the best kits by price and mass."
    caption = "1 is this kit, the others follow in order." + stepped * (len(front.points) > 1)
    yield Heading("This kit among the others")
    yield Pictures(((chart, caption),))
    yield from best_rows(advice, runners, NEAR)
