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
from keelwatt.physics.protection import largest_fuse_at_a, smallest_fuse_a
from keelwatt.physics.stowage import Block, block
from keelwatt.wiring.branch_parts import fuse_item
from keelwatt.wiring.draft import Draft
from keelwatt.wiring.model import BANK, Item, Terminal, Wire, string_fuse

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


def lay_bank(draft: Draft, bank_a: float) -> None:
    """Batteries, and what joins them. ``bank_a``: at full throttle with every device on."""
    kit, battery = draft.kit, draft.chosen.battery
    string_a = bank_a / kit.parallel
    draft.items += [
        Item.of(battery, "battery", name, BANK, current_a=string_a, rating_a=battery.continuous_a)
        for string in strings(kit)
        for name in string
    ]
    stack = _stack(draft)
    numbers = range(1, kit.parallel + 1) if kit.parallel > 1 else ()
    fuses = [_string_fuse(number, draft, string_a) for number in numbers]
    lead_m = _whole_cm(sum(stack.size[:2]) / 2 + SLACK_M)
    link_m = _whole_cm(max(stack.unit[:2]) + SLACK_M)
    guarded_a = fuses[0].rating_a or 0.0 if fuses else string_a
    wire = _wide_enough(draft, guarded_a, lead_m, string_a)
    links = [
        (Terminal(minus, "-"), Terminal(plus, "+"), link_m)
        for string in strings(kit)
        for minus, plus in pairwise(string)
    ]
    draft.lay(BANK, links, wire=wire, current_a=string_a, fuse=None)
    if fuses:
        fused_a = sum(fuse.rating_a or 0.0 for fuse in fuses)
        draft.items += [*fuses, *_joints(draft, bank_a, fused_a)]
    for string, fuse in zip(strings(kit), fuses, strict=False):
        leads = (
            (Terminal(string[0], "+"), Terminal(fuse.name, "+"), FUSE_LEAD_M),
            (Terminal(fuse.name, "+"), Terminal(JOINT["+"], "+"), lead_m),
            (Terminal(string[-1], "-"), Terminal(JOINT["-"], "-"), FUSE_LEAD_M + lead_m),
        )
        draft.lay(BANK, leads, wire=wire, current_a=string_a, fuse=fuse.name)


def _string_fuse(number: int, draft: Draft, string_a: float) -> Item:
    """Of the main fuse's kind, unless the devices make a string carry more than that allows."""
    name, main = string_fuse(number), draft.chosen.fuse
    if main.rating_a >= just_below(float(smallest_fuse_a(max_current_a=string_a))):
        return fuse_item(main, name, BANK, string_a)
    return draft.branch_parts.fuse(name, BANK, string_a)


def _wide_enough(draft: Draft, guarded_a: float, lead_m: float, string_a: float) -> Wire:
    """The main cable, unless a string's fuse or current asks for more."""
    cable, parts = draft.cable, draft.branch_parts
    largest_a = largest_fuse_at_a(
        ampacity_a=cable.ampacity_a,
        over_ampacity=parts.outing.policy.fuse_over_ampacity,
        bank_voltage_v=parts.charging_v,
    )
    if largest_a >= just_below(guarded_a) and cable.ampacity_a >= just_below(string_a):
        return cable
    # most_v is no bound here: the drop between the batteries is told apart from the motor's
    return parts.wire(
        fuse_a=guarded_a, length_m=lead_m, current_a=string_a, most_v=parts.charging_v
    )


def _joints(draft: Draft, bank_a: float, fused_a: float) -> Iterator[Item]:
    """Bars that carry what the strings' fuses together let through."""
    branches = bool(draft.chosen.charger) + len(draft.case.outing.devices)
    lugs = draft.kit.parallel + 1 + branches
    told = f"Covered bus bar for {lugs} lugs, at least {ceil(fused_a)} A"
    for name in JOINT.values():
        yield Item.asked(told, "joint", name, BANK, current_a=bank_a, rating_a=float(ceil(fused_a)))


def _stack(draft: Draft) -> Block:
    """How the bank stands in its compartment; in one row where it does not fit."""
    kit, box, unit = draft.kit, draft.chosen.compartment, draft.chosen.battery
    size = (unit.length_m, unit.width_m, unit.height_m)
    row = Block(1, kit.units, size, (size[0], kit.units * size[1], size[2]))
    return (
        block(
            units=kit.units,
            unit_m=size,
            upright_only=unit.upright_only,
            room_m=(box.length_m, box.width_m, box.height_m),
            clearance_m=draft.case.outing.policy.clearance_m,
        )
        or row
    )


def _whole_cm(length_m: float) -> float:
    """Up to the next; rounded first, so that 0.30 m stays 30 cm in spite of its last bit."""
    return ceil(round(100 * length_m, 6)) / 100
