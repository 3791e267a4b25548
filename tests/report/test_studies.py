"""Staircases, fronts and single parts on screens of any width, and as data."""

import io
import json
from collections.abc import Iterable
from functools import cache
from math import floor
from pathlib import Path

import pytest
from rich.console import Console

import keelwatt.json
from keelwatt import words
from keelwatt.explain.advise import Advice
from keelwatt.explain.stretch import Over, Stretch, stretch
from keelwatt.explain.tradeoff import best_kits
from keelwatt.explain.tradeoff import tradeoff as trade
from keelwatt.explain.why import Why, why
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.outing import read_outing
from keelwatt.limits import OVERS
from keelwatt.report import plots, tradeoff
from keelwatt.report import stretch as stretch_report
from keelwatt.report import why as why_report
from keelwatt.report.blocks import Block
from keelwatt.report.first import LINES
from keelwatt.report.screen import Screen
from remembered import decide

EXAMPLES = Path(__file__).parents[2] / "examples"
SAMPLING, DINGHY, CANOE = "reservoir-sampling", "harbour-dinghy", "bird-count-canoe"
NOTHING = "reservoir-winter-impossible"

PARTS = {
    "in the kit": (SAMPLING, "motor-12v-160n-stepped"),
    "shut out by rules": (SAMPLING, "cable-4mm2-60c"),
    "beaten": (SAMPLING, "lfp-12v-100ah"),
    "breaks a wish": (SAMPLING, "lfp-24v-50ah"),
    "breaks a rule": (SAMPLING, "agm-12v-150ah"),
    "none with it": (NOTHING, "lfp-24v-50ah"),
}


PACE = "of the wished speed"


@cache
def shipped() -> Catalog:
    return read_catalog(shipped_catalog())


@cache
def answer(name: str) -> Advice:
    return decide(read_outing(EXAMPLES / name / "outing.toml"), shipped())


@cache
def stretched(name: str, over: Over) -> Stretch:
    return stretch(answer(name), over)


@cache
def asked(name: str, part: str) -> Why:
    return why(answer(name).outing, shipped(), part)


def printed(width: int, blocks: Iterable[Block], *, full: bool = True) -> list[str]:
    """What a screen of a width shows."""
    file = io.StringIO()
    Screen(Console(file=file, width=width, highlight=False, emoji=False)).print(blocks, full=full)
    return file.getvalue().splitlines()


def fits(width: int, blocks: Iterable[Block]) -> str:
    """What is told; a command to paste is never broken into lines."""
    lines = printed(width, blocks)
    assert max(len(line) for line in lines if "keelwatt " not in line) <= width
    return " ".join(" ".join(lines).split())


@pytest.mark.few(26)
@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize("over", OVERS)
@pytest.mark.parametrize("name", [SAMPLING, DINGHY])
def test_staircases_fit(name: str, over: Over, width: int) -> None:
    result = stretched(name, over)
    told = fits(width, stretch_report.stretch(answer(name), result))
    assert ("asked" in told) == (result.asked is not None)
    blocks = stretch_report.stretch(answer(name), result)
    first = printed(width, blocks, full=False)
    assert max(len(line) for line in first if ": keelwatt" not in line) <= width
    assert width != 80 or len(first) <= LINES
    assert ("asked" in " ".join(first)) == (result.asked is not None)


@pytest.mark.parametrize("width", [40, 80, 120])
def test_a_staircase_without_a_step_says_where_to_look(width: int) -> None:
    result = stretched(NOTHING, "budget")
    told = fits(width, stretch_report.stretch(answer(NOTHING), result))
    assert "They and the ways out: keelwatt pick" in told


@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize("name", [SAMPLING, DINGHY, CANOE, NOTHING])
def test_fronts_fit(name: str, width: int) -> None:
    advice = answer(name)
    front, runners = trade(advice), best_kits(advice, 5)
    told = fits(width, tradeoff.tradeoff(advice, front, runners, tradeoff.NEAR))
    if name == NOTHING:
        assert "No kit meets every limit" in told
    else:
        assert "The best kits that differ" in told


@pytest.mark.few(6)
@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize("name", PARTS)
def test_parts_fit(name: str, width: int) -> None:
    result = asked(*PARTS[name])
    told = fits(width, why_report.why(result))
    says = {
        "in the kit": "It is in the cheapest kit: 1 x, stern, 148.00 crowns.",
        "shut out by rules": "the bound is 29.0 A (a motor of 26.4 A",
        "beaten": "the best kit with it is 142.70 more and 31.6 kg lighter.",
        "breaks a wish": "It could be in the kit if you loosen",
        "breaks a rule": "With it these clash, and rules are among them",
        "none with it": "none with this part either",
    }[name]
    assert says in told


def test_breakpoints_are_rounded_to_where_the_kit_still_does() -> None:
    hours = stretched(SAMPLING, "hours")
    for step in hours.steps[:-1]:
        h, _, minutes = stretch_report.edge(hours, step.end).replace(" min", "").partition(" h ")
        shown = int(h.removesuffix(" h")) + int(minutes or 0) / 60
        assert shown == pytest.approx(floor(60 * step.end) / 60)
    mass = stretched(SAMPLING, "kit_mass")
    for step in mass.climbs:
        assert float(stretch_report.edge(mass, step.start).removesuffix(" kg")) >= step.start - 1e-9


@pytest.mark.parametrize(
    ("value", "unit", "down", "up"),
    [
        (6.1154, "h", "6 h 06", "6 h 07"),
        (33.362, "kg", "33.36 kg", "33.37 kg"),
        (399.64, "money", "399.64", "399.64"),
        (
            0.98446,
            "of the wished speed",
            "98.4% of the planned speed",
            "98.5% of the planned speed",
        ),
        (0.2, "share", "20.0%", "20.0%"),
    ],
)
def test_amounts_are_rounded_to_the_safe_side(value: float, unit: str, down: str, up: str) -> None:
    assert words.safely(value, unit, up=False) == down
    assert words.safely(value, unit, up=True) == up


def test_partial_staircases_tell_what_was_not_searched() -> None:
    advice = answer(SAMPLING)

    def stop(_: float) -> None:
        raise KeyboardInterrupt

    result = stretch(advice, "hours", progress=stop)
    assert result.partial
    assert result.climbs
    assert not result.steps[-1].known
    whole = stretched(SAMPLING, "hours")
    assert set(result.climbs) <= set(whole.steps) | {result.climbs[-1]}
    told = fits(80, stretch_report.stretch(advice, result))
    assert "not searched" in told
    assert result.status == "unproved"


def test_progress_comes_to_its_end() -> None:
    told: list[float] = []
    stretch(answer(SAMPLING), "top_speed", progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0


@pytest.mark.parametrize("over", OVERS)
def test_data_holds_every_step(over: Over) -> None:
    result = stretched(SAMPLING, over)
    told = json.loads(keelwatt.json.text(result))
    assert len(told["steps"]) == len(result.steps) == len(result.frame())
    assert told["steps"][0]["from"] == result.low
    assert told["unit"] == result.unit


@pytest.mark.parametrize("name", PARTS)
def test_data_of_a_part(name: str) -> None:
    result = asked(*PARTS[name])
    told = json.loads(keelwatt.json.text(result))
    assert told["verdict"] == result.verdict.replace(" ", "_")
    assert (told["rival"]["kit"] is None) == (result.rival is None)
    assert bool(told["ways_out"]) == (name in {"breaks a wish", "none with it"})


def test_a_staircase_is_drawn_to_scale() -> None:
    x = plots.Axis(0.0, 10.0, ("0", "5", "10"))
    y = plots.Axis(0.0, 100.0, ("0", "50", "100"))
    steps = [(0.0, 5.0, 0.0), (5.0, 10.0, 100.0)]
    lines = plots.staircase(steps, x, y, 25, True, mark=9.5)
    assert lines[0] == "100 |          ----------"
    assert lines[plots.HEIGHT - 1] == "  0 |----------|"
    assert lines[plots.HEIGHT] == "    +" + "-" * 20
    assert lines[-1].endswith("asked ^")
    assert all("|" in line for line in lines[: plots.HEIGHT])


def test_points_are_numbered() -> None:
    x = plots.Axis(0.0, 10.0, ("0", "5", "10"))
    y = plots.Axis(0.0, 100.0, ("0", "50", "100"))
    lines = plots.points([(10.0, 0.0), (0.0, 100.0)], x, y, 25, True)
    assert lines[0] == "100 |2"
    assert lines[plots.HEIGHT - 1] == "  0 |" + " " * 19 + "1"
    assert [line[:3] for line in lines[: plots.HEIGHT : 5]] == ["100", " 50", "  0"]
