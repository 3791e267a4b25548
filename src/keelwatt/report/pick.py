"""The answer to the main job, and a kit's proof."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from html import escape
from typing import TYPE_CHECKING

from keelwatt import words
from keelwatt.explain.advise import Advice
from keelwatt.explain.tradeoff import Runner
from keelwatt.files.kit import Kit
from keelwatt.proof import Proof
from keelwatt.proof.model import Totals
from keelwatt.report.blocks import Blocks, Column, Heading, Say, items, numbers, table
from keelwatt.report.cautions import cautions, warnings
from keelwatt.report.explanations import nothing, what_it_costs, what_was_left_out
from keelwatt.report.kits import shopping_columns, shopping_row, to_pay_and_carry
from keelwatt.report.limits import limits
from keelwatt.wiring import Netlist, netlist
from keelwatt.wiring.shopping import Line, Purchases, arrangement, purchases, shopping_list

if TYPE_CHECKING:
    from keelwatt.chance.sure import Sure
    from keelwatt.wiring.sheet import WiringSheet

LEG_COLUMNS = [Column("Leg"), *numbers("Speed", "Time", "Thrust", "Current", "Charge", "Left")]


@dataclass(frozen=True, repr=False)
class Answer:
    """What ``pick`` found, and what is made of it for screen, page, list and data: each once.

    ``certain``: how sure the kit is, if that was asked; ``feet``: cable is sold by the foot;
    ``runners``: the best kits that differ, if asked. What is below needs a kit.
    """

    advice: Advice
    certain: "Sure | None" = None
    feet: bool = False
    runners: tuple[Runner, ...] = ()

    def __repr__(self) -> str:
        if self.advice.proof is None:
            return f"<Answer: {self.status}>"
        sums, kit = self.totals, self.kit
        bank = f"{kit.series * kit.parallel} x {kit.battery}"
        price, mass = words.money(sums.price_cents), words.kilograms(sums.mass_g)
        return f"<Answer: {self.status}; {bank}, {kit.motor}; {price}, {mass}>"

    def _repr_html_(self) -> str:
        """The page of it, in a frame of its own."""
        from keelwatt.report.page.answer import pick_page

        page = escape(pick_page(self, datetime.now().astimezone()))
        style = "width: 100%; height: 50rem; border: 0"
        return f'<iframe title="keelwatt" style="{style}" srcdoc="{page}"></iframe>'

    @property
    def status(self) -> str:
        return self.advice.status

    @property
    def kit(self) -> Kit:
        return self.proof.assessment.kit

    @property
    def totals(self) -> Totals:
        return self.proof.assessment.totals

    @cached_property
    def proof(self) -> Proof:
        if self.advice.proof is None:
            raise ValueError("there is no kit")
        return self.advice.proof

    @cached_property
    def bill(self) -> tuple[Line, ...]:
        kit, parts = self.proof.assessment.kit, self.advice.outing.parts
        return shopping_list(kit, self.proof.chosen, parts)

    @cached_property
    def net(self) -> Netlist:
        kit, case = self.proof.assessment.kit, self.advice.case
        return netlist(kit, self.proof.chosen, case, self.advice.catalog)

    @cached_property
    def sheet(self) -> "WiringSheet":
        from keelwatt.wiring.sheet import wiring_sheet

        return wiring_sheet(self.net)

    @cached_property
    def bought(self) -> Purchases:
        """What to bring home for it."""
        kit, parts = self.proof.assessment.kit, self.advice.outing.parts
        return purchases(self.bill, kit, parts, self.net, feet=self.feet)


def pick(answer: Answer, *, left_out: bool = False) -> Blocks:
    """The kit, or what stands in its way."""
    advice = answer.advice
    yield Say(advice.outing.title, style="bold")
    yield from _kit(answer) if advice.proof else nothing(advice)
    if left_out:
        yield from what_was_left_out(advice)


def not_proved(advice: Advice) -> str:
    """That time ran out, and how far from the best the kit can be."""
    text = f"time ran out before it was proved the {words.MEASURES[advice.by]}"
    return text if advice.gap is None else f"{text}, none is more than {advice.gap:.1%} better"


def _kit(answer: Answer) -> Blocks:
    advice, proof = answer.advice, answer.proof
    totals, currency = proof.assessment.totals, advice.outing.currency
    best = words.MEASURES[advice.by]
    proved = (
        f"The {best} that meets every limit, proved best"
        if advice.status == "best"
        else f"A kit that meets every limit; {not_proved(advice)}"
    )
    yield Say(f"{proved}: {to_pay_and_carry(advice)}.")
    yield Heading("What to buy")
    joined = arrangement(proof.assessment.kit)
    rows = [shopping_row(line, joined) for line in answer.bill]
    rows.append(together(totals.price_cents, totals.mass_g))
    yield table(shopping_columns(currency), rows, total=True)
    ids = dict.fromkeys(line.part for line in answer.bill)
    yield Say(f"In the catalog: {', '.join(ids)}.", style="dim")
    if advice.by == "season":
        yield Say(f"Spread over each part's life: {words.money(totals.season_cents)} a season.")
    yield from _day(proof)
    yield from limits(proof.assessment.limits, advice.binding)
    if advice.binding:
        yield Say(binds(advice))
    yield from what_it_costs(advice)
    yield from care(advice)
    yield from dangers(advice, proof)


def together(cents: float, grams: int) -> list[str]:
    """The last row of a bill."""
    return ["Together", "", words.money(cents), words.kilograms(grams)]


def binds(advice: Advice) -> str:
    better = "lighter" if advice.by == "mass" else "cheaper"
    return f"binds: without this limit alone a {better} kit would do."


def care(advice: Advice) -> Blocks:
    if notes := tuple(warnings(advice.case)):
        yield Heading("Take this answer with care")
        yield items(notes)


def dangers(advice: Advice, proof: Proof) -> Blocks:
    yield Heading("Be careful")
    yield items(cautions(advice.case, proof.assessment.kit, proof.chosen))


def _day(proof: Proof) -> Blocks:
    yield Heading("The day")
    yield table(LEG_COLUMNS, leg_rows(proof))
    for sentence in day_told(proof):
        yield Say(sentence)


def leg_rows(proof: Proof) -> list[list[str]]:
    """The legs under ``LEG_COLUMNS``."""
    ends = {end.name: end for end in proof.leg_ends}
    return [
        [
            leg.name,
            words.speed(leg.speed_m_s),
            words.duration(leg.hours),
            f"{leg.thrust_n:.0f} N",
            f"{words.number(leg.battery_a)} A",
            f"{words.number(leg.charge_ah)} Ah",
            f"{words.number(ends[leg.name].left_ah)} Ah",
        ]
        for leg in proof.assessment.legs
    ]


def day_told(proof: Proof) -> Iterator[str]:
    """What is left after the last leg, and for how much longer it would do."""
    assessment = proof.assessment
    parts = [f"Left on returning: {proof.minutes[-1].left_ah:.0f} of {proof.full_ah:.0f} Ah"]
    parts.append(f"{proof.keep_ah:.0f} must stay in")
    if assessment.device_ah:
        parts.append(f"devices take {words.number(assessment.device_ah)}")
    yield "; ".join(parts) + "."
    times = assessment.hours_at_limit
    if times != float("inf"):
        yield f"The bank would serve {times:.2f} times these hours."


def prove(proof: Proof, title: str) -> Blocks:
    """A kit held against an outing."""
    yield Say(title, style="bold")
    if proof.holds:
        yield Say("This kit keeps every limit, and the day simulated minute by minute agrees.")
    else:
        yield Say("This kit does NOT meet the outing:")
        yield items(_broken(proof))
    yield from _day(proof)
    yield from limits(proof.assessment.limits)


def _broken(proof: Proof) -> Iterator[str]:
    for limit in proof.assessment.broken:
        yield (
            f"{words.LABELS[limit.name]} ({limit.name}): {words.needs(limit)} asked, "
            f"{words.has(limit)} found"
        )
    yield from proof.failures
