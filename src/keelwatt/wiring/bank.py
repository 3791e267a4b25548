"""Joining the batteries: links inside a string, a fuse for each string, and two joints.
The source the motor's and the devices' circuits begin at is a battery's own post, or the joints
where strings stand in parallel. A shorted string would be fed by the others past any fuse of the
motor's circuit, so each string has a fuse of its own within 7 in (178 mm) of its plus post (33 CFR
183.455(a) and (b), good practice here). Leads of one length to all strings, so that they share the
current. A link inside a string has battery posts at both ends and no fuse: it is kept within 40 in
and in a sheath, as 33 CFR 183.455(b)(2) has it for conductors before their fuse."""

from itertools import pairwise

from keelwatt.files.kit import Kit
from keelwatt.physics.joining import FUSE_LEAD_M
from keelwatt.wiring.draft import Draft
from keelwatt.wiring.model import BANK, Item, Terminal, fuse_item, string_fuse

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


def lay_bank(draft: Draft, bank_a: float, full_a: float) -> None:
    """Batteries, and what joins them. ``bank_a``: the rated motor's and every device's;
    ``full_a``: a chopper's loss too, which the batteries must give."""
    kit, battery = draft.kit, draft.chosen.battery
    string_a = bank_a / kit.parallel
    draft.items += [
        Item.of(
            battery,
            "battery",
            name,
            BANK,
            current_a=full_a / kit.parallel,
            rating_a=battery.continuous_a,
        )
        for string in strings(kit)
        for name in string
    ]
    numbers = range(1, kit.parallel + 1) if kit.parallel > 1 else ()
    fuses = [
        fuse_item(draft.chosen.fuse, string_fuse(number), BANK, string_a) for number in numbers
    ]
    lead_m, link_m, wire = draft.billing.lead_m, draft.billing.link_m, draft.cable
    links = [
        (Terminal(minus, "-"), Terminal(plus, "+"), link_m)
        for string in strings(kit)
        for minus, plus in pairwise(string)
    ]
    draft.lay(BANK, links, wire=wire, current_a=string_a, fuse=None)
    if fuses:
        bar = draft.billing.bar
        joints = (Item.got(bar, "joint", name, BANK, bank_a) for name in JOINT.values())
        draft.items += [*fuses, *joints]
    for string, fuse in zip(strings(kit), fuses, strict=False):
        leads = (
            (Terminal(string[0], "+"), Terminal(fuse.name, "+"), FUSE_LEAD_M),
            (Terminal(fuse.name, "+"), Terminal(JOINT["+"], "+"), lead_m),
            (Terminal(string[-1], "-"), Terminal(JOINT["-"], "-"), FUSE_LEAD_M + lead_m),
        )
        draft.lay(BANK, leads, wire=wire, current_a=string_a, fuse=fuse.name)
