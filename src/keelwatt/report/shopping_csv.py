"""The shopping list as a table for a spreadsheet."""

from collections.abc import Iterator

from keelwatt.files.csv_cells import csv_text
from keelwatt.proof.bill import Bill, BillLine


def shopping_csv(bill: Bill, currency: str) -> str:
    """A row for each thing to buy, and the total; lengths in the unit the row names.

    Text from the catalog is made harmless: control characters become spaces, and what a
    spreadsheet could take for a formula gets an apostrophe in front.
    """
    rows = (_header(currency), *map(_row, bill.lines), *_totals(bill))
    return csv_text(map(_harmless, row) for row in rows)


def _header(currency: str) -> list[str]:
    what = ["for", "kind", "id", "name", "colour", "needed", "to buy", "unit"]
    return [*what, f"price each [{currency}]", f"price [{currency}]", "remark"]


def _row(row: BillLine) -> list[str]:
    what = [", ".join(row.uses), row.what, row.part or "", row.name, row.colour]
    amounts = [_amount(row.needed), _amount(row.bought), row.unit]
    return [*what, *amounts, _money(row.each_cents), _money(row.price_cents), _remark(row)]


def _remark(row: BillLine) -> str:
    if row.owned:
        return "yours"
    if row.price_cents is None:
        return "not in the catalog: ask for this"
    if row.typical:
        return "not in the catalog: a typical price from memory"
    return "by whole lengths, each circuit apart" if row.what == "cable" else ""


def _totals(bill: Bill) -> Iterator[list[str]]:
    unpriced = len(bill.unpriced)
    rest = f"without what has no price ({unpriced})" if unpriced else ""
    rows = [("all of it", bill.price_cents, rest)]
    if bill.typical_cents:
        rows.append(("of this from memory", bill.typical_cents, "typical prices"))
    for name, cents, remark in rows:
        yield ["total", "", "", name, *[""] * 5, _money(cents), remark]


def _amount(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _money(cents: float | None) -> str:
    return "" if cents is None else f"{cents / 100:.2f}"


def _harmless(cell: str) -> str:
    return "".join(sign if sign.isprintable() else " " for sign in cell)
