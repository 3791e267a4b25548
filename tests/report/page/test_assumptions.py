"""Each row of what a page assumes says the outing's own value, and no other's."""

from dataclasses import replace

from drawings.boats import about
from keelwatt.files.outing import Outing, Parts, Policy, Water, Wish
from keelwatt.proof import prove
from keelwatt.report.blocks import Table
from keelwatt.report.page.assumptions import assumptions
from keelwatt.words import about as written_about
from oracle.cheap_water import CheapAssessor
from oracle.one_of_each import CATALOG, KIT, with_craft, with_limits


def test_every_row_has_its_own_value() -> None:
    """Every number differs from every other."""
    outing = with_limits(reserve=0.21, voltage_drop=0.04).model_copy(
        update={
            "water": Water(kind="salt", temperature_c=17.0),
            "policy": Policy(
                health=0.88,
                place_temperature_c=31.0,
                fuse_over_ampacity=1.2,
                clearance_m=0.013,
                discharge="occasional",
            ),
            "wish": Wish(by="mass", outings_per_season=19),
            "parts": Parts(own=("fuse", "battery")),
        }
    )
    rows = _rows(outing)
    assert rows["Water"] == "salt, 17 degC"
    assert "4.00 m long, 0.90 m wide" in rows["Hull at the water"]
    assert rows["Drag factor"] == "1.3 times the smooth hull"
    assert rows["Hull, people and gear"] == "110.0 kg"
    assert rows["Reserve kept"] == "21% of what may be used (occasional use)"
    assert rows["Battery's health"] == "88% of its rated capacity"
    assert rows["Drop allowed in the cable"] == "4%"
    assert rows["Where the cable lies"] == "31 degC at the most"
    assert rows["Fuse at the most"] == "120% of what the cable carries"
    assert rows["Room round the batteries"] == "13 mm"
    assert rows["Outings a season"] == "19"
    assert rows["Already owned"] == "fuse, battery"
    assert rows["Best means"] == "lightest kit"
    assert (
        rows["Capacity at this temperature"] == "91% of the rated"
    )  # 63 degF: 1 / 1.098, IEEE 485


def test_a_boat_that_was_towed_says_how_heavy_it_was() -> None:
    towed = with_craft(towed=((1.0, 10.0), (2.0, 40.0)), towed_displacement_kg=125.0)
    rows = _rows(towed)
    assert rows["Drag"] == "as towed, all-up 125.0 kg"
    assert "Drag factor" not in rows


def _rows(outing: Outing) -> dict[str, str]:
    proof = prove(CheapAssessor(outing, CATALOG), KIT)
    advice = replace(about(outing, proof), by=outing.wish.by, catalog=CATALOG)
    with written_about(outing):
        (table,) = (block for block in assumptions(advice) if isinstance(block, Table))
        return {str(name): str(value) for name, value in table.rows}
