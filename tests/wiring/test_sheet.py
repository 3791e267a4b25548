"""The sheet to work from: every piece, every fuse, every test, battery last."""

import re

import pytest

from keelwatt.wiring import Netlist
from keelwatt.wiring.sheet import WiringSheet, wiring_sheet
from wiring.kits import KITS, net_of, outing_of, shipped, wired


def sheet_of(name: str) -> WiringSheet:
    return wiring_sheet(net_of(name))


def joined(text: str) -> set[int]:
    """The conductors a sentence tells to join."""
    return {int(n) for n in re.findall(r"\b\d+\b(?! ohm| V| mm|\.\d)", text)}


@pytest.mark.parametrize("name", KITS)
def test_every_piece_is_cut_and_joined(name: str) -> None:
    net, sheet = net_of(name), sheet_of(name)
    assert [p.number for p in sheet.pieces] == [c.number for c in net.conductors]
    named = set().union(*(joined(step) for step in sheet.steps if "join" in step.lower()))
    last = joined(sheet.steps[-1])
    links = {c.number for c in net.conductors if c.polarity == "link"}
    assert named | links >= {c.number for c in net.conductors}
    at_batteries = {c.number for c in net.conductors if net.item(c.start.item).kind == "battery"}
    assert last == at_batteries


@pytest.mark.parametrize("name", KITS)
def test_the_battery_comes_last_and_after_the_first_tests(name: str) -> None:
    steps = sheet_of(name).steps
    assert steps[-1].startswith("The batter")
    assert "tests 1 and 2" in steps[-2]
    plus, minus = steps[-1].index("plus ends"), steps[-1].index("minus ends")
    assert plus < minus


@pytest.mark.parametrize("name", KITS)
def test_colours_follow_polarity(name: str) -> None:
    net, sheet = net_of(name), sheet_of(name)
    for conductor, piece in zip(net.conductors, sheet.pieces, strict=True):
        assert piece.colour.startswith("red") == (conductor.polarity != "negative")
        assert ("tape" in piece.colour) == (conductor.polarity == "link")
    assert any("from memory" in note for note in sheet.notes)


def words_of(sheet: WiringSheet) -> str:
    return "\n".join((*sheet.places, *sheet.steps, *sheet.tests, *sheet.notes, *sheet.ends))


def test_what_a_kit_lacks_is_not_spoken_of() -> None:
    plain = words_of(sheet_of("stepped without a control"))
    assert "Speed control" not in plain
    assert "capacitors" not in plain
    assert "string" not in plain.replace("Lay a string", "")
    assert "Links" not in plain
    assert "no charging inlet" in plain
    assert "No charger" not in words_of(sheet_of("one battery"))


def test_strings_in_parallel_get_fuses_and_equal_voltages_first() -> None:
    told = words_of(sheet_of("parallel"))
    assert "one fuse on each string's plus" in told
    assert "within 0.1 V" in told
    assert "33 CFR 183.455" in words_of(sheet_of("series"))


def test_many_devices_on_one_post_are_warned_of() -> None:
    name = "one battery"
    outing = outing_of(name)
    many = outing.model_copy(update={"devices": outing.devices * 4})
    net: Netlist = wired(KITS[name][1], many, shipped())
    told = words_of(wiring_sheet(net))
    assert "6 lugs would meet on battery +" in told
    assert "lugs would meet" not in words_of(sheet_of(name))
    assert "lugs would meet" not in words_of(sheet_of("parallel"))


def test_a_kit_at_its_drop_hears_of_the_leads_to_its_batteries() -> None:
    name = "parallel"
    outing = outing_of(name)
    net = net_of(name)
    for leads, tight in ((0.5, True), (1.5, False)):
        share = (net.drop_v("motor") + leads * net.bank_drop_v) / net.system_v
        limits = outing.limits.model_copy(update={"voltage_drop": share})
        asked = wired(KITS[name][1], outing.model_copy(update={"limits": limits}), shipped())
        assert ("counted from the bank" in words_of(wiring_sheet(asked))) is tight
        assert wiring_sheet(asked).faults == ()


def test_no_step_names_a_thing_twice_or_an_inner_name() -> None:
    for name in KITS:
        sheet = sheet_of(name)
        assert "device 1" not in words_of(sheet)
        for piece in sheet.pieces:
            assert "device" not in piece.start + piece.end
