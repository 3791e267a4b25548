"""A terminal screen: blocks of text and tables, each in the shape its width allows."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

NARROW = 70
"""Below this width a table becomes a list."""


@dataclass(frozen=True)
class Column:
    """A heading; whether its cells are numbers, set to the right, or words never broken."""

    title: str
    number: bool = False
    whole: bool = False


class Screen:
    """Prints blocks to a console, each in the shape its width allows."""

    def __init__(self, console: Console) -> None:
        self.console = console

    @classmethod
    def open(cls, *, no_color: bool = False, stderr: bool = False) -> "Screen":
        """A screen on the process's own output."""
        return cls(Console(stderr=stderr, no_color=no_color or None, highlight=False, emoji=False))

    @property
    def narrow(self) -> bool:
        return self.console.width < NARROW

    def heading(self, text: str) -> None:
        self.console.print()
        self.console.print(Text(text, style="bold"))

    def say(self, text: str, style: str = "") -> None:
        self.console.print(Text(text, style=style))

    def numbered(self, number: int, *texts: str) -> None:
        """Paragraphs beside a number."""
        grid = Table.grid(padding=(0, 1))
        grid.add_column()
        grid.add_column(overflow="fold")
        for mark, text in zip((f"{number}.", *[""] * len(texts)), texts, strict=False):
            grid.add_row(mark, Text(text))
        self.console.print(grid)

    def items(self, texts: Iterable[str]) -> None:
        grid = Table.grid(padding=(0, 1))
        grid.add_column()
        grid.add_column(overflow="fold")
        for text in texts:
            grid.add_row("-", Text(text))
        self.console.print(grid)

    def table(
        self, columns: Sequence[Column], rows: Sequence[Sequence[str]], *, total: bool = False
    ) -> None:
        """A table; on a narrow screen each row becomes its first cell and the others below it."""
        if self.narrow:
            self._list(columns, rows)
            return
        table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="dim")
        for column in columns:
            table.add_column(
                column.title,
                justify="right" if column.number else "left",
                no_wrap=column.number or column.whole,
                overflow="fold",
            )
        for row in rows[:-1] if total else rows:
            table.add_row(*(Text(cell) for cell in row))
        if total:
            table.add_row(*(Text(cell, style="bold") for cell in rows[-1]))
        self.console.print(table)

    def plot(self, lines: Iterable[str]) -> None:
        """A plot made of text."""
        for line in lines:
            self.say(line)

    def _list(self, columns: Sequence[Column], rows: Sequence[Sequence[str]]) -> None:
        for row in rows:
            self.say(row[0], style="bold")
            cells = zip(columns[1:], row[1:], strict=True)
            told = ", ".join(f"{c.title.lower()} {cell}".strip() for c, cell in cells if cell)
            self.console.print(Padding(Text(told), (0, 0, 0, 2)))
