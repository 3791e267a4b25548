"""The wiring sheet in a terminal: what else to buy, what to cut, in which order, what to test."""

from keelwatt import words
from keelwatt.report.screen import Column, Screen
from keelwatt.wiring import Netlist
from keelwatt.wiring.sheet import WiringSheet
from keelwatt.wiring.shopping import Purchase, Purchases


def wiring_sheet(
    screen: Screen, net: Netlist, sheet: WiringSheet, bought: Purchases, currency: str
) -> None:
    """Everything after the answer itself, in order of work."""
    warning(screen, sheet)
    beside(screen, bought, currency)
    work(screen, net, sheet)


def warning(screen: Screen, sheet: WiringSheet) -> None:
    """What is wrong with the wiring, if anything."""
    if sheet.faults:
        screen.heading("Do NOT build this wiring as it stands")
        screen.items(f"{fault.at} {fault.what}: {fault.remedy}." for fault in sheet.faults)


def work(screen: Screen, net: Netlist, sheet: WiringSheet) -> None:
    """What to cut, where it goes, in which order, and what to test."""
    _pieces(screen, net, sheet)
    screen.heading("Where things go")
    screen.items(sheet.places)
    screen.heading("In order of work")
    _numbered(screen, sheet.steps)
    screen.heading("Tests, each before the next")
    _numbered(screen, sheet.tests)
    screen.heading("To know")
    screen.items(sheet.notes)


def _numbered(screen: Screen, texts: tuple[str, ...]) -> None:
    for number, text in enumerate(texts, start=1):
        screen.numbered(number, text)


def beside(screen: Screen, bought: Purchases, currency: str) -> None:
    """Cable as it is sold, and what the kit's price does not count."""
    screen.heading("Cable by the whole length, and what the kit's price does not count")
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
    screen.table(
        [
            Column("Part"),
            Column("For"),
            Column("Amount", number=True),
            Column(currency, number=True),
        ],
        rows,
        total=True,
    )
    sold = "foot" if bought.feet else "metre"
    together = words.money(bought.kit_cents + bought.beside_cents)
    screen.say(
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


def _pieces(screen: Screen, net: Netlist, sheet: WiringSheet) -> None:
    screen.heading("What to cut")
    screen.table(
        [
            Column("No.", number=True, whole=True),
            Column("From"),
            Column("To"),
            Column("Size", whole=True),
            Column("Length", number=True),
            Column("Drop", number=True),
            Column("Colour"),
        ],
        [
            [
                str(piece.number),
                piece.start,
                piece.end,
                piece.size,
                f"{piece.length_m:.2f} m",
                f"{1000 * piece.drop_v:.0f} mV",
                piece.colour,
            ]
            for piece in sheet.pieces
        ],
    )
    main_v = sum(piece.drop_v for piece in sheet.pieces if not piece.apart)
    screen.say(
        f"Drop: volts lost at full current. The motor's circuit loses {main_v:.2f} V, "
        f"{100 * main_v / net.system_v:.1f} % of {net.system_v:g} V."
    )
    screen.heading("How to end them")
    screen.items(sheet.ends)
