"""The wiring diagram: every conductor and item is drawn, and hostile names are text."""

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

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
