"""Odds on screens of any width, as dots, and as data."""

import io
import json
import re
from collections.abc import Iterable
from dataclasses import replace
from functools import cache

import pytest
from rich.console import Console

import keelwatt.json
from chance.days_apart import CHOPPED, UNDERWAY, boat, only
from explain.sizes import DAY, FEW, SHELF
from keelwatt.chance.margins import Margin
from keelwatt.chance.odds import Boat, Chance
from keelwatt.chance.outlook import BINS, Outlook, outlook
from keelwatt.chance.sure import Sure, sure
from keelwatt.errors import InputError
from keelwatt.report import odds as screens
from keelwatt.report import sure as sure_report
from keelwatt.report.answer import Answer
from keelwatt.report.blocks import Block
from keelwatt.report.plots import dot_plot
from keelwatt.report.screen import Screen
from oracle.cheap_water import CheapAssessor
from oracle.one_of_each import CATALOG, KIT, with_leg, with_limits, with_part

WIDTHS = [40, 80, 120]


@cache
def result(name: str) -> Outlook:
    of = {
        "underway": boat(UNDERWAY, CHOPPED),
        "certain": boat(only(UNDERWAY), CHOPPED),
        "storm": boat(with_leg(headwind_m_s=9.0, duration_h=6.0), KIT),
        "top": boat(with_limits(top_speed_m_s=1.4), KIT),
    }[name]
    return outlook(of, CATALOG, 400)


@cache
def chosen(asked: float, small: bool = False) -> Sure:
    shelf = replace(SHELF, batteries=SHELF.batteries[:2]) if small else SHELF
    return sure(DAY, shelf, asked, scenarios=FEW)


def told_of(certain: Sure) -> Iterable[Block]:
    return sure_report.pick(Answer(certain.advice, certain))


def fits(width: int, blocks: Iterable[Block]) -> str:
    file = io.StringIO()
    Screen(Console(file=file, width=width, highlight=False, emoji=False)).print(blocks)
    lines = file.getvalue().splitlines()
    assert lines
    assert max(map(len, lines)) <= width
    return " ".join(" ".join(lines).split())


@pytest.mark.few(4)
@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", ["underway", "certain", "storm", "top"])
def test_odds_fit(name: str, width: int) -> None:
    told = fits(width, screens.odds(result(name)))
    assert "400 days" in told
    assert ("Top speed" in told) == (name == "top")
    assert ("does not even hold the boat" in told) == (name in {"storm", "top"})
    assert "Motor thrust" in told, "it is never known exactly"
    assert name != "certain" or "Battery capacity" not in told
    assert name != "underway" or "Battery capacity" in told
    assert "[odds]" in told


@pytest.mark.parametrize(
    ("reserve_kept", "not_flat", "chemistry", "warns"),
    [
        (4.0, -3.8, "agm", False),
        (4.0, -3.9, "agm", True),
        (-10.0, -10.0, "gel", True),
        (None, None, "agm", False),
        (-10.0, -10.0, "lfp", False),
    ],
)
def test_a_cold_beyond_the_table_is_warned_about(
    reserve_kept: float | None, not_flat: float | None, chemistry: str, warns: bool
) -> None:
    """IEEE 485's factors begin at 25 degF, -3.89 degC."""
    cold = Margin("cold", "degC", 15.0, -10.0, reserve_kept, not_flat, -10.0)
    catalog = with_part("batteries", chemistry=chemistry)
    of = replace(
        result("underway"), margins=(cold,), boat=Boat(CheapAssessor(UNDERWAY, catalog), CHOPPED)
    )
    assert ("lead-acid ends at -3.9 degC" in fits(80, screens.odds(of))) is warns


@pytest.mark.parametrize("width", WIDTHS)
def test_a_sure_kit_fits(width: int) -> None:
    told = fits(width, told_of(chosen(0.95)))
    assert "You asked for 95%." in told
    assert f"at least {chosen(0.95).needed} of {FEW} days" in told
    assert "Checked: it goes as planned on" in told
    assert "for the day as planned alone comes to" in told
    assert "FALLS SHORT" not in told


@pytest.mark.parametrize("width", WIDTHS)
def test_nothing_sure_enough_fits(width: int) -> None:
    told = fits(width, told_of(chosen(0.95, small=True)))
    assert "No kit in the catalog meets every limit both on the day as planned" in told
    assert "Without --sure" in told


def test_a_kit_that_falls_short_says_so() -> None:
    told = fits(80, told_of(replace(chosen(0.8), asked=0.999)))
    assert "FALLS SHORT" in told
    assert keelwatt.json.plain(replace(chosen(0.8), asked=0.999))["holds"] is False


def test_data_holds_what_the_screen_tells() -> None:
    of = result("underway")
    told = json.loads(keelwatt.json.text(keelwatt.json.answer("simulated", CATALOG, None, of)))
    assert told["status"] == "simulated"
    assert told["chances"]["as_planned"]["hits"] == of.chances.as_planned.hits
    assert told["chances"]["top_speed"] is None
    assert sum(bin_["days"] for bin_ in told["histogram"]) == of.days == told["days"]
    assert len(told["histogram"]) == BINS
    assert [left["quantile"] for left in told["left"]] == sorted(
        left["quantile"] for left in told["left"]
    )
    assert {share["unknown"] for share in told["variance_shares"]} == {
        "drag", "wind", "stream", "capacity", "temperature", "length", "thrust"
    }  # fmt: skip
    assert told["spreads"]["wind_spread"] == 0.3
    assert told["margins"][0]["strain"] == "headwind"


def test_what_is_left_stands_under_its_own_head() -> None:
    told = fits(80, screens.odds(result("underway")))
    assert re.search(r"Left Of a full battery Charge .*?Reserve \d+% [\d.]+ Ah", told)


def test_the_seed_decides_the_days() -> None:
    of = result("underway").boat

    def told(seed: int) -> str:
        found = outlook(of, CATALOG, 300, seed)
        return fits(80, screens.odds(found))

    assert told(7) == told(7) != told(8)


@pytest.mark.parametrize(("days", "says"), [(99, "too few"), (1_000_001, "more days")])
def test_days_within_reason(days: int, says: str) -> None:
    with pytest.raises(InputError) as caught:
        outlook(result("underway").boat, CATALOG, days)
    assert says in caught.value.problems[0].what


def test_data_of_a_sure_kit() -> None:
    told = json.loads(keelwatt.json.text(chosen(0.95)))
    assert told["holds"] is True
    assert told["chances"]["as_planned"]["share"] >= 0.95 == told["asked"]
    assert told["as_planned_alone"]["kit"]["battery"]["id"] == "ah-100"
    none = json.loads(keelwatt.json.text(chosen(0.95, small=True)))
    assert none["chances"] is None
    assert 0.0 < none["reachable"] < 0.95


@pytest.mark.parametrize(
    ("hits", "says", "percent"),
    [
        (1000, "every day drawn", "100%"),
        (0, "on no day drawn", "0%"),
        (999, "not on 1 day in 1,000", "99.9%"),
        (875, "not on 1 day in 8", "87.5%"),
        (250, "on 1 day in 4", "25.0%"),
    ],
)
def test_a_chance_in_words(hits: int, says: str, percent: str) -> None:
    chance = Chance(hits, 1000)
    assert (screens.in_words(chance), screens.percent(chance.share)) == (says, percent)


def test_next_to_all_is_not_all() -> None:
    assert screens.percent(0.99999) == "over 99.9%"
    assert screens.percent(0.00001) == "under 0.1%"
    assert screens.within(Chance(10_000, 10_000)) == "99.9 to 100.0%"


def test_dots_stand_over_what_is_left() -> None:
    lines = dot_plot([0.0, 0.25, 0.5, 0.5, 1.0], 0.4, width=21)
    assert lines == [
        "          o",
        "F    x    o         o",
        "-" * 21,
        "0%               100%",
        "        ^ reserve",
    ]


def test_the_mark_stands_under_its_cell_wherever_that_is() -> None:
    for width in (10, 21, 40, 60):
        for keep in (0.0, 0.1, 0.5, 0.9, 1.0):
            *_, mark = dot_plot([0.0, 1.0], keep, width=width)
            assert mark.index("^") == round(keep * (width - 1))
            assert len(mark) <= width


def test_dots_count_whatever_the_width() -> None:
    shares = [result("underway").left_at((at + 0.5) / 50)[0] for at in range(50)]
    for width in (10, 38, 60):
        dots = "".join(dot_plot(shares, 0.6, width=width)[:-3])
        assert sum(letter in "Fxo" for letter in dots) == 50
