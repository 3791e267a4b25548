"""Before and after on a screen."""

from io import StringIO

import pytest
from rich.console import Console

from explain.answers import asked
from keelwatt import words
from keelwatt.report.first import LINES
from keelwatt.report.screen import Screen
from keelwatt.report.whatif import whatif

RESERVOIR, OWNED = "reservoir-sampling", "bird-count-canoe-owned"
IMPOSSIBLE = "reservoir-winter-impossible"


def shown(*case: str, width: int = 80, full: bool = True) -> str:
    stream = StringIO()
    screen = Screen(Console(file=stream, width=width, highlight=False))
    screen.print(whatif(asked(*case)), full=full)
    return stream.getvalue()


CASES = [
    (
        (RESERVOIR, "budget=+1"),
        "You already have the kit for 1 more budget: the same kit is still the best. "
        "Budget: 695.40",
    ),
    ((RESERVOIR, "budget=950"), "You already have that: the outing says budget 950."),
    ((RESERVOIR, "hours=+20min"), "Hours, reserve kept: 6 h 35, at least 6 h 01 asked."),
    ((RESERVOIR, "hours=+2h"), "Every leg and device lasts 35% longer: 5 h 41 becomes 7 h 41."),
    ((RESERVOIR, "hours=+2h"), "outing.toml --set 'leg.between stations.hours=+2h'"),
    ((RESERVOIR, "hours=+2h"), "leg.between stations.hours 2 h 45 min 3 h 43 min"),
    ((RESERVOIR, "by=mass", "speed=-10%"), "With the choice by mass and 10% less speed: buy "),
    (
        (OWNED, "parts.own=-agm-12v-100ah"),
        "You already have the kit for parts.own -agm-12v-100ah: ",
    ),
    (
        (RESERVOIR, "limits.max_heel=5deg"),
        "fit Five-step motor 12 V 160 N on side bracket, with another cable; ",
    ),
    ((OWNED, "hours=-4h"), "buy AGM block 12 V 100 Ah instead of 2 x Flooded leisure 12 V 75 Ah"),
    ((OWNED, "hours=-4h"), "+ AGM block 12 V 100 Ah amidships yours +29.4 kg"),
    ((OWNED, "parts.own=-agm-12v-100ah"), "own_pieces.agm-12v-100ah 1 not set"),
    ((IMPOSSIBLE, "hours=-70%", "top_speed=none"), "now a kit does it, 473.10 crowns to buy"),
    ((IMPOSSIBLE, "hours=-70%", "top_speed=none"), "With 70% less on the water and no top speed"),
    ((IMPOSSIBLE, "lift=15 lb"), "no kit meets every limit, with the change or without."),
    ((IMPOSSIBLE, "lift=15 lb"), "Ways out"),
    ((RESERVOIR, "budget=100"), "no kit meets every limit any more."),
]


@pytest.mark.parametrize(("case", "says"), CASES)
def test_what_it_says(case: tuple[str, ...], says: str) -> None:
    assert says in " ".join(shown(*case, width=120).split())


@pytest.mark.few(1)
@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_is_wider_than_the_screen(width: int) -> None:
    for case in {case for case, _ in CASES}:
        for line in (
            shown(*case, width=width) + shown(*case, width=width, full=False)
        ).splitlines():
            assert len(line) <= width or "keelwatt whatif" in line, line


@pytest.mark.parametrize("case", sorted({case for case, _ in CASES}))
def test_the_first_screen_is_one_and_says_what_changed_only(case: tuple[str, ...]) -> None:
    text = shown(*case, full=False)
    assert text.count("\n") <= LINES
    told = " ".join(text.split())
    assert told.startswith(" ".join(shown(*case).split())[:60])
    assert told.endswith("--full")
    result = asked(*case)
    for both in result.limits:
        if both.before and both.after and words.room(both.before) == words.room(both.after):
            assert f"\n{words.LABELS[both.name]} " not in text


def test_every_limit_has_its_room_before_and_after() -> None:
    text = shown(RESERVOIR, "by=mass", "speed=-10%")
    rooms = text[text.index("Room under every limit") :].splitlines()[2:]
    result = asked(RESERVOIR, "by=mass", "speed=-10%")
    assert len(rooms) == sum(both.name != "parts" for both in result.limits)
