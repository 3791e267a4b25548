"""A pen that draws downwards, and text broken to the room there is."""

from collections.abc import Iterator
from unicodedata import east_asian_width

from markupsafe import Markup

from keelwatt.drawings import electric, svg
from keelwatt.wiring import Conductor

LINE = 13.0
BELOW = 25.0
"""From a level wire to the text under it."""

SMALL = 10.0
WIDE_SIGNS = frozenset("MWmw@%…—")


class Pen:
    """Draws downwards; ``y`` is how far it has come. Wires lie below shapes and text."""

    def __init__(self) -> None:
        self.y = 0.0
        self.wires: list[Markup] = []
        self.shapes: list[Markup] = []

    def text(
        self, x: float, y: float, text: str, class_: str = "small", anchor: str = "start"
    ) -> None:
        self.shapes.append(svg.text(text, x, y, class_, anchor))

    def paragraph(
        self, x: float, text: str, *, room: float, most: int, anchor: str = "start"
    ) -> None:
        """Lines of small text, the pen moving below them."""
        for line in lines(text, room=room, size=SMALL, most=most):
            self.y += LINE
            self.text(x, self.y, line, anchor=anchor)

    def level(self, conductor: Conductor, x: float, y: float) -> None:
        """Number, size and length of a level conductor."""
        self.shapes.append(electric.number(x, y, conductor.number))
        self.text(x, y + BELOW, size_of(conductor, 46), anchor="middle")
        self.text(x, y + BELOW + LINE, f"{conductor.length_m:.2f} m", anchor="middle")


def size_of(conductor: Conductor, room: float) -> str:
    return lines(conductor.wire.size, room=room, size=SMALL, most=1)[0]


def lines(text: str, *, room: float, size: float, most: int) -> list[str]:
    """Text broken at spaces, or where it must be, to fit; an ellipsis for what is left over."""
    found: list[str] = []
    for piece in (piece for word in text.split() for piece in _pieces(word, room, size)):
        if found and _wide(f"{found[-1]} {piece}", size) <= room:
            found[-1] += f" {piece}"
        else:
            found.append(piece)
    if len(found) > most:
        last = found[most - 1]
        while last and _wide(last + "…", size) > room:
            last = last[:-1]
        return [*found[: most - 1], last.rstrip() + "…"]
    return found or [""]


def _pieces(word: str, room: float, size: float) -> Iterator[str]:
    start = 0
    for end in range(2, len(word) + 1):
        if _wide(word[start:end], size) > room and end - 1 > start:
            yield word[start : end - 1]
            start = end - 1
    yield word[start:]


def _wide(text: str, size: float) -> float:
    """Room to keep for a text in which every sign may be a wide one."""
    return size * sum(
        1.1 if sign in WIDE_SIGNS or east_asian_width(sign) in "WF" else svg.EM for sign in text
    )
