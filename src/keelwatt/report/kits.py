"""A kit, its sums and how it differs from another, in a line."""

from collections.abc import Iterable, Iterator, Sequence

from keelwatt import words
from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import Advice
from keelwatt.explain.prices import Found
from keelwatt.explain.ways import WayOut
from keelwatt.files.kit import Kit
from keelwatt.proof.bill import Bill, BillLine
from keelwatt.report.blocks import Column, Numbered, numbers
from keelwatt.report.limits import change_text
from keelwatt.wiring.shopping import amount, arrangement
from keelwatt.wiring.shopping import called as part_name

MAIN = ("battery", "motor", "controller")
"""The parts told by name; of the others only that they change."""


def kit_text(advice: Advice, kit: Kit) -> str:
    """A kit in one line: battery and motor by name, and where they go."""
    layout = arrangement(kit)
    joined = f" ({layout})" if layout else ""
    battery, motor = (called(advice, kind, kit) for kind in ("battery", "motor"))
    chopper = f"; {called(advice, 'controller', kit)}" if kit.controller else ""
    return f"{battery}{joined}, {kit.compartment}; {motor}, {kit.mount}{chopper}"


def called(advice: Advice, kind: str, kit: Kit, none: str = "none") -> str:
    """The kit's part of a kind by name; batteries with their number."""
    id_ = getattr(kit, kind)
    if id_ is None:
        return none
    count = f"{kit.units} x " if kind == "battery" and kit.units > 1 else ""
    return f"{count}{advice.catalog.part(id_).name}"


def changes_text(advice: Advice, kit: Kit, changes: Sequence[str]) -> str:
    """The new parts by name, and that small ones change with them."""
    places = {"battery": f", {kit.compartment}", "motor": f", {kit.mount}"}
    told = [
        f"{called(advice, kind, kit, 'its own control')}{places.get(kind, '')}"
        for kind in MAIN
        if kind in changes
    ]
    small = [kind for kind in changes if kind not in MAIN]
    if small:
        told.append(f"other {', '.join(small)}")
    return "; ".join(told)


def price_and_mass(advice: Advice, found: Found, *, season: bool = False) -> str:
    """What a kit comes to; ``season``: with the price of a season."""
    prices = [f"{words.money(found.cost_cents)} {advice.outing.currency}"]
    if season:
        prices.append(f"{words.money(found.value('season'))} a season")
    return ", ".join([*prices, words.kilograms(found.mass_g)])


def to_pay_and_carry(advice: Advice) -> str:
    """What the proved kit comes to."""
    assert advice.proof is not None
    totals = advice.proof.assessment.totals
    return (
        f"{words.money(totals.price_cents)} {advice.outing.currency} to buy, "
        f"{words.kilograms(totals.mass_g)} to carry"
    )


def difference(by: Measure, before: Found, after: Found) -> str:
    """ "22.00 more", "1.2 kg lighter", "as good"."""
    change = after.value(by) - before.value(by)
    if not change:
        return "as good"
    low, high = ("lighter", "heavier") if by == "mass" else ("less", "more")
    per = " a season" if by == "season" else ""
    return f"{words.measure(by, abs(change))}{per} {high if change > 0 else low}"


def ways(advice: Advice, found: Iterable[WayOut]) -> Iterator[Numbered]:
    """Ways out, each with the kit it lets in."""
    for number, way in enumerate(found, start=1):
        yield Numbered(way_text(advice, way), number)


def way_text(advice: Advice, way: WayOut) -> tuple[str, str]:
    """What is loosened, and the kit."""
    changes = "; ".join(change_text(change) for change in way.changes)
    return changes, found_text(advice, way.found)


def found_text(advice: Advice, found: Found) -> str:
    """What a kit comes to, and the kit."""
    return f"{price_and_mass(advice, found)}: {kit_text(advice, found.kit)}"


def sums_columns(advice: Advice) -> tuple[Column, ...]:
    """The headings of ``sums_cells``."""
    season = ("A season",) if advice.by == "season" else ()
    return numbers(advice.outing.currency, *season, "Mass")


def sums_cells(advice: Advice, found: Found) -> list[str]:
    """Price, the season's where that decides, and mass."""
    season = [words.money(found.value("season"))] if advice.by == "season" else []
    return [words.money(found.cost_cents), *season, words.kilograms(found.mass_g)]


def shopping_columns(currency: str) -> tuple[Column, ...]:
    return (Column("Part"), Column("Where"), *numbers(currency, "Mass"))


def shopping_row(line: BillLine, joined: str, sign: str = "") -> list[str]:
    """Part, where it goes, price, mass.

    ``joined``: how batteries are; ``sign``: whether it goes or comes, where that is told.
    """
    layout = f", {joined}" if line.what == "battery" and joined else ""
    quantity = "" if amount(line) == "1 x" else f"{amount(line)} "
    price = price_of(line) if line.owned else f"{sign}{price_of(line)}"
    mass = "ashore" if line.what == "charger" else f"{sign}{words.kilograms(line.mass_g)}"
    told = f"{sign}{sign and ' '}{quantity}{part_name(line)}{layout}"
    return [told, ", ".join(line.uses), price, mass]


def price_of(line: BillLine) -> str:
    """What is to pay; nothing for what is owned, to be asked for where nobody knows."""
    if line.owned:
        return "yours"
    return "ask" if line.price_cents is None else words.money(line.price_cents)


def prices_told(bill: Bill, currency: str) -> Iterator[str]:
    """How much of a bill is from memory, and what has no price at all."""
    if bill.typical_cents:
        names = dict.fromkeys(line.what for line in bill.lines if line.typical)
        yield (
            f"Of this {words.money(bill.typical_cents)} {currency} are typical prices from memory "
            f"({', '.join(names)}): the catalog lacks these parts."
        )
    if bill.unpriced:
        yield f"Without a price, ask for: {'; '.join(bill.unpriced)}."


def not_proved(advice: Advice) -> str:
    """That time ran out, and how far from the best the kit can be."""
    text = f"time ran out before it was proved the {words.MEASURES[advice.by]}"
    return text if advice.gap is None else f"{text}, none is more than {advice.gap:.1%} better"


def verdict(advice: Advice) -> str:
    """What the kit is, and whether that is proved."""
    if advice.status == "best":
        return f"The {words.MEASURES[advice.by]} that meets every limit (proved)"
    return f"A kit that meets every limit; {not_proved(advice)}"


def total(cents: float, grams: int) -> list[str]:
    """The last row of a bill."""
    return ["Total", "", words.money(cents), words.kilograms(grams)]
