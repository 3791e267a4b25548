"""How blocks are printed, whatever they say."""

from io import StringIO

import pytest
from rich.console import Console

from keelwatt.report.blocks import Block, Column, Heading, Items, Say, Table
from keelwatt.report.screen import Screen

WORDS = "a battery can give thousands of amperes and melt a spanner, so cover the posts"


@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_ends_in_blanks(width: int) -> None:
    stream = StringIO()
    columns = [Column("Part"), Column("Mass", number=True), Column("Note")]
    blocks: list[Block] = [
        Heading("Be careful"),
        Say(WORDS),
        Items((WORDS, "short")),
        Table(tuple(columns), (("Fuse", "50 g", ""), ("Cable", "1.2 kg", "tinned"))),
    ]
    Screen(Console(file=stream, width=width, highlight=False, emoji=False)).print(blocks)
    lines = stream.getvalue().splitlines()
    assert len(lines) >= 7
    assert [line for line in lines if line != line.rstrip()] == []


def test_a_row_has_the_colour_of_its_words_and_the_words_without_it() -> None:
    rows = (("Hours", "binding"), ("Trim", "BROKEN"), ("+ Fuse", "6.00"), ("- Fuse", "5.00"))
    block = Table((Column("Limit"), Column("")), (*rows, ("Heel", "")))
    texts = []
    for colour in ("standard", None):
        stream = StringIO()
        console = Console(
            file=stream, width=80, highlight=False, force_terminal=True, color_system=colour
        )
        Screen(console).print([block])
        texts.append(stream.getvalue().splitlines()[1:])
    codes = [{code for code in ("31m", "32m", "33m") if code in line} for line in texts[0]]
    assert codes == [{"33m"}, {"31m"}, {"32m"}, {"31m"}, set()]
    assert [line.split()[0] for line in texts[1]] == ["Hours", "Trim", "+", "-", "Heel"]
