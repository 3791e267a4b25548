"""Symbols of electrical diagrams, drawn by us after IEC 60617 (from memory)."""

from markupsafe import Markup

from keelwatt.drawings.marks import PAPER, Box
from keelwatt.drawings.svg import Point, circle, element, group, line, points, text

FUSE_LONG, FUSE_WIDE = 34.0, 14.0
CELL_WIDE = 15.0
MOTOR_RADIUS = 24.0


def wire(polarity: str, *places: Point) -> Markup:
    """A conductor along its corners; a link between batteries is drawn as plus."""
    class_ = "negative" if polarity == "negative" else "positive"
    return element("polyline", points=points(places), class_=class_)


def battery(x: float, y: float) -> Markup:
    """Two cells along a wire, plus to the left: the long plate is plus."""
    left = x - CELL_WIDE / 2
    plates = [
        _stroke((left + 5 * place, y - half), (left + 5 * place, y + half), width)
        for place, half, width in ((0, 15, 1.6), (1, 7, 4), (2, 15, 1.6), (3, 7, 4))
    ]
    return group(Box(x, y, CELL_WIDE, 8).drawn(**_HIDING), *plates)


def fuse(x: float, y: float, *, upright: bool) -> Markup:
    """A box on a wire, the wire drawn through it."""
    half = FUSE_LONG / 2
    if upright:
        box, start, end = Box(x, y, FUSE_WIDE, FUSE_LONG), (x, y - half), (x, y + half)
    else:
        box, start, end = Box(x, y, FUSE_LONG, FUSE_WIDE), (x - half, y), (x + half, y)
    return group(box.drawn(**PAPER), _stroke(start, end, 1.2))


def contact(x: float, y: float) -> Markup:
    """One pole of a connector on an upright wire: socket above, pin below."""
    return group(
        Box(x, y, 18, 20).drawn(**_HIDING),
        element("path", d=f"M{x - 8:g},{y + 1:g}a8,8,0,0,1,16,0", **_LINE),
        Box(x, y + 4, 5, 12).drawn(fill="currentColor"),
    )


def socket(x: float, y: float, *, open_to_right: bool) -> Markup:
    """A socket at the end of a level wire."""
    turn, far = (0, 8) if open_to_right else (1, -8)
    return element("path", d=f"M{x + far:g},{y - 8:g}a8,8,0,0,{turn},0,16", **_LINE)


def converter(x: float, y: float) -> Markup:
    """A box cut by its diagonal: direct current in, chopped direct current out."""
    half = 16.0
    return group(
        Box(x, y, 2 * half, 2 * half).drawn(**PAPER),
        _stroke((x - half, y + half), (x + half, y - half), 1.2),
        *_direct(x - 8, y - 8),
        *_direct(x + 8, y + 10),
    )


def motor(x: float, y: float) -> Markup:
    """A ring with an M and the sign of direct current."""
    letter = element(
        "text", "M", x=x, y=y + 2, text_anchor="middle", class_="label", font_size="15"
    )
    return group(circle(x, y, MOTOR_RADIUS, **PAPER), letter, *_direct(x, y + 9))


def switch(x: float, y: float, *, settings: int = 3) -> Markup:
    """A switch with several settings on a level wire, from left to right."""
    ends = [(x + 14, y + 9 * (place - (settings - 1) / 2)) for place in range(settings)]
    return group(
        Box(x, y, 28, 10).drawn(**_HIDING),
        _stroke((x - 14, y), ends[0], 1.6),
        circle(x - 14, y, 2.5, fill="currentColor"),
        *(circle(*end, 2, fill="currentColor") for end in ends),
        _stroke((x + 14, ends[0][1]), (x + 14, ends[-1][1]), 1.2),
    )


def device(x: float, y: float) -> Markup:
    return Box(x, y, 44, 24).drawn(**PAPER)


def joint(x: float, top: float, bottom: float) -> Markup:
    return Box.over(x - 4, top, 8, bottom - top).drawn(rx=2, fill="currentColor")


def terminal(x: float, y: float, pole: str) -> Markup:
    """A ring where a wire goes on elsewhere, with its pole."""
    return group(circle(x, y, 9, **PAPER), text(pole, x, y + 4, "label", "middle"))


def number(x: float, y: float, of: int) -> Markup:
    ring = Box(x, y, 18, 16).drawn(rx=8, **PAPER)
    return group(ring, text(str(of), x, y + 3.6, anchor="middle"))


_HIDING = {"class_": "paper-fill", "fill": "Canvas", "style": "stroke:none"}
_LINE = {"class_": "line", "fill": "none", "style": "stroke-width:2;stroke-opacity:1"}


def _stroke(start: Point, end: Point, width: float) -> Markup:
    return line(start, end, stroke="currentColor", stroke_width=width)


def _direct(x: float, y: float) -> list[Markup]:
    """A line over dashes: direct current."""
    return [
        _stroke((x - 6, y), (x + 6, y), 1.2),
        *(_stroke((x + far, y + 3.5), (x + far + 3, y + 3.5), 1.2) for far in (-6, -1.5, 3)),
    ]


def one_piece(left: float, right: float, y: float) -> Markup:
    """A dotted line between two contacts that come apart together."""
    return line((left + 12, y), (right - 12, y), class_="axis", stroke_dasharray="2 3")


def casing(x: float, y: float) -> Markup:
    """Round a motor and what is built into it."""
    return Box(x, y, 260, 68).drawn(rx=4, class_="line", stroke_dasharray="5 4", fill="none")
