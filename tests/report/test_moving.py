"""Gear or a seat to be moved: told before anything is loosened, as a command that does it."""

import re
import shlex
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from explain.answers import FILE, example, shipped
from keelwatt import words
from keelwatt.edit.edit import edited
from keelwatt.explain.advise import Advice
from keelwatt.files.outing import outing_from_text
from keelwatt.report.answer import Answer
from keelwatt.report.blocks import Say, unfolded
from keelwatt.report.explanations import nothing, what_it_costs
from keelwatt.report.first import pick
from keelwatt.report.limits import move_setting
from remembered import advise, decide
from running import keelwatt

CANOE, ROUND = "bird-count-canoe", "reservoir-sampling"


@cache
def asked(name: str, *settings: str) -> tuple[str, Advice]:
    text = edited(example(name), FILE, settings).text
    return text, advise(outing_from_text(text, FILE), shipped())


def said(advice: Advice) -> list[str]:
    with words.about(advice.outing):
        blocks = unfolded([pick(Answer(advice))], full=False)
        return [text for b in blocks for text in getattr(b, "texts", [getattr(b, "text", "")])]


def step(advice: Advice) -> str:
    """The setting of the one step."""
    (told,) = [text for text in said(advice) if text.startswith("One step: ")]
    return shlex.split(told)[-1]


LEVEL = (CANOE, "trim=0.02 deg")
SIDE = (ROUND, "trim=0.2 deg")


def test_where_no_kit_fits_a_move_comes_before_every_way_out() -> None:
    _, advice = asked(*LEVEL)
    told = said(advice)
    assert advice.status == "impossible"
    assert advice.ways_out
    (at,) = [n for n, text in enumerate(told) if text.startswith("To loosen nothing, move steerer")]
    assert at < told.index("These limits clash:") < told.index("Ways out, the mildest first:")
    assert "forward. Then a kit meets every limit:" in told[at]
    with words.about(advice.outing):
        full = [block for block in nothing(advice) if not isinstance(block, Say)]
    titles = [getattr(block, "text", "") for block in full]
    assert titles.index("To loosen nothing, move gear or a seat") < titles.index(
        "Ways out, the mildest first"
    )


def test_a_move_is_told_in_place_of_the_limit_it_spares() -> None:
    _, advice = asked(*SIDE)
    (told,) = [text for text in said(advice) if text.startswith("Trim: ")]
    assert re.fullmatch(r"Trim: moving volunteer \(82.0 kg\) \d+ cm forward saves \d+\.\d\d", told)
    with words.about(advice.outing):
        every = [text for b in what_it_costs(advice) for text in getattr(b, "texts", ())]
    assert told in every
    assert any(text.startswith("Trim: without this limit") for text in every)


@pytest.mark.parametrize("case", [LEVEL, SIDE], ids=["impossible", "dearer"])
def test_the_step_told_lets_in_the_kit_told(case: tuple[str, ...]) -> None:
    text, advice = asked(*case)
    outing = edited(text, FILE, [step(advice)]).outing
    after = decide(outing, shipped())
    assert after.status == "best"
    found = advice.moves[0].found
    assert after.proof
    totals = after.proof.assessment.totals
    sums = {"cost": totals.price_cents, "mass": totals.mass_g}
    assert sums[advice.by] <= found.value(advice.by)


def test_a_name_with_a_comma_goes_by_its_number() -> None:
    _, advice = asked(*LEVEL)
    outing = advice.outing
    gear = next(load for load in outing.aboard if "," in load.name)
    alone = outing.model_copy(update={"aboard": (*outing.aboard[:2], gear)})
    move = replace(advice.moves[0], load=gear.name)
    assert move_setting(move, alone).startswith("aboard.3.x=+")


def test_in_inches_where_lengths_are_in_feet(tmp_path: Path) -> None:
    text, _ = asked(*SIDE)
    text = re.sub(r'"([\d.]+) m"', lambda found: f'"{float(found[1]) / 0.3048:.4f} ft"', text)
    file = tmp_path / "outing.toml"
    file.write_text(text, encoding="utf-8")
    told = keelwatt("pick", str(file), "--units", "us").stdout
    assert re.search(r"moving volunteer \(180.8 lb\) [\d.]+ in forward saves", told)
    setting = re.search(r"--set '(aboard.volunteer.x=\+[\d.]+ in)'", told)
    assert setting
    after = keelwatt("whatif", str(file), "--set", setting[1])
    assert after.returncode == 0, after.stderr
