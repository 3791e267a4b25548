"""The shopping list as a table: columns, totals, and names meant to do harm."""

import csv
import io
from dataclasses import replace

import pytest

from keelwatt.proof import Assessor
from keelwatt.proof.bill import Bill
from keelwatt.report.shopping_csv import shopping_csv
from wiring.kits import KITS, outing_of, shipped

HARMFUL = [
    '=HYPERLINK("http://example.org")',
    "+1+1",
    "-2+3",
    "@SUM(A1)",
    "\t=1",
    "\r\n=1",
    "  =1",
    "＝1+1",
    "\x00=1",
]


def bought(name: str, told: str | None = None) -> Bill:
    kit, outing, catalog = KITS[name][1], outing_of(name), shipped()
    if told is not None:
        batteries = tuple(
            b.model_copy(update={"name": told}) if b.id == kit.battery else b
            for b in catalog.batteries
        )
        catalog = replace(catalog, batteries=batteries)
    bill = Assessor(outing, catalog).assess(kit).bill
    assert bill
    return bill


def table(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text), strict=True))


@pytest.mark.parametrize("name", KITS)
def test_rows_add_up_to_the_totals(name: str) -> None:
    basket = bought(name)
    rows = table(shopping_csv(basket, "crowns"))
    goods = [row for row in rows if row["for"] != "total"]
    totals = [float(row["price [crowns]"]) for row in rows if row["for"] == "total"]
    assert len(goods) == len(basket.lines)
    assert totals == [basket.price_cents / 100]
    assert totals == pytest.approx([sum(float(row["price [crowns]"] or 0) for row in goods)])
    for row in goods:
        if row["price each [crowns]"]:
            price = float(row["price each [crowns]"]) * float(row["to buy"])
            assert price == pytest.approx(float(row["price [crowns]"]), abs=0.01)


@pytest.mark.parametrize("harmful", HARMFUL)
def test_no_cell_begins_a_formula(harmful: str) -> None:
    text = shopping_csv(bought("one battery", harmful), harmful)
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert not any(cell.lstrip()[:1] in "=+-@＝" for cell in cells if cell.strip())
    assert any(cell.startswith("'") for cell in cells)
    assert all(cell.isprintable() for cell in cells)


def test_plain_names_stay_as_they_are() -> None:
    name = 'Battery "12 V", 100 Ah - deep; Ω'
    rows = table(shopping_csv(bought("one battery", name), "€"))
    assert rows[0]["name"] == name
    assert "price [€]" in rows[0]
