"""A netlist as a list to work from: what to cut, how to end it, in which order, what to test."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from keelwatt.units import shown
from keelwatt.wiring import Conductor, Fault, Item, Netlist, Terminal, faults
from keelwatt.wiring.model import BANK, CHARGING, MOTOR, MOTOR_PLUG, Kind

COLOUR_SOURCE = (
    "Plus red, minus black or yellow throughout: ABYC E-11 and ISO 10133, from memory. Take yellow "
    "if mains voltage is ever aboard, where black may be live."
)

ENDS: dict[Kind, str] = {
    "battery": "Battery: ring lug to fit its stud or post.",
    "joint": "Joints: ring lug to fit their studs.",
    "fuse": "Fuse holders: ring lug or ferrule, as the holder takes it.",
    "connector": "Connector: its own contacts, crimped.",
    "controller": "Speed control: ferrule, or ring lug where it has studs.",
    "motor": "Motor: crimped joint to its own lead, under glue-lined shrink tube, or its terminal.",
    "inlet": "Charging inlet: its own contacts, crimped.",
    "device": "Devices: crimped joint to their leads, under glue-lined shrink tube.",
}
"""How to end a conductor, by the kind of item. Common practice."""

MOST_LUGS = 4
"""On one stud; ABYC E-11, from memory."""


@dataclass(frozen=True)
class WiringSheet:
    """Paragraphs in order of work."""

    ends: tuple[str, ...]
    places: tuple[str, ...]
    steps: tuple[str, ...]
    tests: tuple[str, ...]
    notes: tuple[str, ...]
    faults: tuple[Fault, ...]


def wiring_sheet(net: Netlist) -> WiringSheet:
    return WiringSheet(
        ends=tuple(ENDS[kind] for kind in dict.fromkeys(item.kind for item in net.items)),
        places=tuple(_places(net)),
        steps=tuple(_steps(net)),
        tests=tuple(_tests(net)),
        notes=tuple(_notes(net)),
        faults=faults(net),
    )


def label(net: Netlist, terminal: Terminal) -> str:
    """What a terminal is called on paper: "battery 1 +", "main fuse", "logger +"."""
    item = net.item(terminal.item)
    name = called(net, item)
    return name if item.kind in {"fuse", "joint"} else f"{name} {terminal.pole}"


def called(net: Netlist, item: Item) -> str:
    """An item's name on paper: a device and its fuse go by the device's name."""
    if item.circuit in {BANK, MOTOR, CHARGING}:
        return item.name
    return item.name.replace(item.circuit, net.circuit(item.circuit).told, 1)


def marked(conductor: Conductor) -> str:
    """Its colour, and what tells a link's ends apart."""
    tape = ", black tape at the minus end" if conductor.polarity == "link" else ""
    return conductor.colour + tape


def _numbers(conductors: Iterable[Conductor]) -> str:
    """ "1, 2 and 5"."""
    *most, last = [str(c.number) for c in conductors]
    return f"{', '.join(most)} and {last}" if most else last


def _source(net: Netlist) -> str:
    return "the plus joint" if net.joined else f"{net.strings[0][0]} +"


def _places(net: Netlist) -> Iterator[str]:
    lead = net.main[0]
    yield (
        f"Main fuse: on {_source(net)}, at most 178 mm (7 in) of cable away (33 CFR 183.455); "
        f"the list has {shown.tiny(lead.length_m)}. {net.item('main fuse').told}."
    )
    if net.joined:
        fuse = next(i for i in net.items if i.circuit == BANK and i.kind == "fuse")
        yield (
            "Strings in parallel: one fuse on each string's plus, at most 178 mm (7 in) from the "
            f"post, {fuse.told}. Without it a battery that fails inside is fed by the others "
            "past the main fuse. Leads of one length to all strings, so that they share the "
            "current. Plus joint and minus joint: covered, out of reach of each other."
        )
    if net.links:
        yield (
            f"Links between batteries ({_numbers(net.links)}): nothing protects them, as both "
            "ends are battery posts, so keep them short (40 in, 1.02 m, is the most), in a sheath "
            "from end to end (after 33 CFR 183.455), and cover every post."
        )
    yield (
        "Connector: the half with sockets on the battery's side, the half with pins on the "
        "motor's, so that nothing live is bare when it is apart; plus to the contact marked +. "
        "Never pull it with the motor running. Common practice."
    )
    if MOTOR_PLUG in net.kinds:
        yield (
            "Connector at the motor: the same way round, in reach from the mount, so that the "
            "motor comes off by itself. Pull the one beside the battery first."
        )
    if net.has("controller"):
        yield (
            "Speed control: battery side in, motor side out; swapped, it is destroyed. Dry, with "
            "air round it. The motor's own switch stays at its highest setting."
        )
    if net.has("inlet"):
        yield (
            "Charging inlet: its own fuse at the battery, small enough for the charger's thin "
            "lead, which the main fuse would not guard; sockets towards the battery; capped when "
            "not in use. Charge ashore, with the motor's connector apart."
        )
    for circuit in net.branches:
        if circuit.name != CHARGING:
            fuse = net.item(f"{circuit.name} fuse")
            yield f"{circuit.told}: its own fuse at {_source(net)}, within 178 mm. {fuse.told}."


def _steps(net: Netlist) -> Iterator[str]:
    yield (
        "Put battery, motor and the rest in their places, nothing connected, the battery's posts "
        "covered. Lay a string along each run and compare it with the list before you cut; if a "
        "run comes out longer, run keelwatt pick again with it under [craft.cable_run]."
    )
    yield (
        "Cut the pieces of the list, plus and minus of a run to the same length. Mark both ends of "
        "each with its number and with + or -."
    )
    yield (
        "Strip, crimp with a tool made for the lug, pull hard at each crimp, then shrink tube over "
        "it. Do not solder instead of crimping: solder makes the strands break. Common practice."
    )
    yield (
        f"From the motor back to the battery: join {_numbers(net.main[::-1])}. The main fuse stays "
        "out of its holder, and every end that goes to a battery open, taped over."
    )
    for circuit in net.branches:
        numbers = _numbers(net.of(circuit.name)[::-1])
        yield f"{circuit.told}: join {numbers} in the same way, its fuse out."
    if net.joined:
        leads = _numbers(c for c in net.of(BANK) if c.polarity != "link")
        yield f"Strings: join {leads} at joints and fuse holders, the fuses out."
    yield (
        "Lead the cables clear of water, heat and sharp edges, sleeves where they pass through "
        "anything, fastened at least every 45 cm (18 in; ABYC E-11, from memory)."
    )
    yield "Make tests 1 and 2 below."
    first = f"the links {_numbers(net.links)}, then " if net.links else ""
    at_posts = [c for c in net.conductors if net.kinds[c.start.item] == "battery"]
    plus, minus = (
        _numbers(c for c in at_posts if c.polarity == polarity)
        for polarity in ("positive", "negative")
    )
    yield (
        f"The batteries last, every fuse out: {first}the plus ends {plus}, then the minus ends "
        f"{minus}. Tools taped, one bare post at a time. Taking apart: minus first. Common "
        "practice."
    )


def _tests(net: Netlist) -> Iterator[str]:
    motor = net.motor
    current_a = net.item(motor.load or "").current_a
    yield (
        "Before the battery is connected, all fuses out, connector apart. Each piece from end to "
        "end: below 1 ohm. Between plus and minus of the battery's half: no reading at all."
    )
    yield (
        ("The connector at the motor together. " if MOTOR_PLUG in net.kinds else "")
        + "Between plus and minus of the motor's half, switched off: "
        + (
            "a reading that climbs is the speed control's capacitors; one that stays below 1 ohm "
            "is a short."
            if net.has("controller")
            else "no reading, or one that climbs; one that stays below 1 ohm is a short."
        )
    )
    volts = (
        f"about {net.bank_v:.0f} V and no minus sign. A minus sign: swapped, disconnect and mend"
    )
    if net.joined:
        yield (
            "Batteries connected, fuses still out: red probe on the battery's side of each string "
            f"fuse, black on the minus joint: {volts}. The strings within 0.1 V of each other, "
            "else charge each by itself first. Then the string fuses in, one after another. "
            "Common practice."
        )
    else:
        yield (
            "Battery connected, fuses still out: red probe on the battery's side of the main "
            f"fuse, black on minus: {volts}."
        )
    yield (
        "Main fuse in, connector still apart: the same voltage, the same sign, at its contacts. "
        "Fuse out again, connector together, control at zero, fuse in."
    )
    yield (
        "Run without load: propeller off or clear of everything and everyone, lowest setting, a "
        "few seconds. It turns the right way, nothing smells, nothing is warm."
    )
    yield (
        "Then moored in the water, full setting for 10 minutes: every lug, the fuse and the "
        "connector stay cool enough to hold. A hot one is a bad crimp: stop and make it again. "
        f"At {current_a:.0f} A the list allows {net.drop_v(MOTOR):.2f} V between "
        f"{'the joints' if net.joined else 'the battery'} and the motor; much more is a bad "
        "joint too."
    )
    for circuit in net.branches:
        yield f"{circuit.told}: polarity with the meter at its end first, then its fuse in."


def _notes(net: Netlist) -> Iterator[str]:
    yield COLOUR_SOURCE
    devices = [item for item in net.items if item.kind == "device"]
    if devices:
        longest = max(c.length_m for c in net.conductors if c.circuit == devices[0].circuit)
        yield (
            f"Where the devices sit is not in the outing: {shown.run(longest)} one way is assumed "
            "for each. Measure yours."
        )
    for circuit in net.branches:
        if circuit.converter:
            yield (
                f"{circuit.told}: end its branch at the converter ({circuit.converter}), and plug "
                "the device into that. Never join it to the bank itself."
            )
    if not net.has("inlet"):
        yield (
            "No charger is in this kit, as the outing asks for none, so there is no charging "
            "inlet: lift the battery out and charge it ashore, clamped to its posts."
        )
    asked = [i for i in net.items if i.kind == "fuse" and i.part is None]
    if asked:
        yield (
            "Small blade fuses often break 1000 A only (from memory); a shorted bank like yours "
            f"gives {net.short_circuit_a:.0f} A. Read the fuse's data before you buy."
        )
    start = net.main[0].start
    lugs = sum(c.start == start for c in net.conductors)
    if lugs > MOST_LUGS and not net.joined:
        yield (
            f"{lugs} lugs would meet on {label(net, start)}; {MOST_LUGS} on a stud are the most "
            "(ABYC E-11, from memory). Bolt a second stud or bar straight onto it, covered."
        )
    motor = net.motor
    both_v = net.drop_v(MOTOR) + net.bank_drop_v
    if net.bank_drop_v and both_v > (motor.most_drop or 0.0) * net.system_v:
        yield (
            f"With what joins the batteries, {both_v:.2f} V are lost on the way to the motor at "
            f"full setting, above the {100 * (motor.most_drop or 0.0):g} % asked for, which is "
            "counted from the bank. Shorter leads there help."
        )
    yield (
        "Sizes follow 33 CFR 183.425 and 183.455, written for inboard petrol boats: good practice "
        "here. Where local codes or a licensed electrician say otherwise, follow them."
    )
