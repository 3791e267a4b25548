"""What a report says, as blocks: a terminal prints them, a page sets them in HTML."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markupsafe import Markup

    from keelwatt.drawings.svg import Drawing


class _Block:
    @property
    def kind(self) -> str:
        return type(self).__name__.lower()


@dataclass(frozen=True)
class Heading(_Block):
    """What the blocks up to the next heading are about."""

    text: str


@dataclass(frozen=True)
class Say(_Block):
    """A paragraph; its style is for terminals only, ``paste`` holds a command to be copied."""

    text: str
    style: str = ""
    paste: bool = False


@dataclass(frozen=True)
class Items(_Block):
    """Paragraphs with a dash each."""

    texts: tuple[str, ...]


@dataclass(frozen=True)
class Numbered(Items):
    """Paragraphs beside a number."""

    number: int = 1


@dataclass(frozen=True)
class Column:
    """A heading; whether its cells are numbers, to the right, words never broken, or cut off."""

    title: str
    number: bool = False
    whole: bool = False
    cut: bool = False


Row = tuple["str | Markup", ...]


@dataclass(frozen=True)
class Table(_Block):
    """Rows under columns, the last a total if so said.

    ``caption`` is for who cannot see the page, where it is not the heading above; ``done``: on
    paper each row has a box to tick.
    """

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    total: bool = False
    caption: str = ""
    done: bool = False


@dataclass(frozen=True)
class Plot(_Block):
    """Lines of text made for a width, with or without box-drawing signs; a page has a drawing."""

    text: Callable[[int, bool], list[str]]


@dataclass(frozen=True)
class Pictures(_Block):
    """Drawings side by side where there is room, each with a caption that may be empty."""

    drawings: "tuple[tuple[Drawing, str], ...]"


@dataclass(frozen=True)
class First(_Block):
    """Blocks of the first screen alone: neither a page nor ``--full`` has them."""

    blocks: "tuple[Block, ...]"


@dataclass(frozen=True)
class Rest(_Block):
    """Blocks the first screen leaves out, made only where they are asked for."""

    blocks: "Iterable[Block]"


Block = Heading | Say | Items | Numbered | Table | Plot | Pictures | First | Rest
Blocks = Iterator[Block]


def unfolded(blocks: Iterable[Block], *, full: bool) -> Blocks:
    """What is shown of blocks: all but the first screen's own, or that without the rest."""
    for block in blocks:
        if isinstance(block, First | Rest):
            if isinstance(block, Rest) is full:
                yield from unfolded(block.blocks, full=full)
        else:
            yield block


def items(texts: Iterable[str]) -> Items:
    return Items(tuple(texts))


def numbered(texts: Iterable[str]) -> Iterator[Numbered]:
    """One paragraph beside each number, from 1."""
    for number, text in enumerate(texts, start=1):
        yield Numbered((text,), number)


def table(
    columns: Iterable[str | Column],
    rows: "Iterable[Iterable[str | Markup]]",
    *,
    total: bool = False,
    caption: str = "",
    done: bool = False,
) -> Table:
    """A column named by its title alone is one of words."""
    named = (Column(each) if isinstance(each, str) else each for each in columns)
    return Table(tuple(named), tuple(tuple(row) for row in rows), total, caption, done)


def numbers(*titles: str) -> tuple[Column, ...]:
    """Columns of numbers."""
    return tuple(Column(title, number=True) for title in titles)


def whole(title: str) -> Column:
    """A column of words never broken."""
    return Column(title, whole=True)
