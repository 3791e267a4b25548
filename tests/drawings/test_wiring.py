"""The wiring diagram: every conductor and item is drawn, and hostile names are text."""

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawings.boats import crowded, cut_off
from drawings.renamed import SCRIPT, renamed
from keelwatt.drawings.svg import Drawing, lines
from keelwatt.drawings.wiring import branches, wiring
from keelwatt.wiring import Netlist
from wiring.kits import KITS, net_of

SVG = "{http://www.w3.org/2000/svg}"


def drawn(net: Netlist) -> list[Drawing]:
    beside = branches(net)
    return [wiring(net), *([beside] if beside else [])]


def texts(drawing: Drawing) -> list[str]:
    root = ElementTree.fromstring(drawing.__html__())
    return [element.text or "" for element in root.iter(f"{SVG}text")]


@pytest.mark.parametrize("name", KITS)
def test_every_conductor_is_drawn_with_its_number_size_and_length(name: str) -> None:
    net = net_of(name)
    seen = [text for drawing in drawn(net) for text in texts(drawing)]
    for conductor in net.conductors:
        assert str(conductor.number) in seen
        assert any(f"{conductor.length_m:.2f} m" in text for text in seen)
    lengths = [text for text in seen if re.search(r"\d\.\d\d m", text)]
    assert len(lengths) == len(net.conductors)


@pytest.mark.parametrize("name", KITS)
def test_every_load_has_its_place_and_every_fuse_its_rating(name: str) -> None:
    net = net_of(name)
    seen = [text for drawing in drawn(net) for text in texts(drawing)]
    for circuit in net.circuits:
        if circuit.load:
            assert any(circuit.told.lower() in text.lower() for text in seen)
    for item in net.items:
        if item.kind == "fuse" and item.name != "main fuse":
            assert f"{item.rating_a:g} A" in seen
    several = len(net.strings) > 1
    assert seen.count("plus joint") == seen.count("minus joint") == several


@pytest.mark.parametrize("name", KITS)
def test_plus_of_the_motors_circuit_is_numbered_left_and_minus_right(name: str) -> None:
    net = net_of(name)
    root = ElementTree.fromstring(wiring(net).__html__())
    at = {e.text: float(e.attrib["x"]) for e in root.iter(f"{SVG}text") if "x" in e.attrib}
    left, right = (
        {at[str(c.number)] for c in net.main if c.polarity == polarity}
        for polarity in ("positive", "negative")
    )
    assert len(left) == len(right) == 1
    assert max(left) < min(right)


@pytest.mark.parametrize(
    ("name", "control"),
    [
        ("stepped without a control", "switch in its head"),
        ("one battery", "its own switch at the highest setting"),
        ("four strings of four", "speed control in its head"),
    ],
)
def test_what_sets_the_motors_speed_is_told(name: str, control: str) -> None:
    (told,) = (text for text in texts(wiring(net_of(name))) if text.startswith("up to "))
    assert told.endswith(f" A; {control}")


@pytest.mark.parametrize("name", KITS)
def test_a_batterys_signs_stand_above_the_wires_plus_on_the_left(name: str) -> None:
    net = net_of(name)
    root = ElementTree.fromstring(wiring(net).__html__())
    rows = {
        float(place.split(",")[1])
        for wire in root.iter(f"{SVG}polyline")
        for place in wire.attrib["points"].split()
    }
    signs = {
        sign: [(float(e.attrib["x"]), float(e.attrib["y"])) for e in root.iter(f"{SVG}text")
               if e.text == sign and e.get("class") == "small"]
        for sign in ("+", "−")
    }  # fmt: skip
    assert len(signs["+"]) == len(signs["−"]) == sum(map(len, net.strings))
    for (plus_x, plus_y), (minus_x, minus_y) in zip(*signs.values(), strict=True):
        assert plus_x < minus_x
        assert plus_y == minus_y
        assert any(0 < row - plus_y < 12 for row in rows)


@pytest.mark.parametrize("name", KITS)
def test_no_text_is_over_another_or_over_the_edge(name: str) -> None:
    for drawing in drawn(net_of(name)):
        assert crowded(drawing) == []
        assert cut_off(drawing) == []


@pytest.mark.parametrize("name", KITS)
def test_it_is_told_to_who_cannot_see_it(name: str) -> None:
    for drawing in drawn(net_of(name)):
        assert drawing.title
        assert "plus runs to" in drawing.described


@pytest.mark.parametrize("name", KITS)
def test_hostile_names_are_text(name: str) -> None:
    net = renamed(net_of(name))
    for drawing in drawn(net):
        markup = str(drawing.__html__())
        assert "<script" not in markup
        assert ElementTree.fromstring(markup) is not None
    assert any(SCRIPT[:9] in text for drawing in drawn(net) for text in texts(drawing))


@given(
    text=st.text(st.characters(codec="utf-8"), max_size=60),
    room=st.floats(1.0, 300.0),
    most=st.integers(1, 4),
)
def test_lines_keep_within_their_number_and_lose_no_sign_without_a_mark(
    text: str, room: float, most: int
) -> None:
    found = lines(text, room=room, size=10.0, most=most)
    assert 1 <= len(found) <= most
    if not found[-1].endswith("…"):
        assert "".join("".join(found).split()) == "".join(text.split())
