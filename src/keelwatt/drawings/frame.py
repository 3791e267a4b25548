"""Axes with round ticks, and a plain frame for a curve to stand in."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

from markupsafe import Markup

from keelwatt.drawings import svg
from keelwatt.drawings.marks import Box, Mark, drawn, place

WIDTH, HEIGHT = 340.0, 230.0
TOP, BOTTOM = 28.0, 36.0
"""Room for the title of the upright axis, and for ticks and title of the level one."""

TICK_SIZE = 10.0
DOT = 4.0
"""Radius of a point."""

MOST_MARKED = 30
"""Points that get a number; for more there is no room."""

ROUND = (1.0, 2.0, 2.5, 5.0, 10.0)
"""Steps between ticks, times a power of ten."""


@dataclass(frozen=True)
class Axis:
    """From the first tick to the last; ``title`` ends in the unit."""

    title: str
    ticks: tuple[float, ...]

    @property
    def low(self) -> float:
        return self.ticks[0]

    @property
    def high(self) -> float:
        return self.ticks[-1]

    def share(self, value: float) -> float:
        return (value - self.low) / (self.high - self.low)

    @property
    def labels(self) -> tuple[str, ...]:
        """Every tick as text, with as many decimals as tell them apart."""
        step = self.ticks[1] - self.ticks[0]
        places = next(n for n in range(12) if abs(round(step, n) - step) < 1e-6 * step)
        return tuple(f"{tick:,.{places}f}" for tick in self.ticks)


def axis(title: str, values: Iterable[float], *, from_zero: bool = True, about: int = 5) -> Axis:
    """Round ticks round all values, ``about`` so many steps.

    >>> axis("h", [0.3, 5.7]).ticks
    (0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0)
    >>> axis("kg", [1003.0, 1009.0], from_zero=False).labels
    ('1,003', '1,004', '1,005', '1,006', '1,007', '1,008', '1,009')
    """
    given = list(values)
    low, high = min(given), max(given)
    if from_zero:
        low, high = min(low, 0.0), max(high, 0.0)
    span = high - low or abs(high) or 1.0
    rough = 0.75 * span / about  # rounded up by 2 at the most, so 0.75 to 1.5 of what is asked
    size = 10.0 ** floor(log10(rough))
    step = size * next(r for r in ROUND if r * size >= rough * (1.0 - 1e-9))
    first, last = floor(low / step + 1e-9), ceil(high / step - 1e-9)
    if first == last:
        first, last = first - (not from_zero), last + 1
    return Axis(title, tuple(n * step for n in range(first, last + 1)))


@dataclass(frozen=True)
class Frame:
    """Turns amounts into places on the drawing."""

    x: Axis
    y: Axis
    width: float = WIDTH
    height: float = HEIGHT

    @property
    def left(self) -> float:
        return 8.0 + max(svg.text_width(label, TICK_SIZE) for label in self.y.labels)

    @property
    def right(self) -> float:
        return self.width - 6.0 - svg.text_width(self.x.labels[-1], TICK_SIZE) / 2

    @property
    def bottom(self) -> float:
        return self.height - BOTTOM

    def place(self, x: float, y: float) -> svg.Point:
        return (
            self.left + self.x.share(x) * (self.right - self.left),
            self.bottom - self.y.share(y) * (self.bottom - TOP),
        )

    def line(self, amounts: Iterable[svg.Point], class_: str) -> Markup:
        return svg.element(
            "polyline", points=svg.points(self.place(x, y) for x, y in amounts), class_=class_
        )

    def dots(self, amounts: Sequence[svg.Point], class_: str) -> Markup:
        return svg.group(*(svg.circle(*self.place(x, y), DOT, class_=class_) for x, y in amounts))

    def numbers(self, amounts: Sequence[svg.Point]) -> Markup:
        """A number beside each point, from 1; those of one place together."""
        signs: dict[svg.Point, list[str]] = {}
        for number, amount in enumerate(amounts[:MOST_MARKED], start=1):
            x, y = self.place(*amount)
            signs.setdefault((round(x, 1), round(y, 1)), []).append(str(number))
        dots = [Box(x, y, 2 * DOT, 2 * DOT) for x, y in signs]
        marks = [
            Mark(" ".join(sign) if len(sign) < 4 else f"{sign[0]} … {sign[-1]}", dot, outside=True)
            for sign, dot in zip(signs.values(), dots, strict=True)
        ]
        return drawn(place(marks, width=self.width, taken=[*dots, *self._margins]))

    @property
    def _margins(self) -> tuple[Box, Box, Box]:
        """What is left of, above and below the curves."""
        middle, far = self.width / 2, 10.0 * self.height
        return (
            Box(self.left / 2, self.height / 2, self.left, self.height),
            Box(middle, TOP / 2 - far / 2, self.width, TOP + far),
            Box(middle, self.bottom + far / 2, self.width, far),
        )

    def drawing(self, name: str, title: str, described: str, body: Iterable[Markup]) -> svg.Drawing:
        inside = Markup("").join(body)
        return svg.Drawing(name, title, described, self.width, self.height, inside)

    def axes(self) -> Markup:
        return Markup("").join([*self._upright(), *self._level()])

    def _upright(self) -> Iterator[Markup]:
        for tick, label in zip(self.y.ticks, self.y.labels, strict=True):
            _, y = self.place(self.x.low, tick)
            yield svg.line((self.left, y), (self.right, y), class_="axis")
            yield svg.text(label, self.left - 4.0, y + 3.5, "axis-text", "end")
        yield svg.text(self.y.title, 2.0, 12.0, "axis-text", "start")

    def _level(self) -> Iterator[Markup]:
        y = self.bottom
        spacing = (self.right - self.left) / (len(self.x.ticks) - 1)
        widest = max(svg.text_width(label, TICK_SIZE) for label in self.x.labels)
        every = ceil((widest + 4.0) / spacing)
        for tick, label in list(zip(self.x.ticks, self.x.labels, strict=True))[::every]:
            x, _ = self.place(tick, self.y.low)
            yield svg.line((x, y), (x, y + 4.0), class_="axis")
            yield svg.text(label, x, y + 16.0, "axis-text", "middle")
        yield svg.text(self.x.title, self.right, self.height - 5.0, "axis-text", "end")
