"""The wiring sheet: what else to buy, what to cut, in which order, what to test."""

from keelwatt import words
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
from keelwatt.wiring.sheet import WiringSheet
from keelwatt.wiring.shopping import Purchase, Purchases


def wiring_sheet(net: Netlist, sheet: WiringSheet, bought: Purchases, currency: str) -> Blocks:
    """Everything after the answer itself, in order of work."""
    yield from warning(sheet)
    yield from beside(bought, currency)
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


def beside(bought: Purchases, currency: str) -> Blocks:
    """Cable as it is sold, and what the kit's price does not count."""
    yield Heading("The bill: cable as it is sold, and parts beside the kit")
    rows = [
        [
            f"{row.name}, {row.colour}" if row.colour else row.name,
            ", ".join(row.uses) or "The kit",
            _amount(row),
            _price(row),
        ]
        for row in bought.rows
        if row.kind == "cable" or row.uses
    ]
    rows.append(["Beside the kit, as far as priced", "", "", words.money(bought.beside_cents)])
    yield table(("Part", "For", *numbers("Amount", currency)), rows, total=True)
    sold = "foot" if bought.feet else "metre"
    together = words.money(bought.kit_cents + bought.beside_cents)
    yield Say(
        f"The kit's price, {words.money(bought.counted_cents)}, counts cable by the length used. "
        f"Sold by the whole {sold}, red and black apart, the kit comes to "
        f"{words.money(bought.kit_cents)}, and with what lies beside it to {together} {currency}."
    )


def _amount(row: Purchase) -> str:
    if row.kind == "cable":
        if row.owned:
            return f"{row.needed:.2f} {row.unit}"
        if row.bought == 0:
            return f"left over ({row.needed:.2f} {row.unit} used)"
        more = " more" if row.bought < row.needed else ""
        return f"{row.bought:g} {row.unit}{more} ({row.needed:.2f} used)"
    return f"{row.needed:g} {row.unit}{'s' if row.needed > 1 else ''}"


def _price(row: Purchase) -> str:
    if row.owned:
        return "yours"
    return "ask" if row.price_cents is None else words.money(row.price_cents)


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
                str(piece.number),
                piece.start,
                piece.end,
                shown.wire(piece.size, piece.area_mm2),
                shown.run(piece.length_m),
                f"{1000 * piece.drop_v:.0f} mV",
                piece.colour,
            ]
            for piece in sheet.pieces
        ],
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
