"""The key below a drawing: a symbol, what it stands for, and a number or a word, row by row."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from markupsafe import Markup

from keelwatt.drawings.lettering import fitted
from keelwatt.drawings.marks import Box, Mark, Placed
from keelwatt.drawings.svg import group, text, text_width

Symbol = Callable[[float, float], Markup]

ROW = 18.0
SIZE = 12.0
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
            text(fitted(row.name, room, SIZE), WORDS_X, middle + 4, "note", "start"),
            text(row.told, width - EDGE, middle + 4, "note", "end"),
        ]
        top += ROW
    return group(shapes), top
