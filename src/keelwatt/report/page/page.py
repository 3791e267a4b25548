"""A page as HTML: its blocks set into the template, whatever they say as text."""

import re
import unicodedata
from dataclasses import dataclass
from datetime import datetime
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from keelwatt import __version__
from keelwatt.explain.advise import Advice
from keelwatt.report.page.paper import Block, Part


@dataclass(frozen=True)
class Figure:
    """One number of the answer: what it is, how much, and a word beside it."""

    name: str
    amount: str
    beside: str = ""


@dataclass(frozen=True)
class Page:
    """The answer first (``lead`` and ``figures``), then the blocks."""

    title: str
    kind: str
    lead: tuple[Part, ...]
    figures: tuple[Figure, ...]
    blocks: tuple[Block, ...]


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
    every += (part.name for shelf in advice.catalog.kinds().values() for part in shelf)
    names = sorted({name for name in every if _is_right_to_left(name)}, key=len, reverse=True)
    return re.compile(f"({'|'.join(map(re.escape, names))})") if names else None


def _is_right_to_left(name: str) -> bool:
    return not name.isascii() and any(unicodedata.bidirectional(c) in {"R", "AL"} for c in name)
