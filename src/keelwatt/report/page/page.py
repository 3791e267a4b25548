"""A page as HTML: its blocks set into the template, whatever they say as text."""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from math import ceil

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from keelwatt import __version__
from keelwatt.drawings.svg import Drawing
from keelwatt.explain.advise import Advice
from keelwatt.report.blocks import Block, Heading, Items, Pictures, Plot, Say, Table, unfolded
from keelwatt.report.catalog_screens import invented

LINE = 90
"""Characters on a printed line, about."""

UNITS = 18.0
"""Units of a drawing as high as a printed line."""

PAGE_LINES = 8
"""A section with more lines than this may break between two sheets of paper."""


@dataclass(frozen=True)
class Figure:
    """One number of the answer: what it is, how much, and a word beside it."""

    name: str
    amount: str
    beside: str = ""


@dataclass(frozen=True)
class Section:
    """A heading and what belongs under it; stays on one sheet of paper unless it is long."""

    title: str
    parts: list[Block] = field(default_factory=list)

    @property
    def drawn(self) -> bool:
        return any(isinstance(part, Pictures) for part in self.parts)

    @property
    def long(self) -> bool:
        return sum(map(_lines, self.parts)) > PAGE_LINES


@dataclass(frozen=True)
class Page:
    """The answer first (``lead`` and ``figures``), then the sections."""

    title: str
    kind: str
    lead: list[Block]
    figures: tuple[Figure, ...]
    sections: tuple[Section, ...]

    @classmethod
    def of(
        cls,
        advice: Advice,
        kind: str,
        blocks: Iterable[Block],
        *,
        figures: Iterable[Figure] = (),
        drawing: Drawing | None = None,
    ) -> "Page":
        """Blocks up to the first heading are the lead; ``drawing`` stands for a plot of text, and
        its section comes first."""
        lead, *sections = _sections(blocks, drawing)
        if drawing:
            sections.sort(key=lambda section: not section.drawn)
        return cls(advice.outing.title, kind, lead.parts, tuple(figures), tuple(sections))


def _lines(block: Block) -> int:
    """Printed lines it takes, about; a drawing in a cell takes none."""
    match block:
        case Table():
            wide = (
                sum(3 + (not isinstance(c, Markup)) * len(c) for c in row) for row in block.rows
            )
            return 1 + sum(ceil(characters / LINE) for characters in wide)
        case Pictures():
            return max(ceil(drawing.height / UNITS) for drawing, _ in block.drawings) + 2
        case Items():
            return sum(ceil(len(text) / LINE) for text in block.texts)
        case Say():
            return ceil(len(block.text) / LINE)
    return 0


def _sections(blocks: Iterable[Block], drawing: Drawing | None) -> list[Section]:
    sections = [Section("")]
    for block in unfolded(blocks, full=True):
        if isinstance(block, Heading):
            sections.append(Section(block.text))
        elif not isinstance(block, Plot):
            sections[-1].parts.append(block)
        elif drawing:
            sections[-1].parts.append(Pictures(((drawing, ""),)))
    return sections


def html(page: Page, advice: Advice, made: datetime) -> str:
    """The whole file; ``advice`` gives the catalog, the solver and the names to keep apart."""
    names = _right_to_left(advice)

    def told(text: str) -> Markup:
        """Text escaped, names written from right to left kept apart from what is round them."""
        if not names or isinstance(text, Markup) or text.isascii():
            return escape(text)
        pieces = names.split(text)
        return Markup("").join(
            Markup("<bdi>{}</bdi>").format(piece) if odd % 2 else escape(piece)
            for odd, piece in enumerate(pieces)
        )

    template = _environment().get_template("page.html.jinja")
    return template.render(
        page=page,
        told=told,
        advice=advice,
        invented=invented(advice.catalog),
        version=__version__,
        made=made,
        made_text=f"{made.day} {made:%B %Y, %H:%M}",
    )


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("keelwatt.report.page"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )


def _right_to_left(advice: Advice) -> re.Pattern[str] | None:
    """Finds the names of outing and catalog that hold letters written from right to left."""
    outing, craft = advice.outing, advice.outing.craft
    every = [outing.title, outing.currency]
    every += (load.name for load in outing.aboard)
    every += (box.name for box in craft.compartments)
    every += (mount.name for mount in craft.mounts)
    every += (leg.name for leg in outing.legs)
    every += (device.name for device in outing.devices)
    every += (part.name for shelf in advice.catalog.shelves().values() for part in shelf)
    names = sorted({name for name in every if _is_right_to_left(name)}, key=len, reverse=True)
    return re.compile(f"({'|'.join(map(re.escape, names))})") if names else None


def _is_right_to_left(name: str) -> bool:
    return not name.isascii() and any(unicodedata.bidirectional(c) in {"R", "AL"} for c in name)
