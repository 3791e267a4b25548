"""A page's blocks, and a screen that keeps what it is told as such blocks."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import ceil
from typing import ClassVar

from markupsafe import Markup
from rich.console import Console

from keelwatt.drawings.svg import Drawing
from keelwatt.report.screen import Column, Screen

LINE = 90
"""Characters on a printed line, about."""

PAGE_LINES = 36
"""A block with more lines than this may break between two pages of paper."""

UNITS = 18.0
"""Units of a drawing as high as a printed line."""


@dataclass(frozen=True)
class Say:
    kind: ClassVar[str] = "say"
    text: str

    @property
    def lines(self) -> int:
        return ceil(len(self.text) / LINE)


@dataclass(frozen=True)
class Items:
    kind: ClassVar[str] = "items"
    texts: tuple[str, ...]

    @property
    def lines(self) -> int:
        return sum(ceil(len(text) / LINE) for text in self.texts)


@dataclass(frozen=True)
class Numbered:
    """Paragraphs beside a number."""

    kind: ClassVar[str] = "numbered"
    number: int
    texts: tuple[str, ...]

    @property
    def lines(self) -> int:
        return sum(ceil(len(text) / LINE) for text in self.texts)


Row = tuple[str, ...]


@dataclass(frozen=True)
class Grid:
    """A table; its caption is for who cannot see the heading above it."""

    kind: ClassVar[str] = "grid"
    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    total: bool = False

    @property
    def lines(self) -> int:
        return 1 + sum(ceil(sum(map(_wide, row)) / LINE) for row in self.rows)


@dataclass(frozen=True)
class Figures:
    """Drawings side by side where there is room, each with a caption that may be empty."""

    kind: ClassVar[str] = "figures"
    drawings: tuple[tuple[Drawing, str], ...]

    @property
    def lines(self) -> int:
        return max(ceil(drawing.height / UNITS) for drawing, _ in self.drawings) + 2


def _wide(cell: str) -> int:
    """Characters of room a cell takes, its margin too."""
    return 3 + (0 if isinstance(cell, Markup) else len(cell))


Part = Say | Items | Numbered | Grid | Figures


@dataclass(frozen=True)
class Block:
    """A heading and what belongs under it; stays on one sheet of paper unless it is long."""

    title: str
    parts: tuple[Part, ...]

    @property
    def long(self) -> bool:
        return sum(part.lines for part in self.parts) > PAGE_LINES


@dataclass
class _Open:
    title: str
    parts: list[Part] = field(default_factory=list)


class Paper(Screen):
    """Keeps what a screen would print; a plot is replaced by the drawing given for it."""

    def __init__(self, drawing: Drawing | None = None) -> None:
        super().__init__(Console(quiet=True, width=200))
        self._drawing = drawing
        self._open = [_Open("")]

    @property
    def lead(self) -> tuple[Part, ...]:
        """What was said before the first heading."""
        return tuple(self._open[0].parts)

    @property
    def blocks(self) -> tuple[Block, ...]:
        return tuple(Block(block.title, tuple(block.parts)) for block in self._open[1:])

    def _add(self, part: Part) -> None:
        self._open[-1].parts.append(part)

    def heading(self, text: str) -> None:
        self._open.append(_Open(text))

    def say(self, text: str, style: str = "") -> None:
        del style
        self._add(Say(text))

    def numbered(self, number: int, *texts: str) -> None:
        self._add(Numbered(number, texts))

    def items(self, texts: Iterable[str]) -> None:
        self._add(Items(tuple(texts)))

    def table(
        self, columns: Sequence[Column], rows: Sequence[Sequence[str]], *, total: bool = False
    ) -> None:
        caption = self._open[-1].title
        self._add(Grid(caption, tuple(columns), tuple(tuple(row) for row in rows), total))

    def plot(self, lines: Iterable[str]) -> None:
        del lines
        if self._drawing:
            self._add(Figures(((self._drawing, ""),)))
