"""Symbols of electrical diagrams, drawn by us after IEC 60617 (from memory)."""

from markupsafe import Markup

from keelwatt.drawings.marks import PAPER
from keelwatt.drawings.svg import element, group, points

FUSE_LONG, FUSE_WIDE = 34.0, 14.0
CELL_WIDE = 15.0
MOTOR_RADIUS = 24.0


def wire(polarity: str, *places: tuple[float, float]) -> Markup:
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
    paper = element(
        "rect", x=left, y=y - 4, width=CELL_WIDE, height=8, class_="paper-fill", **_BARE
    )
    return group([paper, *plates])


def fuse(x: float, y: float, *, upright: bool) -> Markup:
    """A box on a wire, the wire drawn through it."""
    long, wide = (FUSE_WIDE, FUSE_LONG) if upright else (FUSE_LONG, FUSE_WIDE)
    box = element("rect", x=x - long / 2, y=y - wide / 2, width=long, height=wide, **PAPER)
    ends = (
        ((x, y - wide / 2), (x, y + wide / 2))
        if upright
        else ((x - long / 2, y), (x + long / 2, y))
    )
    return group([box, _stroke(*ends, 1.2)])


def contact(x: float, y: float) -> Markup:
    """One pole of a connector on an upright wire: socket above, pin below."""
    return group(
        [
            element("rect", x=x - 9, y=y - 10, width=18, height=20, **_HIDING),
            element("path", d=f"M{x - 8:g},{y + 1:g}a8,8,0,0,1,16,0", **_LINE),
            element("rect", x=x - 2.5, y=y - 2, width=5, height=12, fill="currentColor"),
        ]
    )


def socket(x: float, y: float, *, open_to_right: bool) -> Markup:
    """A socket at the end of a level wire."""
    turn, far = (0, 8) if open_to_right else (1, -8)
    return element("path", d=f"M{x + far:g},{y - 8:g}a8,8,0,0,{turn},0,16", **_LINE)


def converter(x: float, y: float) -> Markup:
    """A box cut by its diagonal: direct current in, chopped direct current out."""
    half = 16.0
    return group(
        [
            element("rect", x=x - half, y=y - half, width=2 * half, height=2 * half, **PAPER),
            _stroke((x - half, y + half), (x + half, y - half), 1.2),
            *_direct(x - 8, y - 8),
            *_direct(x + 8, y + 10),
        ]
    )


def motor(x: float, y: float) -> Markup:
    """A ring with an M and the sign of direct current."""
    letter = element(
        "text", "M", x=x, y=y + 2, text_anchor="middle", class_="label", font_size="15"
    )
    ring = element("circle", cx=x, cy=y, r=MOTOR_RADIUS, **PAPER)
    return group([ring, letter, *_direct(x, y + 9)])


def switch(x: float, y: float, *, settings: int = 3) -> Markup:
    """A switch with several settings on a level wire, from left to right."""
    ends = [(x + 14, y + 9 * (place - (settings - 1) / 2)) for place in range(settings)]
    return group(
        [
            element("rect", x=x - 14, y=y - 5, width=28, height=10, **_HIDING),
            _stroke((x - 14, y), ends[0], 1.6),
            element("circle", cx=x - 14, cy=y, r=2.5, fill="currentColor"),
            *(element("circle", cx=ex, cy=ey, r=2, fill="currentColor") for ex, ey in ends),
            _stroke((x + 14, ends[0][1]), (x + 14, ends[-1][1]), 1.2),
        ]
    )


def device(x: float, y: float) -> Markup:
    """Any load: an empty box."""
    return element("rect", x=x - 22, y=y - 12, width=44, height=24, **PAPER)


def joint(x: float, top: float, bottom: float) -> Markup:
    """A bus bar."""
    return element("rect", x=x - 4, y=top, width=8, height=bottom - top, rx=2, fill="currentColor")


def terminal(x: float, y: float, pole: str) -> Markup:
    """A ring where a wire goes on elsewhere, with its pole."""
    sign = element("text", pole, x=x, y=y + 4, text_anchor="middle", class_="label")
    return group([element("circle", cx=x, cy=y, r=9, **PAPER), sign])


def number(x: float, y: float, of: int) -> Markup:
    """The number of a conductor, on it."""
    text = element("text", str(of), x=x, y=y + 3.6, text_anchor="middle", class_="small")
    ring = element("rect", x=x - 9, y=y - 8, width=18, height=16, rx=8, **PAPER)
    return group([ring, text])


_BARE = {"fill": "Canvas", "style": "stroke:none"}
_HIDING = {"class_": "paper-fill", **_BARE}
_LINE = {"class_": "line", "fill": "none", "style": "stroke-width:2;stroke-opacity:1"}


def _stroke(start: tuple[float, float], end: tuple[float, float], width: float) -> Markup:
    return element(
        "line",
        x1=start[0],
        y1=start[1],
        x2=end[0],
        y2=end[1],
        stroke="currentColor",
        stroke_width=width,
    )


def _direct(x: float, y: float) -> list[Markup]:
    """A line over dashes: direct current."""
    return [
        _stroke((x - 6, y), (x + 6, y), 1.2),
        *(_stroke((x + far, y + 3.5), (x + far + 3, y + 3.5), 1.2) for far in (-6, -1.5, 3)),
    ]


def one_piece(left: float, right: float, y: float) -> Markup:
    """A dotted line between two contacts that come apart together."""
    return element(
        "line", x1=left + 12, y1=y, x2=right - 12, y2=y, class_="axis", stroke_dasharray="2 3"
    )


def casing(x: float, y: float) -> Markup:
    """Round a motor and what is built into it."""
    return element(
        "rect",
        x=x - 130,
        y=y - 34,
        width=260,
        height=68,
        rx=4,
        class_="line",
        stroke_dasharray="5 4",
        fill="none",
    )
