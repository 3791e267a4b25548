"""A terminal screen: prints blocks, each in the shape its width allows."""

import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from io import StringIO
from math import ceil

from rich.cells import cell_len, set_cell_size
from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.segment import Segment, Segments
from rich.table import Table as Grid
from rich.text import Text

from keelwatt.report.blocks import Block, Heading, Items, Numbered, Plot, Say, Table, unfolded
from keelwatt.words import printable

NARROW = 70
"""Below this width a table becomes a list."""

GAP = 2
"""Blanks between columns."""

MEANING = {
    **dict.fromkeys(["BROKEN", "(too low)", "(too high)", "(no match)", "short by"], "red"),
    **dict.fromkeys(["binding", "tight"], "yellow"),
    "asked": "bold",
}
"""Words in a table's row, and the colour that goes with them."""

LEAST_CUT = 10
"""A column is not cut shorter than this."""


class Screen:
    """Prints blocks to a console."""

    def __init__(self, console: Console) -> None:
        self.console = console

    @classmethod
    def open(cls, *, no_color: bool = False, stderr: bool = False) -> "Screen":
        """A screen on the process's own output."""
        return cls(Console(stderr=stderr, no_color=no_color or None, highlight=False, emoji=False))

    @contextmanager
    def paged(self) -> Iterator[None]:
        """Whatever is printed goes through a pager, if somebody sits at a terminal.

        A pager left early, or none to be had, is no fault.
        """
        if not (self.console.is_terminal and sys.stdin.isatty()):
            yield
            return
        os.environ.setdefault("LESS", "-FRX")
        with self.console.pager(styles=not self.console.no_color):
            yield

    def print(self, blocks: Iterable[Block], *, full: bool = True) -> None:
        """``full``: with everything a first screen leaves out."""
        for block in unfolded(blocks, full=full):
            match block:
                case Heading():
                    self.console.print()
                    self.say(block.text, style="bold")
                case Say(paste=True):
                    self.console.print(_text(block.text), soft_wrap=True)
                case Say():
                    self.say(block.text, block.style)
                case Numbered():
                    self._beside(f"{block.number}.", "", block.texts)
                case Items():
                    self._beside("-", "-", block.texts)
                case Table():
                    (self._table if self.console.width >= NARROW else self._list)(block)
                case Plot():
                    width, plain = self.console.width, self.console.options.ascii_only
                    for line in block.text(width, plain):
                        self.say(line)

    def say(self, text: str, style: str = "") -> None:
        self._print(_text(text, style))

    def _print(self, shown: RenderableType) -> None:
        """No line ends in blanks: they wrap where a narrower window or a paste cuts them."""
        for line in self.console.render_lines(shown, pad=False):
            self.console.print(Segments([*_bare(line), Segment.line()]), end="")

    def _beside(self, first: str, next_: str, texts: Iterable[str]) -> None:
        """Paragraphs beside their marks."""
        grid = Grid.grid(padding=(0, 1))
        grid.add_column()
        grid.add_column(overflow="fold")
        for at, text in enumerate(texts):
            grid.add_row(next_ if at else first, _text(text))
        self._print(grid)

    def _table(self, block: Table) -> None:
        grid = Grid(box=None, padding=(0, GAP, 0, 0), pad_edge=False, header_style="dim")
        widths = [
            max(map(cell_len, (column.title, *(str(row[at]) for row in block.rows))))
            for at, column in enumerate(block.columns)
        ]
        spare = self.console.width - sum(widths) - GAP * (len(widths) - 1)
        for column in block.columns:
            grid.add_column(
                column.title,
                justify="right" if column.number else "left",
                no_wrap=column.number or column.whole or column.cut,
                overflow="fold",
            )
        last = len(block.rows) - 1
        for at, row in enumerate(block.rows):
            style = "bold" if block.total and at == last else meaning(row)
            cells = (
                _cut(str(cell), max(LEAST_CUT, width + min(0, spare))) if column.cut else cell
                for column, cell, width in zip(block.columns, row, widths, strict=True)
            )
            grid.add_row(*(_text(cell, style) for cell in cells))
        self._print(grid)

    def _list(self, block: Table) -> None:
        """Each row as its first cell and the others below it."""
        for name, *cells in block.rows:
            self.say(name, style="bold")
            rest = zip(block.columns[1:], cells, strict=True)
            told = ", ".join(f"{c.title.lower()} {cell}".strip() for c, cell in rest if cell)
            self._print(Padding(_text(told), (0, 0, 0, 2)))


def meaning(row: Iterable[object]) -> str:
    """The colour of a row: what comes is green, what goes is red, else as its words say.

    >>> meaning(["+ Fuse 50 A", "+6.00"]), meaning(["Trim", "0.1 deg", "binding, tight"])
    ('green', 'yellow')
    """
    first, *rest = map(str, row)
    if sign := {"+ ": "green", "- ": "red"}.get(first[:2]):
        return sign
    return next((MEANING[word] for word in MEANING for cell in rest if word in cell), "")


def _text(text: str, style: str = "") -> Text:
    return Text(printable(text), style=style)


def _cut(text: str, width: int) -> str:
    """The beginning of what is too wide."""
    return text if cell_len(text) <= width else f"{set_cell_size(text, width - 3)}..."


def _bare(line: list[Segment]) -> list[Segment]:
    """A line's segments without the blanks at its end."""
    while line and not line[-1].text.strip():
        line = line[:-1]
    return [*line[:-1], *(Segment(last.text.rstrip(), last.style) for last in line[-1:])]


def height(blocks: Iterable[Block], width: int) -> int:
    """Lines that blocks take on a screen of a width."""
    stream = StringIO()
    Screen(Console(file=stream, width=width, highlight=False, emoji=False)).print(blocks)
    lines = stream.getvalue().splitlines()
    return sum(max(1, ceil(len(line.rstrip()) / width)) for line in lines)
