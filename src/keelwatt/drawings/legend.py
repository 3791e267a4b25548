"""The key below a drawing: a symbol, what it stands for, and a number or a word, row by row."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from unicodedata import east_asian_width

from markupsafe import Markup

from keelwatt.drawings.marks import Box, Mark, Placed
from keelwatt.drawings.svg import EM, element, group, shortened, text_width

Symbol = Callable[[float, float], Markup]

ROW = 18.0
SIZE = 12.0
WIDE = "MWmw@%&"
SYMBOL_X, WORDS_X, EDGE = 16.0, 34.0, 6.0


@dataclass(frozen=True)
class Row:
    symbol: Symbol
    name: str
    told: str


def sign_of(sign: str, *, outside: bool) -> Symbol:
    """The symbol that is a mark of the drawing."""

    def symbol(x: float, y: float) -> Markup:
        mark = Mark(sign, Box(x, y), outside)
        return Placed(mark, Box(x, y, mark.width, 16.0)).sign()

    return symbol


def legend(rows: Iterable[Row], *, top: float, width: float) -> tuple[Markup, float]:
    """The rows below ``top``, and where they end."""
    shapes: list[Markup] = []
    for row in rows:
        middle = top + ROW / 2
        room = width - EDGE - text_width(row.told + "  ", SIZE) - WORDS_X
        shapes += [
            row.symbol(SYMBOL_X, middle),
            _text(fitted(row.name, room), WORDS_X, middle, "start"),
            _text(row.told, width - EDGE, middle, "end"),
        ]
        top += ROW
    return group(shapes), top


def fitted(text: str, room: float) -> str:
    """The text, cut where it would be wider than the room, whole ems kept for the widest signs."""
    for length in range(len(text), 1, -1):
        cut = shortened(text, length)
        wide = sum(sign in WIDE or east_asian_width(sign) in "WF" for sign in cut)
        if text_width(cut, SIZE) + wide * (1 - EM) * SIZE <= room:
            return cut
    return "…"


def _text(text: str, x: float, middle: float, anchor: str) -> Markup:
    return element("text", text, x=x, y=middle + 4, text_anchor=anchor, class_="note")
