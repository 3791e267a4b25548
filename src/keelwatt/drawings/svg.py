"""Drawings as SVG text: escaped, named for who cannot see them, coloured by the page's style."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from unicodedata import east_asian_width

from markupsafe import Markup, escape

Point = tuple[float, float]

EM = 0.60
"""Widest average width of a character, in font sizes, by which room for text is kept. Measured."""


WIDE_SIGNS = frozenset("MWmw@%&…—")


def element(name: str, *children: str, **attributes: str | float | None) -> Markup:
    """One element; text children are escaped, an attribute's ``_`` becomes ``-``, None leaves out.

    >>> print(element("text", "6 < 7", x=1.50, class_="note"))
    <text x="1.5" class="note">6 &lt; 7</text>
    """
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(_plain(value))}"'
        for key, value in attributes.items()
        if value is not None
    )
    inside = Markup("").join(children)
    return Markup(f"<{name}{written}>{inside}</{name}>" if inside else f"<{name}{written}/>")


def group(*children: str, **attributes: str | float | None) -> Markup:
    return element("g", *children, **attributes)


def text(told: str, x: float, y: float, class_: str = "small", anchor: str | None = None) -> Markup:
    """A line of text; ``anchor`` middle or end where ``x`` is not its start."""
    return element("text", told, x=x, y=y, text_anchor=anchor, class_=class_)


def line(start: Point, end: Point, **attributes: str | float | None) -> Markup:
    (x1, y1), (x2, y2) = start, end
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, **attributes)


def circle(x: float, y: float, r: float, **attributes: str | float | None) -> Markup:
    return element("circle", cx=x, cy=y, r=r, **attributes)


def text_width(text: str, size: float) -> float:
    """Room to keep for a line of text, in the drawing's units."""
    return EM * size * len(text)


def shortened(text: str, characters: int) -> str:
    """At most so many characters, an ellipsis for the rest."""
    return text if len(text) <= characters else text[: characters - 1].rstrip() + "…"


def fitted(text: str, room: float, size: float) -> str:
    """The text, or as much of its beginning as there is room for, and an ellipsis."""
    cuts = (shortened(text, length) for length in range(len(text), 1, -1))
    return next((cut for cut in cuts if _room(cut, size) <= room), "…")


def lines(text: str, *, room: float, size: float, most: int) -> list[str]:
    """Text broken at spaces, or where it must be, to fit; an ellipsis for what is left over."""
    found: list[str] = []
    for piece in (piece for word in text.split() for piece in _pieces(word, room, size)):
        if found and _room(f"{found[-1]} {piece}", size) <= room:
            found[-1] += f" {piece}"
        else:
            found.append(piece)
    if len(found) > most:
        last = found[most - 1]
        while last and _room(last + "…", size) > room:
            last = last[:-1]
        return [*found[: most - 1], last.rstrip() + "…"]
    return found or [""]


def _pieces(word: str, room: float, size: float) -> Iterator[str]:
    start = 0
    for end in range(2, len(word) + 1):
        if _room(word[start:end], size) > room and end - 1 > start:
            yield word[start : end - 1]
            start = end - 1
    yield word[start:]


def _room(text: str, size: float) -> float:
    """Room to keep for a text in which every sign may be a wide one."""
    return size * sum(
        1.1 if sign in WIDE_SIGNS or east_asian_width(sign) in "WF" else EM for sign in text
    )


def points(places: Iterable[Point]) -> str:
    """Corners of a line, for ``points=``.

    >>> points([(0, 1), (2.25, 3)])
    '0,1 2.25,3'
    """
    return " ".join(f"{_plain(x)},{_plain(y)}" for x, y in places)


@dataclass(frozen=True)
class Drawing:
    """A picture of ``width`` x ``height`` units; ``name``, unique on a page, prefixes its ids.
    ``title`` names it in few words, ``described`` tells in a sentence or two what it shows."""

    name: str
    title: str
    described: str
    width: float
    height: float
    body: Markup

    def __html__(self) -> Markup:
        return element(
            "svg",
            element("title", self.title, id=f"{self.name}-title"),
            element("desc", self.described, id=f"{self.name}-desc"),
            self.body,
            xmlns="http://www.w3.org/2000/svg",
            viewBox=f"0 0 {_plain(self.width)} {_plain(self.height)}",
            role="img",
            aria_labelledby=f"{self.name}-title",
            aria_describedby=f"{self.name}-desc",
            class_="drawing",
        )


def _plain(value: str | float) -> str:
    return value if isinstance(value, str) else f"{value:.2f}".rstrip("0").rstrip(".")
