"""worth and compare as a user runs them."""

import json
from pathlib import Path

import pytest

from remembered import here

OUTING = "examples/reservoir-sampling/outing.toml"
CANOE = "examples/bird-count-canoe/outing.toml"
WINTER = "examples/reservoir-winter-impossible/outing.toml"
KIT = "examples/reservoir-sampling/kit.json"
CHOPPER = "chopper-12-24v-50a"

CALLS = {
    "chopper": ("worth", OUTING, CHOPPER),
    "lighter": ("worth", CANOE, "chopper-12-24v-40a"),
    "in a kit": ("worth", OUTING, "lfp-12v-100ah", "--kit", KIT),
    "shut out": ("worth", OUTING, "motor-48v-480n-chopper"),
    "two kits": ("compare", OUTING, "best", "2xflooded-12v-50ah"),
    "five kits": ("compare", OUTING, "best", KIT, "agm-12v-100ah", "lfp-12v-80ah", "gel-12v-85ah"),
}


@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize("name", CALLS)
def test_no_line_is_wider_than_the_screen(name: str, width: int) -> None:
    for full in ((), ("--full",)):
        result = here(*CALLS[name], *full, columns=width)
        assert result.exit_code == 0, result.stderr
        for line in result.stdout.splitlines():
            assert len(line) <= width or ": keelwatt " in line, line


@pytest.mark.parametrize("name", CALLS)
def test_the_first_screen_is_one_screen(name: str) -> None:
    assert here(*CALLS[name]).stdout.count("\n") <= 24


def test_the_chopper_is_told_in_hours_and_money() -> None:
    told = " ".join(here(*CALLS["chopper"]).stdout.split())
    assert "In the same kit it buys 1 h 57 more on the water for 80.40 crowns" in told
    assert "it buys 2 min more on the water and saves 38.40 crowns" in told
    assert "It is in the cheapest kit." in told
    assert "4 h 38 (too low)" in told


def test_why_points_to_it() -> None:
    told = here("why", CANOE, "chopper-12-24v-40a").stdout
    assert f"What it buys: keelwatt worth {CANOE} chopper-12-24v-40a" in told


def test_it_speaks_of_your_kit_and_of_what_must_change_with_the_part() -> None:
    told = " ".join(here(*CALLS["in a kit"]).stdout.split())
    assert "In your kit, instead of Flooded leisure 12 V 75 Ah," in told
    assert "Changed with it: box, controller and charger." in told
    assert "Next: keelwatt worth" in told
    assert f"--kit {KIT} --full" in told


def test_what_cannot_go_in_says_which_rule() -> None:
    told = " ".join(here(*CALLS["shut out"]).stdout.split())
    assert "Battery and motor voltage: at most 24 V asked, 48 V found." in told
    assert "Why: keelwatt why" in told


def test_a_part_refused_in_the_outing_is_asked_about_all_the_same(tmp_path: Path) -> None:
    outing = tmp_path / "outing.toml"
    text = Path(OUTING).read_text(encoding="utf-8")
    outing.write_text(f'{text}\n[parts]\nrefuse = ["{CHOPPER}"]\n', encoding="utf-8")
    told = json.loads(here("worth", str(outing), CHOPPER, "--json").stdout)
    assert told["set_aside"] == [CHOPPER]
    assert told["best_kits"]["with"]["holds"]
    assert told["best_kits"]["with"]["kit"]["controller"] == CHOPPER
    assert "were set aside" in " ".join(here("worth", str(outing), CHOPPER).stdout.split())


def test_it_is_in_your_units() -> None:
    told = here(*CALLS["chopper"], "--units", "us").stdout
    assert "mph" in told
    assert " lb" in told
    assert "km/h" not in told
    assert " kg" not in told


def test_where_only_another_control_will_do_it_is_asked_of_the_best_kit() -> None:
    told = here("worth", "examples/bird-count-canoe-owned/outing.toml", "chopper-12-24v-40a")
    assert told.exit_code == 0
    said = " ".join(told.stdout.split())
    assert "It cannot go into the best kit. Controller's current: at least" in said
    assert "No kit with it meets every limit, and none without any controller." in said
    assert "Same kit without" in said


def test_an_outing_no_kit_meets_is_status_4() -> None:
    result = here("worth", WINTER, "lfp-12v-100ah")
    assert result.exit_code == 4
    assert "with it or without it" in result.stdout
    result = here("compare", WINTER, "1xlfp-12v-100ah", "agm-12v-100ah", "--json")
    assert result.exit_code == 4
    assert json.loads(result.stdout)["status"] == "fails"


def test_kits_are_the_same_by_file_and_by_name() -> None:
    told = json.loads(here("compare", OUTING, KIT, "--json").stdout)
    best, kept = told["kits"]
    assert (best["name"], kept["name"]) == ("best", KIT)
    picked = json.loads(here("pick", OUTING, "--json").stdout)
    assert best["kit"] == picked["kit"]
    assert best["totals"]["price"] == picked["totals"]["price"]
    hours = next(limit for limit in best["limits"] if limit["name"] == "hours")
    assert best["hours"] == hours["has"]


def test_ids_give_number_and_parts() -> None:
    asked = "2xflooded-12v-50ah+motor-12v-130n-stepped"
    told = json.loads(here("compare", OUTING, "best", asked, "--json").stdout)
    kit = told["kits"][1]["kit"]
    assert kit["battery"]["series"] * kit["battery"]["parallel"] == 2
    assert (kit["battery"]["id"], kit["motor"]["id"]) == (
        "flooded-12v-50ah",
        "motor-12v-130n-stepped",
    )
    assert not told["kits"][1]["holds"]
    assert "hours" in told["kits"][1]["broken"]


def test_the_fewest_words_for_the_best() -> None:
    told = here("compare", OUTING, "best", KIT, "lfp-12v-100ah").stdout
    assert "kit 1 costs least, kit 3 weighs least and runs longest." in " ".join(told.split())


def test_every_problem_of_every_kit_comes_at_once() -> None:
    two = "fuse-blade-40a+fuse-bolt-40a"
    result = here("compare", OUTING, "lfp-12v-100a", "none.json", two, "9xlfp-12v-100ah")
    assert result.exit_code == 3
    assert result.stdout == ""
    told = " ".join(result.stderr.split())
    for words in (
        "did you mean lfp-12v-100ah?",
        "none.json is not there",
        "a kit holds one of the fuses only",
        "'9xlfp-12v-100ah' is in no kit that keeps the rules",
        "4 problems to put right",
    ):
        assert words in told
    result = here("worth", OUTING, "lfp-12v-100a", "--kit", "none.json")
    assert result.exit_code == 3
    assert "2 problems to put right" in result.stderr


def test_the_best_of_nothing_is_a_problem() -> None:
    result = here("compare", WINTER, KIT)
    assert result.exit_code == 3
    assert f"keelwatt pick {WINTER}" in result.stderr


def test_the_outings_own_parts_are_checked_first(tmp_path: Path) -> None:
    outing = tmp_path / "outing.toml"
    text = Path(OUTING).read_text(encoding="utf-8")
    outing.write_text(f'{text}\n[parts]\nown = ["lfp-12v-50a"]\n', encoding="utf-8")
    for asked in (("worth", str(outing), CHOPPER), ("compare", str(outing), KIT)):
        result = here(*asked)
        assert result.exit_code == 3
        assert "did you mean lfp-12v-50ah?" in result.stderr
