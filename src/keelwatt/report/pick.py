"""The answer to the main job, and a kit's proof."""

from collections.abc import Iterator
from math import inf, radians
from typing import TYPE_CHECKING

from keelwatt import words
from keelwatt.explain.advise import Advice
from keelwatt.physics.forces import levelling_distance_m, trim_end_m
from keelwatt.proof import Proof
from keelwatt.report import first
from keelwatt.report.answer import Answer
from keelwatt.report.blocks import Block, Blocks, Heading, Rest, Say, items, table
from keelwatt.report.cautions import cautions, warnings
from keelwatt.report.day import day
from keelwatt.report.explanations import nothing, what_it_costs, what_was_left_out
from keelwatt.report.kits import (
    prices_told,
    shopping_columns,
    shopping_row,
    to_pay_and_carry,
    total,
    verdict,
)
from keelwatt.report.limits import limits
from keelwatt.units import shown
from keelwatt.wiring.shopping import arrangement

if TYPE_CHECKING:
    pass

LEVEL_DEG = 0.1
"""Less trim than this nobody sees."""

NOTHING_LEVELS = "Nothing aboard levels it by itself: the boat is too short"


def pick(answer: Answer, *, left_out: bool = False) -> Blocks:
    """The kit, or what stands in its way: a first screen, and all of it."""
    yield first.pick(answer)
    yield Rest(_all_of_it(answer))
    if left_out:
        yield from what_was_left_out(answer.advice)


def _all_of_it(answer: Answer) -> Blocks:
    advice = answer.advice
    yield Say(advice.outing.title, style="bold")
    yield from _kit(answer) if advice.proof else nothing(advice)


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
    yield from day(proof)
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


def prove(proof: Proof, title: str) -> Blocks:
    """A kit held against an outing."""
    yield Say(title, style="bold")
    if proof.holds:
        yield Say("This kit keeps every limit, and the day simulated minute by minute agrees.")
    else:
        yield Say("This kit does NOT meet the outing:")
        yield items(_broken(proof))
    yield from day(proof)
    yield from limits(proof.assessment.limits)


def _broken(proof: Proof) -> Iterator[str]:
    for limit in proof.assessment.broken:
        yield (
            f"{words.LABELS[limit.name]} ({limit.name}): {words.needs(limit)} asked, "
            f"{words.has(limit)} found"
        )
    yield from proof.failures
