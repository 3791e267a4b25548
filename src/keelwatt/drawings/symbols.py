"""Shapes the views of the boat and their keys share, each at a place in units of the drawing."""

from markupsafe import Markup

from keelwatt.drawings.marks import PAPER, Box
from keelwatt.drawings.svg import Point, circle, element, group, line

CENTRE = 12.0
"""Width of the symbols for centres of mass and buoyancy."""


def drawn_as(class_: str) -> dict[str, str]:
    """Attributes of a shape of that class; what is this small wants a fine line."""
    return {"class_": class_} | ({"style": "stroke-width:1.5"} if class_ == "accent" else {})


def centre_of_mass(x: float, y: float) -> Markup:
    """A disc quartered dark and light, as on technical drawings (common practice)."""
    r = CENTRE / 2
    quarters = f"M{x:.2f},{y:.2f}h{r}a{r},{r},0,0,0,-{r},-{r}zm0,0h-{r}a{r},{r},0,0,0,{r},{r}z"
    return circle(x, y, r, **PAPER) + element("path", d=quarters, fill="currentColor")


def centre_of_buoyancy(x: float, y: float) -> Markup:
    """A ring with a point in it, our own."""
    return circle(x, y, CENTRE / 2 - 1, **PAPER) + circle(x, y, 1.6, fill="currentColor")


def dot(x: float, y: float) -> Markup:
    return circle(x, y, 2.2, fill="currentColor")


def water(x: float, y: float) -> Markup:
    """The sign that stands on a water level: a triangle on its point."""
    return element("path", d=f"M{x:.2f},{y:.2f}l-4,-7h8z", class_="line", fill="none")


def stretch(x: float, y: float, *, class_: str, dashes: str | None = None) -> Markup:
    """A short piece of a kind of line, for a key."""
    return stroke((x - 11, y), (x + 11, y), class_, dashes=dashes)


def stroke(start: Point, end: Point, class_: str, *, dashes: str | None = None) -> Markup:
    return line(start, end, stroke_dasharray=dashes, **drawn_as(class_))


def cross(box: Box) -> Markup:
    falling = stroke((box.left, box.top), (box.right, box.bottom), "line")
    return group(falling, stroke((box.left, box.bottom), (box.right, box.top), "line"))


def rectangle(box: Box, class_: str, name: str | None = None, *, round_: bool = False) -> Markup:
    """``name`` is what it is called where somebody points at it; ``round_``: an ellipse, nearly."""
    return box.drawn(
        *([] if name is None else [element("title", name)]),
        rx=box.width / 2 if round_ else None,
        ry=box.height / 2 if round_ else None,
        **drawn_as(class_),
    )


def solid(box: Box, name: str) -> Markup:
    """A part drawn by a sign, not to scale."""
    return box.drawn(**PAPER) + rectangle(box, "accent", name)


def batteries(block: Box, *, right: int, down: int, units: int) -> Markup:
    """A rim round so many equal cells to the right and down, filled in columns from the left."""
    wide, high = block.width / right, block.height / down
    cells = [
        Box(
            block.left + (column + 0.5) * wide,
            block.top + (row + 0.5) * high,
            max(0.5, wide - 2),
            max(0.5, high - 2),
        )
        for column in range(right)
        for row in range(down)
    ]
    filled = [rectangle(cell, "accent-fill") for cell in cells[:units]]
    return group(*filled, rectangle(block, "accent", "bank"))
