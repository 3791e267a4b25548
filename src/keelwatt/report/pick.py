"""The answer to the main job, and a kit's proof."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from html import escape
from math import inf, radians
from typing import TYPE_CHECKING

from keelwatt import words
from keelwatt.explain.advise import Advice
from keelwatt.explain.tradeoff import Runner
from keelwatt.files.kit import Kit
from keelwatt.physics.forces import levelling_distance_m, trim_end_m
from keelwatt.proof import Proof
from keelwatt.proof.bill import Bill
from keelwatt.proof.model import LegResult, Totals
from keelwatt.report.blocks import Block, Blocks, Column, Heading, Rest, Say, items, numbers, table
from keelwatt.report.cautions import cautions, warnings
from keelwatt.report.explanations import nothing, what_it_costs, what_was_left_out
from keelwatt.report.kits import prices_told, shopping_columns, shopping_row, to_pay_and_carry
from keelwatt.report.limits import limits
from keelwatt.units import shown
from keelwatt.wiring import Netlist, netlist
from keelwatt.wiring.shopping import arrangement

if TYPE_CHECKING:
    from keelwatt.chance.odds import Chances
    from keelwatt.chance.sure import Sure
    from keelwatt.explain.fitting import Fitting
    from keelwatt.wiring.sheet import WiringSheet

LEVEL_DEG = 0.1
"""Less trim than this nobody sees."""

NOTHING_LEVELS = "Nothing aboard levels it by itself: the boat is too short"

LEG_COLUMNS = [
    Column("Leg"),
    *numbers("Speed", "Time", "Thrust", "Control", "Current", "Charge", "Left"),
]


@dataclass(frozen=True, repr=False)
class Answer:
    """What ``pick`` found, and what is made of it for screen, page, list and data: each once.

    ``certain``: how sure the kit is, if that was asked; ``runners``: the best kits that
    differ, if asked. What is below needs a kit.
    """

    advice: Advice
    certain: "Sure | None" = None
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

        with words.about(self.advice.outing):
            page = escape(pick_page(self, datetime.now().astimezone()))
        style = "width: 100%; height: 50rem; border: 0"
        return f'<iframe title="keelwatt" style="{style}" srcdoc="{page}"></iframe>'

    @property
    def spare_g(self) -> int:
        """What the kit counts for beyond the parts of its bill."""
        return self.totals.mass_g - sum(line.mass_g for line in self.bill.lines)

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
    def chances(self) -> "Chances | None":
        """What comes of the days drawn about the plan; None without a kit."""
        from keelwatt.chance.odds import DAYS, SEED, Boat, chances, simulate
        from keelwatt.chance.spreads import Spreads
        from keelwatt.proof import Assessor

        if self.certain and self.certain.chosen:
            return self.certain.chosen.chances
        if self.advice.proof is None:
            return None
        boat = Boat(Assessor(self.advice.outing, self.advice.catalog), self.kit)
        return chances(simulate(boat, Spreads(self.advice.outing), DAYS, SEED))

    @cached_property
    def bill(self) -> Bill:
        assert self.proof.assessment.bill
        return self.proof.assessment.bill

    @cached_property
    def net(self) -> Netlist:
        kit, case = self.proof.assessment.kit, self.advice.case
        return netlist(kit, self.proof.chosen, case, self.advice.catalog)

    @cached_property
    def sheet(self) -> "WiringSheet":
        from keelwatt.wiring.sheet import wiring_sheet

        return wiring_sheet(self.net)

    @cached_property
    def fitting(self) -> "Fitting":
        from keelwatt.explain.fitting import fitting

        return fitting(self.advice.case, self.proof)


def pick(answer: Answer, *, left_out: bool = False) -> Blocks:
    """The kit, or what stands in its way: a first screen, and all of it."""
    from keelwatt.report import first

    yield first.pick(answer)
    yield Rest(_all_of_it(answer))
    if left_out:
        yield from what_was_left_out(answer.advice)


def _all_of_it(answer: Answer) -> Blocks:
    advice = answer.advice
    yield Say(advice.outing.title, style="bold")
    yield from _kit(answer) if advice.proof else nothing(advice)


def not_proved(advice: Advice) -> str:
    """That time ran out, and how far from the best the kit can be."""
    text = f"time ran out before it was proved the {words.MEASURES[advice.by]}"
    return text if advice.gap is None else f"{text}, none is more than {advice.gap:.1%} better"


def verdict(advice: Advice) -> str:
    """What the kit is, and whether that is proved."""
    if advice.status == "best":
        return f"The {words.MEASURES[advice.by]} that meets every limit (proved)"
    return f"A kit that meets every limit; {not_proved(advice)}"


def _kit(answer: Answer) -> Blocks:
    advice, proof = answer.advice, answer.proof
    totals, currency = proof.assessment.totals, advice.outing.currency
    yield Say(f"{verdict(advice)}: {to_pay_and_carry(advice)}.")
    yield Heading("What to buy")
    yield bill_table(answer)
    for sentence in prices_told(answer.bill, currency):
        yield Say(sentence)
    ids = dict.fromkeys(line.part for line in answer.bill.lines if line.part)
    yield Say(f"In the catalog: {', '.join(ids)}.", style="dim")
    if advice.by == "season":
        yield Say(f"Spread over each part's life: {words.money(totals.season_cents)} a season.")
    yield from _day(proof)
    yield from limits(proof.assessment.limits, advice.binding)
    if advice.binding:
        yield Say(binds(advice))
    yield Say(floats(advice))
    yield from what_it_costs(advice)
    yield from care(advice)
    yield from dangers(advice, proof)


def bill_table(answer: Answer) -> Block:
    """Every line of the bill, in the order one shops."""
    joined, totals = arrangement(answer.kit), answer.totals
    rows = [shopping_row(line, joined) for line in answer.bill.lines]
    rows += [*spare(answer), total(totals.price_cents, totals.mass_g)]
    return table(shopping_columns(answer.advice.outing.currency), rows, total=True)


def spare(answer: Answer) -> list[list[str]]:
    """The row of what no part weighs: the mass of no kit depends on its charger's inlet."""
    grams = answer.spare_g
    return [["Kept for a larger charger's inlet", "", "", words.kilograms(grams)]] if grams else []


def total(cents: float, grams: int) -> list[str]:
    """The last row of a bill."""
    return ["Total", "", words.money(cents), words.kilograms(grams)]


def floats(advice: Advice) -> str:
    """Which end floats deeper and by how much, and what moved how far would level the boat."""
    assert advice.proof is not None
    afloat, outing = advice.balance, advice.outing
    if afloat.trim_deg < LEVEL_DEG or not afloat.mass.x_m:
        return "The boat floats level with this kit."
    low, high, way = ("stern", "bow", "forward") if afloat.mass.x_m < 0 else ("bow", "stern", "aft")
    length_m, trim_rad = outing.craft.waterline_length_m, radians(afloat.trim_deg)
    end = shown.end(float(trim_end_m(length_m=length_m, trim_rad=trim_rad)))
    moment = abs(afloat.mass.x_m) * afloat.displacement_kg
    chosen, kit = advice.proof.chosen, advice.proof.assessment.kit
    box = next(box for box in outing.craft.compartments if box.name == kit.compartment)
    moved = [("the battery", kit.units * chosen.battery.mass_kg, box.x_m)]
    if outing.aboard:
        heaviest = max(outing.aboard, key=lambda load: load.mass_kg)
        moved.append((heaviest.name, heaviest.mass_kg, heaviest.x_m))
    towards, ways = (1.0 if way == "forward" else -1.0), []
    for name, kg, x_m in moved:
        far_m = float(levelling_distance_m(moment_kg_m=moment, mass_kg=kg)) if kg else inf
        if towards * x_m + far_m <= length_m / 2.0:
            ways.append(f"{name} ({shown.mass(1000 * kg)}) {shown.small(far_m)} {way}")
    level = f"To level the boat, move {' or '.join(ways)}" if ways else NOTHING_LEVELS
    return (
        f"The {low} floats {end} deeper and the {high} {end} shallower than level "
        f"({afloat.trim_deg:.2f} deg). {level}."
    )


def binds(advice: Advice) -> str:
    better = "lighter" if advice.by == "mass" else "cheaper"
    return f"binding: drop only this limit and a {better} kit fits."


def care(advice: Advice) -> Blocks:
    if notes := tuple(warnings(advice.case)):
        yield Heading("Take this answer with care")
        yield items(notes)


def dangers(advice: Advice, proof: Proof) -> Blocks:
    yield Heading("Be careful")
    yield items(each.text for each in cautions(advice.case, proof.assessment, proof.chosen))


def _day(proof: Proof) -> Blocks:
    yield Heading("The day")
    yield table(LEG_COLUMNS, leg_rows(proof, words.setting_in_short))
    for sentence in (*_control_told(proof), *day_told(proof)):
        yield Say(sentence)
    yield from charge_told(proof)


def _control_told(proof: Proof) -> Iterator[str]:
    """What the short words of the control's column stand for."""
    legs = [leg for leg in proof.assessment.legs if leg.battery_a]
    if any(leg.throttle is not None for leg in legs):
        yield "Control: the throttle, a share of full."
    steps = {words.setting_in_short(leg): words.setting(leg) for leg in legs if leg.steps}
    if steps:
        yield f"Control: {', '.join(f'{short} means {long}' for short, long in steps.items())}."


def charge_told(proof: Proof) -> Blocks:
    """From what is printed on the battery to what the day may take."""
    yield Heading("Where the ampere-hours go")
    rows = [[step.capitalize(), f"{ah:.1f} Ah"] for step, ah in proof.where_the_charge_goes]
    yield table((Column("From the label to the day"), *numbers("Charge")), rows)


def leg_rows(proof: Proof, setting: Callable[[LegResult], str]) -> list[list[str]]:
    """The legs under ``LEG_COLUMNS``."""
    ends = {end.name: end for end in proof.leg_ends}
    return [
        [
            leg.name,
            words.speed(leg.speed_m_s),
            words.duration(leg.hours),
            shown.force(leg.thrust_n),
            setting(leg),
            f"{words.number(leg.battery_a)} A",
            f"{words.number(leg.charge_ah)} Ah",
            f"{words.number(ends[leg.name].left_ah)} Ah",
        ]
        for leg in proof.assessment.legs
    ]


def day_told(proof: Proof) -> Iterator[str]:
    """What is left after the last leg, and for how much longer it would do."""
    assessment = proof.assessment
    yield f"Charge left at the end: {charge_left(proof)}."
    if assessment.device_ah:
        yield f"Devices used {words.number(assessment.device_ah)} Ah."
    times = assessment.hours_at_limit
    if times != float("inf"):
        yield f"The battery would last {times:.2f} times the planned hours."


def charge_left(proof: Proof) -> str:
    """After the last leg: "51 of 80 Ah (reserve 48 Ah)"."""
    left, keep = proof.minutes[-1].left_ah, proof.keep_ah
    return f"{left:.0f} of {proof.full_ah:.0f} Ah (reserve {keep:.0f} Ah)"


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
