"""The page of ``pick``: what to buy first, then why, where it goes and how it is wired."""

from collections.abc import Iterator
from datetime import datetime

from keelwatt import words
from keelwatt.chance.sure import Sure
from keelwatt.drawings import boat, charts, kits
from keelwatt.explain import tradeoff
from keelwatt.explain.advise import Advice
from keelwatt.explain.curves import speed_curves
from keelwatt.files.kit import Kit
from keelwatt.prove import Proof
from keelwatt.report import sure
from keelwatt.report.cautions import cautions, warnings
from keelwatt.report.explanations import kit_text, nothing, what_it_costs
from keelwatt.report.page.assumptions import assumptions
from keelwatt.report.page.making import Making
from keelwatt.report.page.page import Figure, Page, html
from keelwatt.report.page.paper import Block, Figures, Grid, Items, Paper, Part, Say
from keelwatt.report.screen import Column
from keelwatt.report.terminal import LEG_COLUMNS, day_told, leg_rows, remark
from keelwatt.report.tradeoff import NEAR, best_kits

BEST_SHOWN = 10

LIMIT_COLUMNS = (
    Column("Limit", whole=True),
    Column("Used"),
    Column("Asked", number=True),
    Column("This kit", number=True),
    Column("Room", number=True),
    Column("", whole=True),
)


def answer(advice: Advice, certain: Sure | None, made: datetime, *, feet: bool = False) -> str:
    """The whole file; ``certain``: how sure the kit is, if that was asked."""
    return html(page(advice, certain, feet=feet), advice, made)


def page(advice: Advice, certain: Sure | None, *, feet: bool) -> Page:
    """The kit with everything about it, or why there is none."""
    proof = advice.proof
    if proof is None or (certain and certain.chosen is None):
        return _nothing(advice, certain)
    making = Making.of(advice, proof, feet=feet)
    return Page(
        title=advice.outing.title,
        kind="The kit to buy",
        lead=tuple(_lead(advice, proof, certain)),
        figures=tuple(figures(advice, proof)),
        blocks=(
            *_care(advice),
            *making.warning(),
            *making.shopping(),
            *_limits(advice, proof),
            *_costs(advice),
            _day(proof),
            _speed(advice, proof),
            *_how_sure(certain),
            *_others(advice, proof.assessment.kit),
            _boat(advice),
            *making.wiring(),
            *_cautions(advice, proof),
            assumptions(advice),
        ),
    )


def _nothing(advice: Advice, certain: Sure | None) -> Page:
    paper = Paper()
    if certain:
        sure.pick(paper, certain)
    else:
        paper.say(advice.outing.title)
        nothing(paper, advice)
    _, *lead = paper.lead
    return Page(
        title=advice.outing.title,
        kind="No kit yet",
        lead=tuple(lead),
        figures=(),
        blocks=(*paper.blocks, assumptions(advice)),
    )


def _lead(advice: Advice, proof: Proof, certain: Sure | None) -> Iterator[Part]:
    best = words.MEASURES[advice.by]
    yield Say(f"{kit_text(advice, proof.assessment.kit)}.")
    if advice.status == "best":
        yield Say(f"The {best} that meets every limit, proved best of the whole catalog.")
    else:
        yield Say(
            f"A kit that meets every limit; time ran out before it was proved the {best}. "
            "Another may be better."
        )
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
    yield Figure("Left on returning", f"{left:.0f} Ah", f"{proof.keep_ah:.0f} must stay in")


def _care(advice: Advice) -> Iterator[Block]:
    notes = tuple(warnings(advice.table.facts))
    if notes:
        yield Block("Take this answer with care", (Items(notes),))


def _limits(advice: Advice, proof: Proof) -> Iterator[Block]:
    for kind, title in (("wish", "Your wishes"), ("rule", "Rules, kept whatever you wish")):
        rows = tuple(
            (
                words.LABELS[limit.name],
                charts.bar(limit),
                words.needs(limit),
                words.has(limit),
                words.room(limit),
                remark(limit, limit.name in advice.binding),
            )
            for limit in proof.assessment.limits
            if limit.kind == kind and limit.name != "parts"
        )
        yield Block(title, (Grid(title, LIMIT_COLUMNS, rows), *_key(advice, kind)))


def _key(advice: Advice, kind: str) -> Iterator[Say]:
    if kind == "wish":
        better = "lighter" if advice.by == "mass" else "cheaper"
        yield Say(
            "A bar shows how much of a limit this kit uses, up to the mark. "
            f"binds: without this limit alone a {better} kit would do. tight: no room left."
        )


def _costs(advice: Advice) -> tuple[Block, ...]:
    paper = Paper()
    what_it_costs(paper, advice)
    if paper.lead:
        return (Block("What decided this", paper.lead),)
    return paper.blocks


def _day(proof: Proof) -> Block:
    title = "The day"
    rows = tuple((f"{n}. {leg}", *rest) for n, (leg, *rest) in enumerate(leg_rows(proof), start=1))
    told = " ".join(day_told(proof))
    return Block(
        title,
        (
            Grid(title, LEG_COLUMNS, rows),
            Figures(((charts.charge(proof), "The numbers are those of the legs."),)),
            Say(told),
        ),
    )


def _speed(advice: Advice, proof: Proof) -> Block:
    curves = speed_curves(advice, proof)
    winds = " Thin lines: in the wind and stream of a leg." if len(curves.curves) > 1 else ""
    caption = f"Thick line: calm water.{winds} The numbers are those of the legs."
    return Block(
        "Speed",
        (
            Figures(
                ((charts.resistance(curves), caption), (charts.current(curves), caption)),
            ),
        ),
    )


def _how_sure(certain: Sure | None) -> tuple[Block, ...]:
    paper = Paper()
    if certain and certain.chosen:
        sure.how_sure(paper, certain, certain.chosen)
    return paper.blocks


def _others(advice: Advice, kit: Kit) -> Iterator[Block]:
    if not advice.explained:
        return
    runners = tradeoff.best_kits(advice, BEST_SHOWN)
    if not runners or runners[0].found.kit != kit:
        return
    front = tradeoff.tradeoff(advice)
    chart = kits.scatter(front, runners, advice.outing.currency)
    stepped = " On the stepped line lie the kits that none beats on both price and mass."
    caption = "1 is this kit, the others follow in order." + stepped * (len(front.points) > 1)
    paper = Paper()
    best_kits(paper, advice, runners, NEAR)
    for block in paper.blocks:
        yield Block("This kit among the others", (Figures(((chart, caption),)), *block.parts))


def _boat(advice: Advice) -> Block:
    drawings = (boat.from_above(advice), boat.from_the_side(advice))
    return Block("Where it goes in the boat", (Figures(tuple((it, "") for it in drawings)),))


def _cautions(advice: Advice, proof: Proof) -> Iterator[Block]:
    yield Block("Be careful", (Items(tuple(cautions(advice.table.facts, proof.chosen))),))
