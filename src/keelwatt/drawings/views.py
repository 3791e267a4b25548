"""From metres aboard to units of a drawing, and a view's marks, captions and measuring bar."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import atan, degrees, hypot

from markupsafe import Markup

from keelwatt.drawings.marks import Box, Mark, drawn, place
from keelwatt.drawings.svg import Point, group, text
from keelwatt.drawings.symbols import stroke
from keelwatt.files.outing import Place
from keelwatt.physics.stowage import Triple
from keelwatt.units import shown

WIDTH = 360.0
MARGIN = 26.0
TALLEST = 300.0

CAPTION = 18.0
BARS_M = (
    *((cm / 100, f"{cm} cm") for cm in (10, 20, 50)),
    *((float(m), f"{m} m") for m in (1, 2, 5, 10)),
)
BARS_IN = ((0.1524, "6 in"), *((0.3048 * feet, f"{feet} ft") for feet in (1, 2, 5, 10, 20)))
"""Lengths of a measuring bar, in metres, and what is written beside."""
SHORTEST_BAR = 32.0


@dataclass(frozen=True)
class Eye:
    """Looks at the boat: which of (x, y, z) runs to the right, which down and with what sign.
    ``scale`` is in units a metre, ``zero`` where the right-hand axis begins; the other begins at
    0."""

    right: int
    down: int
    sign: float
    scale: float
    middle_m: float

    @property
    def zero(self) -> float:
        return WIDTH / 2 - self.scale * self.middle_m

    def box(self, at: Place, size_m: Triple = (0.0, 0.0, 0.0)) -> Box:
        where = (at.x_m, at.y_m, at.z_m)
        return Box(
            self.zero + self.scale * where[self.right],
            self.sign * self.scale * where[self.down],
            self.scale * size_m[self.right],
            self.scale * size_m[self.down],
        )

    def point(self, x_m: float, y_m: float, z_m: float) -> Point:
        box = self.box(Place(x_m=x_m, y_m=y_m, z_m=z_m))
        return box.x, box.y


@dataclass(frozen=True)
class Turn:
    """Turns what is drawn about a point, to the right by a slope."""

    slope: float
    x: float
    y: float

    @property
    def transform(self) -> str | None:
        if not self.slope:
            return None
        return f"rotate({degrees(atan(self.slope)):.3f} {self.x:.2f} {self.y:.2f})"

    def of(self, box: Box) -> Box:
        """What holds the turned box."""
        right, down = 1.0 / hypot(1.0, self.slope), self.slope / hypot(1.0, self.slope)
        x, y = box.x - self.x, box.y - self.y
        return Box(
            self.x + x * right - y * down,
            self.y + x * down + y * right,
            box.width * right + box.height * abs(down),
            box.width * abs(down) + box.height * right,
        )


@dataclass(frozen=True)
class View:
    """Shapes about the eye's zero line, the marks to put in, and what these keep off."""

    shapes: Markup
    boxes: tuple[Box, ...]
    marks: tuple[Mark, ...]
    taken: tuple[Box, ...]
    scale: float


def panel(
    view: View, captions: tuple[str, str, str], *, top: float, note: str = ""
) -> tuple[Markup, float]:
    """The view below ``top`` between its captions and a measuring bar, and where it ends."""
    placed = place(view.marks, width=WIDTH, taken=view.taken)
    boxes = (*view.boxes, *(each.box for each in placed))
    zero = top + CAPTION + 6 - min(box.top for box in boxes)
    end = zero + 6 + max(box.bottom for box in boxes)
    moved = group(view.shapes, drawn(placed), transform=f"translate(0 {zero:.2f})")
    return group(*_captions(captions, top), moved, _bar(view.scale, end, note)), end + CAPTION


def _captions(captions: tuple[str, str, str], top: float) -> Iterable[Markup]:
    left, middle, right = captions
    for told, x, anchor, class_ in (
        (left, 6.0, "start", "small"),
        (middle, WIDTH / 2, "middle", "label"),
        (right, WIDTH - 6.0, "end", "small"),
    ):
        yield text(told, x, top + 13, class_, anchor)


def _bar(scale: float, top: float, note: str) -> Markup:
    bars = BARS_M if shown.now().length == "m" else BARS_IN
    length_m, told = next((bar for bar in bars if bar[0] * scale >= SHORTEST_BAR), bars[-1])
    end, y = 6.0 + length_m * scale, top + 6
    ticks = [stroke((x, y - 3), (x, y + 3), "line") for x in (6.0, end)]
    beside = [text(note, WIDTH - 6, y + 3.6, anchor="end")] if note else []
    bar = stroke((6.0, y), (end, y), "line")
    return group(bar, *ticks, text(told, end + 6, y + 3.6), *beside)
