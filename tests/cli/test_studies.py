"""stretch, tradeoff and why as a user runs them."""

import json
from pathlib import Path

import pytest

from remembered import here
from running import keelwatt

ROOT = Path(__file__).parents[2]
OUTING = "examples/reservoir-sampling/outing.toml"
DINGHY = "examples/harbour-dinghy/outing.toml"
NOTHING = "examples/reservoir-winter-impossible/outing.toml"

STOPPED = """
from keelwatt.explain.climb import Climb
walk = Climb.walk
def stopping(climb):
    yield next(walk(climb))
    raise KeyboardInterrupt
Climb.walk = stopping
"""


CALLS = {
    "hours": ("stretch", OUTING, "--over", "hours"),
    "speed": ("stretch", DINGHY, "--over", "speed", "--from", "95%", "--to", "4 km/h"),
    "nothing": ("stretch", NOTHING, "--over", "budget"),
    "tradeoff": ("tradeoff", DINGHY, "--top", "4", "--within", "3%"),
    "no tradeoff": ("tradeoff", NOTHING),
    "beaten": ("why", OUTING, "lfp-12v-100ah"),
    "shut out": ("why", OUTING, "cable-4mm2-60c"),
    "none with it": ("why", NOTHING, "lfp-24v-50ah"),
    "unknown": ("why", OUTING, "lfp-12v-100h"),
}


@pytest.mark.few(1)
@pytest.mark.parametrize("name", ["hours", "tradeoff"])
def test_plain_ascii_terminals_are_served(name: str) -> None:
    result = keelwatt(*CALLS[name], LC_ALL="C", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert result.returncode == 0
    assert "Traceback" not in result.stderr
    assert result.stdout.isascii()
    assert "?" not in result.stdout


@pytest.mark.parametrize(
    ("name", "status"),
    [
        ("speed", 0),
        ("nothing", 4),
        ("tradeoff", 0),
        ("no tradeoff", 4),
        ("none with it", 4),
        ("unknown", 3),
    ],
)
def test_json_is_alone_on_stdout_with_the_exit_status(name: str, status: int) -> None:
    result = here(*CALLS[name], "--json")
    data = json.loads(result.stdout)
    assert result.stderr == ""
    assert result.exit_code == status
    assert data["format"] == 1
    assert data["status"] == {0: "best", 3: "invalid", 4: "impossible"}[status]


def test_the_asked_hours_fall_on_the_kit_that_pick_chooses() -> None:
    picked = json.loads(here("pick", OUTING, "--json").stdout)
    data = json.loads(here(*CALLS["hours"], "--json").stdout)
    (step,) = [s for s in data["steps"] if s["from"] < data["asked"] <= s["to"]]
    assert step["kit"] == picked["kit"]
    assert data["unit"] == "h"
    assert (data["steps"][0]["from"], data["steps"][-1]["to"]) == (1.0, 12.0)
    ends = [(a["to"], b["from"]) for a, b in zip(data["steps"], data["steps"][1:], strict=False)]
    assert all(end == start for end, start in ends)
    prices = [s["totals"]["price"] for s in data["steps"] if s["kit"]]
    assert prices == sorted(prices)


def test_a_screen_says_what_to_do_next() -> None:
    first = here(*CALLS["hours"]).stdout
    told = here(*CALLS["hours"], "--full").stdout
    for screen in (first, told):
        assert "The cheapest kit for the 5 h 41 asked comes to 695.40 crowns" in screen
        assert "serves up to 6 h 35." in " ".join(screen.split())
    assert first.count("\n") <= 24 < told.count("\n")
    assert "Ask for more, up to 6 h 40: 708.00 crowns, 47.7 kg (12.60 more)." in told
    assert "^ asked" in told


def test_nothing_fits_points_to_the_ways_out() -> None:
    told = here(*CALLS["nothing"])
    assert "keelwatt" in told.stdout
    assert "ways out" in told.stdout


def test_a_stopped_stretch_prints_what_it_has() -> None:
    result = keelwatt(*CALLS["hours"], "--json", before=STOPPED)
    data = json.loads(result.stdout)
    assert result.returncode == 5
    assert (data["status"], data["partial"]) == ("unproved", True)
    assert any(step["kit"] for step in data["steps"])
    assert not data["steps"][-1]["known"]
    screen = keelwatt(*CALLS["hours"], before=STOPPED)
    assert screen.returncode == 5
    assert "not searched" in screen.stdout
    assert "Stopped before the end" in screen.stdout


def test_stopped_before_anything_was_found() -> None:
    before = "import keelwatt.explain.advise\ndef stop(*_, **__): raise KeyboardInterrupt\n"
    before += "keelwatt.explain.advise.decide = stop"
    result = keelwatt(*CALLS["tradeoff"], "--json", before=before)
    assert result.returncode == 5
    assert json.loads(result.stdout)["status"] == "unproved"
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--over", "hours", "--from", "5 kg"), "--from"),
        (("--over", "hours", "--from", "6h", "--to", "2h"), "nothing to stretch over"),
    ],
)
def test_a_bad_range_is_told(arguments: tuple[str, ...], says: str) -> None:
    result = here("stretch", OUTING, *arguments)
    assert result.exit_code == 3
    assert says in " ".join(result.stderr.split())
    assert "Traceback" not in result.stderr


def test_a_wish_that_is_none_is_wrong_usage() -> None:
    assert here("stretch", OUTING, "--over", "colour").exit_code == 2
    assert here("tradeoff", OUTING, "--within", "many").exit_code == 3


def test_an_unknown_part_gets_a_hint() -> None:
    assert "did you mean lfp-12v-100ah?" in here(*CALLS["unknown"]).stderr


def test_why_tells_rule_number_and_bound() -> None:
    data = json.loads(here(*CALLS["shut out"], "--json").stdout)
    assert data["verdict"] == "shut_out"
    assert {rule["rule"] for rule in data["rules"]} == {"voltage_drop", "ampacity"}
    misses = [abs(rule["value"] / rule["bound"] - 1.0) for rule in data["rules"]]
    assert misses == sorted(misses)
    told = here(*CALLS["shut out"]).stdout
    assert "Cable ampacity: has 25 A, the bound is 29.0 A" in told


def test_why_tells_the_price_that_would_win() -> None:
    data = json.loads(here(*CALLS["beaten"], "--json").stdout)
    assert data["verdict"] == "beaten"
    assert data["difference"]["price"] == pytest.approx(142.70)
    assert (data["price"], data["wins_at"]) == (619.0, 476.30)


def test_pick_can_show_the_runners_up() -> None:
    data = json.loads(here("pick", DINGHY, "--json", "--top", "3").stdout)
    assert data["best_kits"][0]["behind"] == 0.0
    assert len(data["best_kits"]) == 3
    assert data["best_kits"][0]["kit"] == data["kit"]


def test_within_a_share_are_those_that_lie_no_further_behind_the_best() -> None:
    def behind(*asked: str) -> list[float]:
        told = json.loads(keelwatt("tradeoff", OUTING, *asked, "--json").stdout)
        return [kit["behind"] for kit in told["best_kits"]]

    near = behind("--within", "5%")
    assert len(near) > 1
    assert max(near) <= 0.05
    *first, next_ = behind("--within", "5%", "--top", str(len(near) + 1))
    assert first == near
    assert next_ > 0.05
