"""The README's odds and ``--sure`` are what the commands print.

``python tests/golden/test_odds_example.py`` writes the files anew; then run ``test_examples.py``
the same way for the README, and read the difference before keeping it.
"""

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from rich.console import Console

from keelwatt.chance.odds import Boat
from keelwatt.chance.outlook import outlook
from keelwatt.chance.sure import sure
from keelwatt.explain.advise import decide
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.outing import read_outing
from keelwatt.prove import Assessor
from keelwatt.report import odds as odds_screen
from keelwatt.report import sure as sure_screen
from keelwatt.report.screen import Screen

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "examples" / "reservoir-sampling"
HEADING = "How sure is it?"


def printed(show: Callable[[Screen], None]) -> str:
    file = io.StringIO()
    show(Screen(Console(file=file, width=80, highlight=False, emoji=False)))
    return "\n".join(line.rstrip() for line in file.getvalue().splitlines()) + "\n"


def odds_text() -> str:
    """``odds`` of the kit that ``pick`` chooses."""
    catalog = read_catalog(ROOT / "catalog")
    advice = decide(read_outing(FOLDER / "outing.toml"), catalog)
    assert advice.proof is not None
    boat = Boat(Assessor(advice.table.facts, catalog), advice.proof.assessment.kit)
    return printed(lambda screen: odds_screen.odds(screen, outlook(boat, catalog)))


def sure_text() -> str:
    """What ``pick --sure 95%`` adds."""
    outing = read_outing(FOLDER / "outing.toml")
    result = sure(outing, read_catalog(ROOT / "catalog"), 0.95)
    told = printed(lambda screen: sure_screen.pick(screen, result))
    return HEADING + told.partition(HEADING)[2]


TEXTS = {"odds.txt": odds_text, "sure.txt": sure_text}


@pytest.mark.parametrize("name", TEXTS)
def test_output_is_the_expected_one(name: str) -> None:
    assert TEXTS[name]() == (FOLDER / name).read_text(encoding="utf-8")


if __name__ == "__main__":
    for name, text in TEXTS.items():
        (FOLDER / name).write_text(text(), encoding="utf-8")
