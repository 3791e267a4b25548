"""Strap or box: what is on offer for one battery, by hand."""

from dataclasses import replace
from typing import Any

import pytest

from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.best import choose
from keelwatt.choose.search import Search
from keelwatt.errors import InputError
from keelwatt.explain.advise import check_parts
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Box, Outing, Parts
from keelwatt.kits import Types
from keelwatt.kits.left_out import left_out
from keelwatt.proof import Assessor
from oracle.one_of_each import BOX, CATALOG, KIT, OUTING, with_craft, with_limits, with_policy

STRAP = CATALOG.fittings[-2].model_copy(update={"price_cents": 1000, "mass_kg": 0.3})
COVER = CATALOG.fittings[-1].model_copy(update={"price_cents": 100, "mass_kg": 0.05})
STRAPPED = replace(CATALOG, fittings=(*CATALOG.fittings[:-2], STRAP, COVER))
"""A battery's strap with two covers costs 12.00 and weighs 400 g."""


def boxed(*changes: dict[str, Any]) -> Catalog:
    """With one box for each of the changes."""
    boxes = (BOX.model_copy(update={"id": f"box-{n}"} | each) for n, each in enumerate(changes))
    return replace(STRAPPED, boxes=tuple(boxes))


def best(catalog: Catalog, outing: Outing = OUTING, by: Any = "cost") -> Kit | None:
    return choose(Search(LoadCase(outing), catalog), by).kit


def box_of(catalog: Catalog, outing: Outing = OUTING, by: Any = "cost") -> str | None:
    kit = best(catalog, outing, by)
    assert kit
    assert Assessor(outing, catalog).assess(kit).holds
    return kit.box


def wishing(**parts: Any) -> Outing:
    return OUTING.model_copy(update={"parts": Parts(**parts)})


CHEAP, LIGHT = {"price_cents": 1199, "mass_kg": 1.0}, {"price_cents": 9000, "mass_kg": 0.399}
DEAR = {"price_cents": 1201, "mass_kg": 0.401}


def test_the_cheaper_and_the_lighter_way_each_have_their_day() -> None:
    both = boxed(CHEAP, LIGHT, DEAR)
    assert box_of(both) == "box-0"
    assert box_of(both, by="mass") == "box-1"
    assert box_of(boxed(DEAR)) is None
    assert box_of(boxed({"price_cents": 1200, "mass_kg": 0.4})) is None


def test_nobody_buys_a_box_as_ballast() -> None:
    types = Types(LoadCase(OUTING), boxed(CHEAP, {"price_cents": 1199, "mass_kg": 1.1}, DEAR))
    assert [types.holding.boxes[way].id for way in types.bank_types[1:, 3]] == ["box-0"]


def test_the_bill_holds_the_one_or_the_other() -> None:
    catalog = boxed(CHEAP)
    assessor = Assessor(OUTING, catalog)
    box, strap = (assessor.assess(replace(KIT, box=id_)) for id_ in ("box-0", None))
    assert box.bill
    assert strap.bill
    assert [(it.what, it.needed) for it in box.bill.lines if it.what == "box"] == [("box", 1)]
    held = [(it.what, it.needed) for it in strap.bill.lines if it.what in STRAPS]
    assert held == [("hold-down", 1), ("terminal cover", 2)]
    assert strap.totals.price_cents - box.totals.price_cents == 1
    assert box.totals.mass_g - strap.totals.mass_g == 600
    assert (box.totals.held_g, strap.totals.held_g) == (1000, 400)


STRAPS = ("hold-down", "terminal cover")


def test_always_and_never() -> None:
    dear = boxed(DEAR)
    always, never = with_policy(battery_box="always"), with_policy(battery_box="never")
    assert box_of(dear, always) == "box-0"
    assert box_of(boxed(CHEAP), never) is None
    for outing, kit in ((always, KIT), (never, replace(KIT, box="box-0"))):
        broken = Assessor(outing, dear).assess(kit).broken
        assert [limit.name for limit in broken] == ["parts"]


def test_a_box_takes_the_room_and_the_load_of_its_outside() -> None:
    (stern,) = OUTING.craft.compartments
    for update, has_box in (
        ({"length_m": 0.375, "width_m": 0.375}, False),
        ({"length_m": 0.377, "width_m": 0.375}, True),
        ({"height_m": 0.270}, False),
        ({"opening_length_m": 0.21, "opening_width_m": 0.24}, False),
        ({"opening_length_m": 0.22, "opening_width_m": 0.26}, True),
        ({"max_load_kg": 20.9}, False),
        ({"max_load_kg": 21.0}, True),
    ):
        outing = with_craft(compartments=(stern.model_copy(update=update),))
        assert box_of(boxed(CHEAP), outing) == ("box-0" if has_box else None), update


@pytest.mark.parametrize("side", ["inner_length_m", "inner_width_m", "inner_height_m"])
def test_a_battery_stands_in_its_box(side: str) -> None:
    """0.30 x 0.17 x 0.20 m."""
    small = boxed(CHEAP | {side: 0.16})
    assert box_of(small) is None
    assessed = Assessor(OUTING, small).assess(replace(KIT, box="box-0"))
    assert [limit.name for limit in assessed.broken] == ["compartment"]
    nothing = Types(LoadCase(with_policy(battery_box="always")), small, every_control=True)
    assert len(nothing.bank_types) == 0
    assert [e.where[:15] for e in left_out(nothing) if e.rule == "compartment"] == [
        "no box takes it"
    ]


def test_a_box_is_lifted_apart_from_its_battery() -> None:
    outing = with_limits(lift_kg=20.5)
    assert box_of(boxed(CHEAP), outing) == "box-0"
    assert box_of(boxed(CHEAP | {"mass_kg": 20.6}), outing) is None


def test_owned_refused_and_required_boxes() -> None:
    dear = boxed(DEAR)
    assert box_of(dear, wishing(own=("box-0",))) == "box-0"
    assert box_of(boxed(CHEAP), wishing(refuse=("box-0",))) is None
    assert box_of(dear, wishing(require=("box-0",))) == "box-0"
    unwanted = wishing(require=("box-0",)).model_copy(
        update={"policy": with_policy(battery_box="never").policy}
    )
    with pytest.raises(InputError) as raised:
        check_parts(unwanted, dear)
    assert [problem.value for problem in raised.value.problems] == ["box-0"]
    assert "battery_box" in raised.value.problems[0].what


def test_a_control_in_a_closed_box_has_it_bought() -> None:
    """The cheapest that is no smaller any way."""
    named = with_craft(control_box=Box(length_m=0.2, width_m=0.15, height_m=0.08))
    case = {"holds": "control", "outer_length_m": 0.21, "outer_width_m": 0.16}
    small, fits = case | {"outer_height_m": 0.079}, case | {"outer_height_m": 0.081}
    catalog = boxed(small | {"price_cents": 100}, fits | {"price_cents": 900}, fits)
    controlled = replace(KIT, controller="controller")

    def lines(outing: Outing, kit: Kit) -> list[tuple[str | None, int | None]]:
        bill = Assessor(outing, catalog).assess(kit).bill
        assert bill
        return [(line.part, line.price_cents) for line in bill.lines if line.what == "box"]

    assert lines(named, controlled) == [("box-1", 900)]
    assert lines(named, KIT) == lines(OUTING, controlled) == []
    wanted = named.model_copy(update={"parts": Parts(require=("controller",))})
    found = choose(Search(LoadCase(wanted), catalog), "cost")
    assert found.kit
    assert found.measures
    assert found.measures["cost"] == Assessor(wanted, catalog).totals(found.kit).price_cents
    with_box, without = (Assessor(named, catalog).totals(each) for each in (controlled, KIT))
    assert with_box.price_cents - without.price_cents == 5000 + 900
    assert with_box.mass_g - without.mass_g == 500 + 1000
