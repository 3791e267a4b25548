"""Small numbered marks that keep clear of one another, each led back to what it marks."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil, cos, hypot, pi, sin
from typing import Self

from markupsafe import Markup

from keelwatt.drawings.svg import element, group, line, text, text_width

SIZE = 10
RADIUS = 8.0
GAP = 1.5
PAPER = {"class_": "paper-fill", "fill": "Canvas", "stroke": "currentColor"}
"""Attributes of a shape that hides what lies below it."""

STEP = 6.0
"""How much farther each ring of places tried for a mark lies from what it marks."""


@dataclass(frozen=True)
class Box:
    """A rectangle by its middle and size, in units of the drawing."""

    x: float
    y: float
    width: float = 0.0
    height: float = 0.0

    @property
    def left(self) -> float:
        return self.x - self.width / 2

    @property
    def top(self) -> float:
        return self.y - self.height / 2

    @property
    def right(self) -> float:
        return self.x + self.width / 2

    @property
    def bottom(self) -> float:
        return self.y + self.height / 2

    @classmethod
    def over(cls, left: float, top: float, width: float, height: float) -> Self:
        return cls(left + width / 2, top + height / 2, width, height)

    def drawn(self, *children: str, **attributes: str | float | None) -> Markup:
        size = {"x": self.left, "y": self.top, "width": self.width, "height": self.height}
        return element("rect", *children, **size, **attributes)

    def clears(self, other: "Box", gap: float = 0.0) -> bool:
        across = abs(self.x - other.x) - (self.width + other.width) / 2
        along = abs(self.y - other.y) - (self.height + other.height) / 2
        return max(across, along) >= gap

    def nearest(self, x: float, y: float) -> tuple[float, float]:
        return min(max(x, self.left), self.right), min(max(y, self.top), self.bottom)


@dataclass(frozen=True)
class Mark:
    """A few signs for a thing; ``outside``: beside the thing rather than on it."""

    sign: str
    thing: Box
    outside: bool = False

    @property
    def width(self) -> float:
        return max(2 * RADIUS, text_width(self.sign, SIZE) + 5)


@dataclass(frozen=True)
class Placed:
    mark: Mark
    box: Box

    def leader(self) -> Markup:
        """A line from the mark to its thing, where the two lie apart."""
        x, y = self.mark.thing.nearest(self.box.x, self.box.y)
        if hypot(*(a - b for a, b in zip(self.box.nearest(x, y), (x, y), strict=True))) < GAP + 0.5:
            return Markup()
        return line((self.box.x, self.box.y), (x, y), class_="axis")

    def sign(self) -> Markup:
        """Round on the thing itself, square beside it."""
        rim = self.box.drawn(rx=2 if self.mark.outside else RADIUS, **PAPER)
        return rim + text(self.mark.sign, self.box.x, self.box.y + 3.6, anchor="middle")


def place(marks: Iterable[Mark], *, width: float, taken: Iterable[Box]) -> tuple[Placed, ...]:
    """Each mark as near to its thing as those before it and what is ``taken`` allow.
    None comes nearer than ``GAP`` to the left and right edges of a drawing of that width; up and
    down there is no end of room."""
    filled = list(taken)
    found: list[Placed] = []
    for mark in marks:
        box = next(
            box
            for box in _tries(mark)
            if box.left >= GAP
            and box.right <= width - GAP
            and all(box.clears(other, GAP) for other in filled)
        )
        filled.append(box)
        found.append(Placed(mark, box))
    return tuple(found)


def _tries(mark: Mark) -> Iterator[Box]:
    """On the thing, or above, below and beside it; then rings ever farther out."""
    thing, high = mark.thing, 2 * RADIUS
    sides: tuple[tuple[float, float], ...] = ((0.0, 0.0),)
    if mark.outside:
        up, over = (thing.height + high) / 2 + GAP, (thing.width + mark.width) / 2 + GAP
        sides = ((0.0, -up), (0.0, up), (-over, 0.0), (over, 0.0))
    for x, y in sides:
        yield Box(thing.x + x, thing.y + y, mark.width, high)
    reach = 0.0
    while True:
        reach += STEP
        turns = ceil(2 * pi * reach / STEP)
        for turn in range(turns):
            angle = 2 * pi * turn / turns - pi / 2
            x, y = thing.x + reach * cos(angle), thing.y + reach * sin(angle)
            yield Box(x, y, mark.width, high)


def drawn(placed: Iterable[Placed]) -> Markup:
    """All leaders below all marks."""
    placed = tuple(placed)
    return group(*(each.leader() for each in placed), *(each.sign() for each in placed))
