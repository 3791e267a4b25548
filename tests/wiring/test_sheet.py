"""The sheet to work from: every piece, every fuse, every test, battery last."""

import re

import pytest

from keelwatt.files.outing import Device
from keelwatt.wiring import Netlist
from keelwatt.wiring.sheet import WiringSheet, label, marked, wiring_sheet
from wiring.kits import KITS, net_of, outing_of, shipped, wired


def sheet_of(name: str) -> WiringSheet:
    return wiring_sheet(net_of(name))


def joined(text: str) -> set[int]:
    """The conductors a sentence tells to join."""
    return {int(n) for n in re.findall(r"\b\d+\b(?! ohm| V| mm|\.\d)", text)}


@pytest.mark.parametrize("name", KITS)
def test_every_piece_is_cut_and_joined(name: str) -> None:
    net, sheet = net_of(name), sheet_of(name)
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
    polarity = {c.number: c.polarity for c in net_of(name).conductors}
    assert {polarity[n] for n in joined(steps[-1][plus:minus])} == {"positive"}
    assert {polarity[n] for n in joined(steps[-1][minus:])} == {"negative"}


WHICH_WAY = {
    "one battery": """
        Main fuse: on battery +, at most 178 mm (7 in) of cable away
        sockets on the battery's side, the half with pins on the motor's
        so that nothing live is bare when it is apart; plus to the contact marked +
        Never pull it with the motor running
        Speed control: battery side in, motor side out; swapped, it is destroyed
        small enough for the charger's thin lead, which the main fuse would not guard
        sockets towards the battery; capped when not in use
        with the motor's connector apart
        nothing connected, the battery's posts covered
        plus and minus of a run to the same length
        Mark both ends of each with its number and with + or -
        Do not solder instead of crimping
        The main fuse stays out of its holder, and every end that goes to a battery open
        in the same way, its fuse out
        clear of water, heat and sharp edges
        fastened at least every 45 cm
        Make tests 1 and 2 below
        The batteries last, every fuse out
        Tools taped, one bare post at a time. Taking apart: minus first
        Before the battery is connected, all fuses out, connector apart
        from end to end: below 1 ohm
        of the battery's half: no reading at all
        of the motor's half, switched off: a reading that climbs is the speed control's
        one that stays below 1 ohm is a short
        Battery connected, fuses still out: red probe on the battery's side of the main fuse, black
        A minus sign: swapped, disconnect and mend
        Main fuse in, connector still apart: the same voltage, the same sign
        Fuse out again, connector together, control at zero, fuse in
        propeller off or clear of everything and everyone, lowest setting
        polarity with the meter at its end first, then its fuse in
        Plus red, minus black or yellow
        """,
    "parallel": """
        Main fuse: on the plus joint, at most 178 mm
        one fuse on each string's plus, at most 178 mm (7 in) from the post
        is fed by the others past the main fuse
        covered, out of reach of each other
        at joints and fuse holders, the fuses out
        Batteries connected, fuses still out: red probe on the battery's side of each string fuse
        black on the minus joint: about 12 V and no minus sign
        else charge each by itself first. Then the string fuses in, one after another
        """,
    "series": """
        nothing protects them, as both ends are battery posts, so keep them short
        (40 in, 1.02 m, is the most), in a sheath from end to end
        every fuse out: the links
        about 24 V and no minus sign
        """,
    "stepped without a control": """
        switched off: no reading, or one that climbs; one that stays below 1 ohm is a short
        lift the battery out and charge it ashore
        """,
}
"""Words of the sheets that do harm the other way round, a sentence's part a line."""


@pytest.mark.parametrize("name", WHICH_WAY)
def test_nothing_is_the_other_way_round(name: str) -> None:
    told = words_of(sheet_of(name))
    for line in WHICH_WAY[name].strip().splitlines():
        assert line.strip() in told


@pytest.mark.parametrize("name", KITS)
def test_the_motors_circuit_is_joined_from_the_motor_back(name: str) -> None:
    (step,) = (step for step in sheet_of(name).steps if step.startswith("From the motor back"))
    numbers = [int(n) for n in re.findall(r"\d+", step)]
    assert numbers == sorted(numbers, reverse=True)


def test_a_link_is_taped_at_its_minus_end() -> None:
    (link,) = net_of("series").links
    assert marked(link) == "red, black tape at the minus end"


def test_a_converter_is_never_passed_by() -> None:
    outing = outing_of("series")
    lamp = Device(name="lamp", power_w=6.0, duration_h=1.0, voltage_v=5.0)
    net = wired(KITS["series"][1], outing.model_copy(update={"devices": (lamp,)}), shipped())
    told = words_of(wiring_sheet(net))
    assert "lamp: end its branch at the converter" in told
    assert "Never join it to the bank itself" in told


@pytest.mark.parametrize("name", KITS)
def test_colours_follow_polarity(name: str) -> None:
    net, sheet = net_of(name), sheet_of(name)
    for conductor in net.conductors:
        assert marked(conductor).startswith("red") == (conductor.polarity != "negative")
        assert ("tape" in marked(conductor)) == (conductor.polarity == "link")
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
    many = outing.model_copy(update={"devices": outing.devices * 3})
    net: Netlist = wired(KITS[name][1], many, shipped())
    told = words_of(wiring_sheet(net))
    assert "5 lugs would meet on battery +" in told
    few = outing.model_copy(update={"devices": outing.devices * 2})
    assert "lugs would meet" not in words_of(wiring_sheet(wired(KITS[name][1], few, shipped())))
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
        net = net_of(name)
        for c in net.conductors:
            assert "device" not in label(net, c.start) + label(net, c.end)
