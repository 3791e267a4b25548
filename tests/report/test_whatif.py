"""Before and after on a screen."""

from io import StringIO

import pytest
from rich.console import Console

from explain.answers import asked
from keelwatt.report.screen import Screen
from keelwatt.report.whatif import whatif

RESERVOIR, OWNED = "reservoir-sampling", "bird-count-canoe-owned"
IMPOSSIBLE = "reservoir-winter-impossible"


def shown(*case: str, width: int = 80) -> str:
    stream = StringIO()
    Screen(Console(file=stream, width=width, highlight=False)).print(whatif(asked(*case)))
    return stream.getvalue()


CASES = [
    (
        (RESERVOIR, "budget=+1"),
        "With 1 more budget: nothing changes, the same kit is still the best",
    ),
    ((RESERVOIR, "budget=850"), "With budget 850: nothing changes"),
    ((RESERVOIR, "budget=850"), "Nothing: the file says so already."),
    ((RESERVOIR, "by=mass", "speed=-10%"), "With the choice by mass and 10% less speed: buy "),
    ((OWNED, "parts.own=-agm-12v-100ah"), "With parts.own -agm-12v-100ah: buy "),
    ((OWNED, "parts.own=-agm-12v-100ah"), "fit Five-step motor 12 V 160 N on stern well"),
    ((OWNED, "parts.own=-agm-12v-100ah"), "- AGM block 12 V 100 Ah amidships yours -29.4 kg"),
    ((OWNED, "parts.own=-agm-12v-100ah"), "own_pieces.agm-12v-100ah 1 not set"),
    ((IMPOSSIBLE, "hours=-70%", "top_speed=none"), "now a kit does it, 370.14 crowns to buy"),
    ((IMPOSSIBLE, "hours=-70%", "top_speed=none"), "With 70% less on the water and no top speed"),
    ((IMPOSSIBLE, "lift=15 lb"), "no kit meets every limit, nor does one without the change."),
    ((IMPOSSIBLE, "lift=15 lb"), "Ways out"),
    ((RESERVOIR, "budget=100"), "no kit meets every limit any more."),
]


@pytest.mark.parametrize(("case", "says"), CASES)
def test_what_it_says(case: tuple[str, ...], says: str) -> None:
    assert says in " ".join(shown(*case, width=120).split())


@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_is_wider_than_the_screen(width: int) -> None:
    for case in {case for case, _ in CASES}:
        for line in shown(*case, width=width).splitlines():
            assert len(line) <= width, line


def test_every_limit_has_its_room_before_and_after() -> None:
    text = shown(RESERVOIR, "by=mass", "speed=-10%")
    rooms = text[text.index("Room under every limit") :].splitlines()[2:]
    result = asked(RESERVOIR, "by=mass", "speed=-10%")
    assert len(rooms) == sum(both.name != "parts" for both in result.limits)
