"""A pen that draws downwards."""

from markupsafe import Markup

from keelwatt.drawings import electric, svg
from keelwatt.drawings.svg import lines
from keelwatt.units import shown
from keelwatt.wiring import Conductor

LINE = 13.0
BELOW = 25.0
"""From a level wire to the text under it."""

SMALL = 10.0
"""Font size of the class of that name."""


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

    def wire(self, polarity: str, *places: svg.Point) -> None:
        self.wires.append(electric.wire(polarity, *places))

    def paragraph(
        self, x: float, text: str, *, room: float, most: int, anchor: str = "start"
    ) -> None:
        """Lines of small text, the pen moving below them."""
        for line in lines(text, room=room, size=SMALL, most=most):
            self.y += LINE
            self.text(x, self.y, line, anchor=anchor)

    def level(self, conductor: Conductor, x: float, y: float) -> None:
        self.shapes.append(electric.number(x, y, conductor.number))
        self.text(x, y + BELOW, size_of(conductor, 46), anchor="middle")
        self.text(x, y + BELOW + LINE, shown.run(conductor.length_m), anchor="middle")


def size_of(conductor: Conductor, room: float) -> str:
    return lines(conductor.wire.size, room=room, size=SMALL, most=1)[0]
