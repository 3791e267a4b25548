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
