"""The shopping list as a table for a spreadsheet."""

import csv
import io
from collections.abc import Iterator

from keelwatt.files.csv_cells import guarded
from keelwatt.wiring.shopping import Purchase, Purchases


def shopping_csv(bought: Purchases, currency: str) -> str:
    """A row for each thing to buy, and the totals; lengths in the unit the row names.

    Text from the catalog is made harmless: control characters become spaces, and what a
    spreadsheet could take for a formula gets an apostrophe in front.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for cells in (_header(currency), *map(_row, bought.rows), *_totals(bought)):
        writer.writerow(map(_harmless, cells))
    return out.getvalue()


def _header(currency: str) -> list[str]:
    what = ["for", "kind", "id", "name", "colour", "needed", "to buy", "unit"]
    return [*what, f"price each [{currency}]", f"price [{currency}]", "remark"]


def _row(row: Purchase) -> list[str]:
    use = f"beside the kit: {', '.join(row.uses)}" if row.uses else "the kit"
    what = [use, row.kind, row.part or "", row.name, row.colour]
    amounts = [_amount(row.needed), _amount(row.bought), row.unit]
    return [*what, *amounts, _money(row.each_cents), _money(row.price_cents), _remark(row)]


def _remark(row: Purchase) -> str:
    if row.owned:
        return "yours"
    if row.price_cents is None:
        return "not in the catalog: ask for this"
    if row.bought == 0:
        return "left over from the kit's"
    if row.kind == "cable" and row.bought < row.needed:
        return "the rest is left over from the kit's"
    if row.kind == "cable":
        return "one length a colour, rounded up"
    return ""


def _totals(bought: Purchases) -> Iterator[list[str]]:
    unpriced = len(bought.unpriced)
    beside = f"without what the catalog has no price of ({unpriced})" if unpriced else ""
    for name, cents, remark in (
        ("the kit, cable by the length used", bought.counted_cents, "as the choice counts it"),
        ("the kit, cable in whole lengths", bought.kit_cents, "what you pay for it"),
        ("beside the kit", bought.beside_cents, beside),
        ("all of it", bought.kit_cents + bought.beside_cents, beside),
    ):
        yield ["total", "", "", name, *[""] * 5, _money(cents), remark]


def _amount(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _money(cents: float | None) -> str:
    return "" if cents is None else f"{cents / 100:.2f}"


def _harmless(cell: str) -> str:
    return guarded("".join(sign if sign.isprintable() else " " for sign in cell))
