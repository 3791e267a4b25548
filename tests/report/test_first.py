"""The first screen of a pick: one screen, with what a buyer must not miss."""

from functools import cache
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

from golden.kept import ROOT
from keelwatt import words
from keelwatt.explain.advise import Advice
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.outing import read_outing
from keelwatt.report.answer import Answer
from keelwatt.report.blocks import Numbered, Say, items, unfolded
from keelwatt.report.cautions import cautions, reservations
from keelwatt.report.first import LINES, MUST, _nothing, fitted
from keelwatt.report.pick import pick
from keelwatt.report.screen import Screen, height
from remembered import advise

EXAMPLES = sorted(path.parent.name for path in (ROOT / "examples").glob("*/outing.toml"))
IMPOSSIBLE = "reservoir-winter-impossible"
POSSIBLE = [name for name in EXAMPLES if name != IMPOSSIBLE]


@cache
def answer(name: str) -> Answer:
    outing = read_outing(ROOT / "examples" / name / "outing.toml")
    return Answer(advise(outing, read_catalog(shipped_catalog())))


def screen(name: str, width: int = 80, *, full: bool = False) -> str:
    stream = StringIO()
    console = Console(file=stream, width=width, highlight=False)
    Screen(console).print(pick(answer(name)), full=full)
    return stream.getvalue()


def advice(name: str) -> Advice:
    return answer(name).advice


@pytest.mark.parametrize("name", EXAMPLES)
def test_it_is_one_screen_with_a_line_left_for_the_catalog(name: str) -> None:
    assert screen(name).count("\n") <= LINES


@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize("name", EXAMPLES)
def test_no_line_is_wider_than_the_screen(name: str, width: int) -> None:
    for line in screen(name, width).splitlines():
        assert len(line) <= width or "keelwatt pick" in line or "keelwatt whatif" in line


@pytest.mark.parametrize("name", POSSIBLE)
def test_what_a_buyer_must_not_miss(name: str) -> None:
    text, totals = screen(name), answer(name).totals
    assert f"{words.money(totals.price_cents)}" in text
    assert words.kilograms(totals.mass_g) in text
    told = " ".join(text.split())
    assert "Hours: " in told and "needed" in told
    assert "Safety: short circuit" in told
    for line in answer(name).bill.lines:
        if line.part in answer(name).kit.ids and line.what != "cable":
            assert line.name in text
            assert line.owned or words.money(line.price_cents or 0) in text


@pytest.mark.parametrize("name", POSSIBLE)
def test_every_caution_is_under_full(name: str) -> None:
    told = " ".join(screen(name, full=True).split())
    proof = advice(name).proof
    assert proof
    for caution in cautions(advice(name).case, proof.assessment, proof.chosen):
        assert caution.text in told


def test_a_hull_beyond_the_theory_is_said_before_buying() -> None:
    assert "Before you buy: speed and hours are rough" in screen("harbour-dinghy")
    assert "Before you buy" not in screen("reservoir-sampling")


@pytest.mark.parametrize(
    ("left_out", "decided"),
    [("", ()), ('reserve = "20 %"\n', ("reserve",)), ('max_trim = "1.5 deg"\n', ())],
)
def test_a_default_that_decides_is_said_before_buying(
    left_out: str, decided: tuple[str, ...], tmp_path: Path
) -> None:
    text = (ROOT / "examples/reservoir-sampling/outing.toml").read_text(encoding="utf-8")
    assert left_out in text
    file = tmp_path / "outing.toml"
    file.write_text(text.replace(left_out, "", 1) if left_out else text, encoding="utf-8")
    found = advise(read_outing(file), read_catalog(shipped_catalog()))
    assert found.defaults_that_bind == decided
    said = [note for note in reservations(found) if "default" in note]
    assert said == [
        f"{name} decided this by its default. Set your own: {name} under [limits]."
        for name in decided
    ]


def test_the_command_to_paste_has_the_users_file_and_the_options_typed() -> None:
    with words.pasting([{"--catalog": "my parts"}, {"--by": "mass"}]):
        assert words.command("pick", "my boat.toml", "--full") == (
            "keelwatt pick 'my boat.toml' --full --catalog 'my parts' --by mass"
        )
        assert "--by" not in words.command("prove", "my boat.toml")
    assert words.command("pick", "a.toml") == "keelwatt pick a.toml"
    assert f"keelwatt pick {advice(IMPOSSIBLE).outing.file} --apply 1" in " ".join(
        screen(IMPOSSIBLE, 200).split()
    )


def test_what_ranks_last_goes_first_and_what_must_stay_stays() -> None:
    must = [(0, Say(f"must {at}")) for at in range(LINES)]
    kept = fitted([*must, (1, Say("may")), (2, items(["might"]))]).blocks
    assert [block for block in kept if isinstance(block, Say)] == [block for _, block in must]
    some = fitted([*must[:-1], (2, Say("last")), (1, Say("first")), (2, Say("last of all"))])
    assert some.blocks[-1] == Say("first")
    assert height(unfolded([some], full=False), 80) == LINES


def test_the_mildest_way_out_always_stays_and_of_the_others_the_harshest_goes_first() -> None:
    told = _nothing(advice(IMPOSSIBLE))
    mildest, *others = [rank for rank, block in told if isinstance(block, Numbered)]
    assert mildest == MUST < min(others)
    assert others == sorted(set(others))
