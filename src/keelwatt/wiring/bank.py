"""Joining the batteries: links inside a string, a fuse for each string, and two joints.

The source the motor's and the devices' circuits begin at is a battery's own post, or the joints
where strings stand in parallel. A shorted string would be fed by the others past any fuse of the
motor's circuit, so each string has a fuse of its own within 7 in (178 mm) of its plus post
(33 CFR 183.455(a) and (b), good practice here). Leads of one length to all strings, so that they
share the current. A link inside a string has battery posts at both ends and no fuse: it is kept
within 40 in and in a sheath, as 33 CFR 183.455(b)(2) has it for conductors before their fuse.
"""

from collections.abc import Iterator
from itertools import pairwise
from math import ceil

from keelwatt.files.kit import Kit, just_below
from keelwatt.physics.protection import smallest_fuse_a
from keelwatt.physics.stowage import Block, block
from keelwatt.wiring.model import BANK, Item, Loom, Terminal, Wire, string_fuse
from keelwatt.wiring.shelf import Plan, fuse_item

FUSE_LEAD_M = 0.15
"""From a source to its fuse: within 7 in, with a little to spare."""

SLACK_M = 0.10
"""For bends and lugs. Common practice."""

JOINT = {"+": "plus joint", "-": "minus joint"}


def strings(kit: Kit) -> tuple[tuple[str, ...], ...]:
    """The batteries of each string, the plus end first."""
    if kit.units == 1:
        return (("battery",),)
    return tuple(
        tuple(f"battery {kit.series * string + place + 1}" for place in range(kit.series))
        for string in range(kit.parallel)
    )


def sources(kit: Kit) -> tuple[Terminal, Terminal]:
    """Plus and minus, where the circuits begin."""
    if kit.parallel > 1:
        return Terminal(JOINT["+"], "+"), Terminal(JOINT["-"], "-")
    only = strings(kit)[0]
    return Terminal(only[0], "+"), Terminal(only[-1], "-")


def lay_bank(loom: Loom, plan: Plan, bank_a: float) -> None:
    """Batteries, and what joins them. ``bank_a``: at full throttle with every device on."""
    kit, unit = plan.kit, plan.chosen.battery
    string_a = bank_a / kit.parallel
    for name in (name for string in strings(kit) for name in string):
        loom.items.append(
            Item(
                name=name,
                kind="battery",
                circuit=BANK,
                part=unit.id,
                told=unit.name,
                current_a=string_a,
                rating_a=unit.continuous_a,
                price_cents=unit.price_cents,
            )
        )
    stack = _stack(plan)
    alone = kit.parallel == 1
    numbers = () if alone else range(1, kit.parallel + 1)
    fuses = [_string_fuse(number, plan, string_a) for number in numbers]
    lead_m = _whole_cm(sum(stack.size[:2]) / 2 + SLACK_M)
    guarded_a = string_a if alone else fuses[0].rating_a or 0.0
    wire = _wide_enough(plan, guarded_a, lead_m, string_a)
    for string in strings(kit):
        for minus, plus in pairwise(string):
            loom.lay(
                BANK,
                Terminal(minus, "-"),
                Terminal(plus, "+"),
                length_m=_whole_cm(max(stack.unit[:2]) + SLACK_M),
                wire=wire,
                current_a=string_a,
                fuse=None,
            )
    if not alone:
        fused_a = sum(fuse.rating_a or 0.0 for fuse in fuses)
        loom.items += [*fuses, *_joints(plan, bank_a, fused_a)]
    for string, fuse in zip(strings(kit), fuses, strict=False):
        pieces = (
            (Terminal(string[0], "+"), Terminal(fuse.name, "+"), FUSE_LEAD_M),
            (Terminal(fuse.name, "+"), Terminal(JOINT["+"], "+"), lead_m),
            (Terminal(string[-1], "-"), Terminal(JOINT["-"], "-"), FUSE_LEAD_M + lead_m),
        )
        for start, end, length_m in pieces:
            loom.lay(
                BANK,
                start,
                end,
                length_m=length_m,
                wire=wire,
                current_a=string_a,
                fuse=fuse.name,
            )


def _string_fuse(number: int, plan: Plan, string_a: float) -> Item:
    """Of the main fuse's kind, unless the devices make a string carry more than that allows."""
    name, main = string_fuse(number), plan.chosen.fuse
    if main.rating_a >= just_below(float(smallest_fuse_a(max_current_a=string_a))):
        return fuse_item(name, BANK, main, string_a)
    return plan.shelf.fuse(name, BANK, string_a)


def _wide_enough(plan: Plan, guarded_a: float, lead_m: float, string_a: float) -> Wire:
    """The main cable, unless a string's fuse or current asks for more."""
    cable, shelf = plan.cable, plan.shelf
    if cable.ampacity_a * shelf.outing.policy.fuse_over_ampacity >= just_below(guarded_a):
        return cable
    return shelf.wire(fuse_a=guarded_a, length_m=lead_m, current_a=string_a, most_v=shelf.bank_v)


def _joints(plan: Plan, bank_a: float, fused_a: float) -> Iterator[Item]:
    """Bars that carry what the strings' fuses together let through."""
    outing = plan.facts.outing
    lugs = plan.kit.parallel + 1 + bool(plan.chosen.charger) + len(outing.devices)
    for name in JOINT.values():
        yield Item(
            name=name,
            kind="joint",
            circuit=BANK,
            part=None,
            told=f"Covered bus bar for {lugs} lugs, at least {ceil(fused_a)} A",
            current_a=bank_a,
            rating_a=float(ceil(fused_a)),
            price_cents=None,
        )


def _stack(plan: Plan) -> Block:
    """How the bank stands in its compartment; in one row where it does not fit."""
    kit, box, unit = plan.kit, plan.chosen.compartment, plan.chosen.battery
    size = (unit.length_m, unit.width_m, unit.height_m)
    row = Block(1, kit.units, size, (size[0], kit.units * size[1], size[2]))
    return (
        block(
            units=kit.units,
            unit_m=size,
            upright_only=unit.upright_only,
            room_m=(box.length_m, box.width_m, box.height_m),
            clearance_m=plan.facts.outing.policy.clearance_m,
        )
        or row
    )


def _whole_cm(length_m: float) -> float:
    return ceil(round(100 * length_m, 6)) / 100
