"""The wiring sheet: what else to buy, what to cut, in which order, what to test."""

from keelwatt.report.blocks import (
    Blocks,
    Column,
    Heading,
    Say,
    items,
    numbered,
    numbers,
    table,
    whole,
)
from keelwatt.units import shown
from keelwatt.wiring import Netlist
from keelwatt.wiring.sheet import WiringSheet, label, marked


def wiring_sheet(net: Netlist, sheet: WiringSheet) -> Blocks:
    """Everything after the answer itself, in order of work."""
    yield from warning(sheet)
    yield from work(net, sheet)


def warning(sheet: WiringSheet) -> Blocks:
    """What is wrong with the wiring, if anything."""
    if sheet.faults:
        yield Heading("Do NOT build this wiring")
        yield items(f"{fault.at} {fault.what}: {fault.remedy}." for fault in sheet.faults)


def work(net: Netlist, sheet: WiringSheet) -> Blocks:
    """What to cut, where it goes, in which order, and what to test."""
    yield from _pieces(net, sheet)
    yield Heading("Where things go")
    yield items(sheet.places)
    yield Heading("In order of work")
    yield from numbered(sheet.steps)
    yield Heading("Tests, each before the next")
    yield from numbered(sheet.tests)
    yield Heading("Notes")
    yield items(sheet.notes)


def _pieces(net: Netlist, sheet: WiringSheet) -> Blocks:
    yield Heading("What to cut")
    yield table(
        (
            Column("No.", number=True, whole=True),
            "From",
            "To",
            whole("Size"),
            *numbers("Length", "Drop"),
            "Colour",
        ),
        [
            [
                str(c.number),
                label(net, c.start),
                label(net, c.end),
                shown.wire(c.wire.size, c.wire.area_mm2),
                shown.run(c.length_m),
                f"{1000 * c.drop_v:.0f} mV",
                marked(c),
            ]
            for c in net.conductors
        ],
        done=True,
    )
    main_v = net.drop_v(net.motor.name)
    ends_v = main_v - sum(c.drop_v for c in net.main)
    yield Say(
        f"Drop: volts lost at full current. With {ends_v:.2f} V in the motor's own lead and the "
        f"contacts, the motor's circuit loses {main_v:.2f} V, {100 * main_v / net.system_v:.1f} % "
        f"of {net.system_v:g} V."
    )
    yield Heading("Terminations")
    yield items(sheet.ends)
