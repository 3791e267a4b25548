"""The shopping list as a table: columns, totals, and names meant to do harm."""

import csv
import io

import pytest

from keelwatt.boat.load_case import LoadCase
from keelwatt.proof import Assessor
from keelwatt.report.shopping_csv import shopping_csv
from keelwatt.wiring import netlist
from keelwatt.wiring.shopping import Purchases, purchases, shopping_list
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


def bought(name: str, told: str | None = None) -> Purchases:
    kit, outing = KITS[name][1], outing_of(name)
    load_case = LoadCase(outing)
    chosen = Assessor(load_case.outing, shipped()).chosen(kit)
    if told is not None:
        battery = chosen.battery.model_copy(update={"name": told})
        chosen = type(chosen)(**{**vars(chosen), "battery": battery})
    bill = shopping_list(kit, chosen, outing.parts)
    return purchases(bill, kit, outing.parts, netlist(kit, chosen, load_case, shipped()))


def test_a_length_left_over_in_part_says_why_less_is_bought() -> None:
    rows = table(shopping_csv(bought("parallel"), "crowns"))
    bank = [row for row in rows if row["for"] == "beside the kit: Joining the batteries"]
    cables = [row for row in bank if row["kind"] == "cable"]
    assert cables and all(float(row["to buy"]) < float(row["needed"]) for row in cables)
    assert {row["remark"] for row in cables} == {"the rest is left over from the kit's"}


def table(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text), strict=True))


@pytest.mark.parametrize("name", KITS)
def test_rows_add_up_to_the_totals(name: str) -> None:
    basket = bought(name)
    rows = table(shopping_csv(basket, "crowns"))
    goods = [row for row in rows if row["for"] != "total"]
    totals = [float(row["price [crowns]"]) for row in rows if row["for"] == "total"]
    assert len(goods) == len(basket.rows)
    kit = sum(float(row["price [crowns]"]) for row in goods if row["for"] == "the kit")
    beside = sum(
        float(row["price [crowns]"] or 0) for row in goods if row["for"].startswith("beside")
    )
    assert totals[0] == basket.counted_cents / 100
    assert totals[1:] == pytest.approx([kit, beside, kit + beside])
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
