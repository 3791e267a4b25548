"""Kits aboard example craft and random ones, ready to be drawn; and drawings read back."""

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.search import Search
from keelwatt.drawings.svg import Drawing, text_width
from keelwatt.explain.advise import Advice
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Compartment, Craft, Load, Mount, Outing, Place, read_outing
from keelwatt.proof import Proof, prove
from oracle.cheap_water import CheapAssessor
from remembered import decide

EXAMPLES = Path(__file__).parents[2] / "examples"
POSSIBLE = ("reservoir-sampling", "bird-count-canoe", "harbour-dinghy")
SIZES = {"note": 12.0, "label": 12.0, "small": 10.0}
TITLE, TEXT = "{http://www.w3.org/2000/svg}title", "{http://www.w3.org/2000/svg}text"


@cache
def shipped() -> Catalog:
    return read_catalog(shipped_catalog())


@cache
def advised(name: str) -> Advice:
    return decide(read_outing(EXAMPLES / name / "outing.toml"), shipped())


def with_kit(outing: Outing, kit: Kit) -> Advice:
    """Advice that holds this very kit, whatever limits it breaks."""
    proof = prove(CheapAssessor(outing, shipped()), kit)
    return about(outing, proof)


def about(outing: Outing, proof: Proof | None) -> Advice:
    """The first example's advice, told of another outing."""
    advice = advised(POSSIBLE[0])
    search = Search(LoadCase(outing), advice.catalog)
    return replace(advice, outing=outing, search=search, proof=proof)


@dataclass(frozen=True)
class Text:
    """A line of text as the drawing keeps room for it."""

    words: str
    left: float
    right: float
    top: float
    bottom: float

    def overlaps(self, other: "Text") -> bool:
        apart = self.right <= other.left or other.right <= self.left
        return not apart and self.top < other.bottom and other.top < self.bottom


def parsed(drawing: Drawing) -> ET.Element:
    return ET.fromstring(str(drawing.__html__()))


def texts(drawing: Drawing) -> list[Text]:
    found = []
    for node, down in _walk(parsed(drawing), 0.0):
        if node.tag == TEXT:
            words, size = node.text or "", SIZES[node.attrib["class"]]
            wide = text_width(words, size)
            share = {"start": 0.0, "middle": 0.5, "end": 1.0}[node.get("text-anchor", "start")]
            left = float(node.attrib["x"]) - share * wide
            base = float(node.attrib["y"]) + down
            found.append(Text(words, left, left + wide, base - 0.8 * size, base + 0.22 * size))
    return found


def crowded(drawing: Drawing) -> list[tuple[Text, Text]]:
    """Texts that overlap."""
    return [(a, b) for a, b in combinations(texts(drawing), 2) if a.overlaps(b)]


def cut_off(drawing: Drawing) -> list[Text]:
    """Texts that reach over the edge."""
    return [
        text
        for text in texts(drawing)
        if text.left < 0
        or text.top < 0
        or text.right > drawing.width
        or text.bottom > drawing.height
    ]


def named(drawing: Drawing, name: str) -> list[tuple[float, float, float, float]]:
    """Middle, width and height of every shape called so, in the order drawn."""
    found = []
    for node, down in _walk(parsed(drawing), 0.0):
        title = node.find(TITLE)
        if title is not None and title.text == name and "x" in node.attrib:
            x, y, width, height = (float(node.attrib[k]) for k in ("x", "y", "width", "height"))
            found.append((x + width / 2, y + height / 2 + down, width, height))
    return found


def rings(drawing: Drawing, radius: float) -> list[tuple[float, float]]:
    """Middles of the circles of a radius."""
    return [
        (float(node.attrib["cx"]), float(node.attrib["cy"]) + down)
        for node, down in _walk(parsed(drawing), 0.0)
        if node.tag.endswith("circle") and float(node.attrib["r"]) == radius
    ]


def _walk(node: ET.Element, down: float) -> Iterator[tuple[ET.Element, float]]:
    """A boat is turned as a whole, so what is in it keeps its measures; no text is turned."""
    moved = node.get("transform", "")
    if moved.startswith("translate(0 "):
        down += float(moved.removeprefix("translate(0 ").removesuffix(")"))
    yield node, down
    for child in node:
        yield from _walk(child, down)


_KIT = Kit("", 1, 1, "", "", "", None, "", 1.0, "", "", None)
_NAMES = st.text(
    st.characters(exclude_categories=("C", "Z"), exclude_characters="/"), min_size=1, max_size=60
)


@st.composite
def laden(draw: st.DrawFn) -> tuple[Outing, Kit]:
    """Any craft, and any bank and motor anywhere in it."""
    metres = st.floats(-3, 3)
    few = st.integers(1, 4)
    base = advised(POSSIBLE[0]).outing

    def place() -> dict[str, Any]:
        return {
            "x_m": draw(metres),
            "y_m": draw(st.floats(-0.6, 0.6)),
            "z_m": draw(st.floats(0, 1)),
        }

    side = st.floats(0.05, 1.5)
    length_m = draw(st.floats(1.2, 12))
    compartments = tuple(
        Compartment(
            name=f"{number} {draw(_NAMES)}",
            length_m=draw(side),
            width_m=draw(side),
            height_m=draw(st.floats(0.05, 0.6)),
            **place(),
        )
        for number in range(draw(few))
    )
    mounts = tuple(
        Mount(
            name=f"{number} {draw(_NAMES)}",
            shaft_needed_m=draw(st.none() | st.floats(0.1, 2)),
            **place(),
        )
        for number in range(draw(few))
    )
    together = place() if draw(st.booleans()) else None
    aboard = tuple(
        Load(
            name=f"{number} {draw(_NAMES)}",
            mass_kg=draw(st.floats(0, 120)),
            **(together or place()),
        )
        for number in range(draw(st.integers(0, 20)))
    )
    craft: Craft = base.craft.model_copy(
        update={
            "fineness": draw(st.integers(2, 8)),
            "fullness": draw(st.integers(2, 10)),
            "waterline_length_m": length_m,
            "waterline_beam_m": draw(st.floats(0.3, 2)),
            "controller_at": Place(**place()) if draw(st.booleans()) else None,
            "compartments": compartments,
            "mounts": mounts,
            "cable_run_m": {},
            "depth_m": draw(st.none() | st.floats(0.02, 1.0)),
        }
    )
    outing = base.model_copy(update={"craft": craft, "aboard": aboard})
    catalog = shipped()
    kit = replace(
        _KIT,
        battery=draw(st.sampled_from(catalog.batteries)).id,
        series=draw(few),
        parallel=draw(few),
        compartment=draw(st.sampled_from(compartments)).name,
        motor=draw(st.sampled_from(catalog.motors)).id,
        mount=draw(st.sampled_from(mounts)).name,
        controller=draw(st.none() | st.sampled_from([part.id for part in catalog.controllers])),
        cable=draw(st.sampled_from(catalog.cables)).id,
        run_m=draw(st.floats(0.1, 9)),
        fuse=catalog.fuses[0].id,
        connector=catalog.connectors[0].id,
    )
    return outing, kit
