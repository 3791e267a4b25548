"""keelwatt whatif as a user runs it."""

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import Result

from keelwatt.files.outing import read_outing
from remembered import here

ROOT = Path(__file__).parents[2]
OUTING = str(ROOT / "examples/reservoir-sampling/outing.toml")


def whatif(*arguments: str, columns: int = 80) -> Result:
    return here("whatif", *arguments, columns=columns)


def words(result: Result) -> str:
    """The text without its line breaks."""
    return " ".join(result.stdout.split())


def test_it_answers_in_a_sentence_and_then_in_tables() -> None:
    result = whatif(OUTING, "--set", "hours=+2h", "--full")
    assert result.exit_code == 0
    assert words(result).startswith(
        "Reservoir sampling round With 2h more on the water: buy Chopper motor 12 V 150 N, short "
        "shaft instead of Five-step motor 12 V 160 N, leave out Open chopper 12-24 V 50 A, with "
        "another cable; 48.60 crowns more, 1.7 kg lighter."
    )
    headings = [
        "Changed in the outing",
        "What to buy instead",
        "Together",
        "Room under every limit",
    ]
    places = [result.stdout.index(f"\n\n{heading}") for heading in headings]
    assert places == sorted(places)
    assert "To buy, crowns     695.40   744.00   +48.60" in result.stdout
    assert "\n- Five-step motor 12 V 160 N" in result.stdout
    assert "\n+ Chopper motor 12 V 150 N" in result.stdout


def test_an_impossible_outing_is_explained() -> None:
    result = whatif(OUTING, "--set", "budget=100")
    assert result.exit_code == 4
    assert "With budget 100: no kit meets every limit any more." in words(result)
    assert "Ways out" in result.stdout
    assert "Budget 100.00 ->" in result.stdout


def test_data() -> None:
    result = whatif(OUTING, "--set", "hours=+2h", "--json")
    assert result.exit_code == 0
    assert result.stderr == ""
    data = json.loads(result.stdout)
    assert (data["format"], data["status"]) == (1, "best")
    assert data["difference"]["price"] == pytest.approx(48.6)
    assert data["after"]["totals"]["price"] - data["before"]["totals"]["price"] == pytest.approx(
        48.6
    )
    assert {
        "kind": "motor",
        "before": "motor-12v-160n-stepped",
        "after": "motor-12v-150n-chopper",
    } in [{key: part[key] for key in ("kind", "before", "after")} for part in data["parts"]]
    room = {limit["name"]: (limit["before"], limit["after"]) for limit in data["room"]}
    limits = {limit["name"]: limit["room"] for limit in data["after"]["limits"]}
    assert {name: after for name, (_, after) in room.items() if after is not None} == limits
    assert data["edits"][1] == {
        "key": "leg.between stations.hours",
        "old": "2 h 45 min",
        "new": "3 h 43.045 min",
    }


def test_problems_as_text_and_as_data() -> None:
    arguments = (OUTING, "--set", "bugdet=100", "--set", "lift=3", "--catalog", "no-such-folder")
    told = whatif(*arguments)
    assert told.exit_code == 3
    assert told.stdout == ""
    assert "did you mean budget?" in told.stderr
    assert "no-such-folder" in told.stderr
    data = json.loads(whatif(*arguments, "--json").stdout)
    assert data["status"] == "invalid"
    assert [problem["key"] for problem in data["problems"]][:2] == ["bugdet", "lift"]


def test_wrong_usage() -> None:
    assert whatif(OUTING).exit_code == 2
    assert whatif("--set", "hours=+2h").exit_code == 2


@pytest.fixture
def own(tmp_path: Path) -> Path:
    return Path(shutil.copy(OUTING, tmp_path / "outing.toml"))


def test_nothing_is_written_unasked(own: Path) -> None:
    before = own.read_bytes()
    result = whatif(str(own), "--set", "lift=24 kg")
    assert "add --write" in words(result)
    assert own.read_bytes() == before
    assert [*own.parent.iterdir()] == [own]


def test_written_it_is_the_outing_and_the_old_one_is_kept(own: Path) -> None:
    before = own.read_bytes()
    result = whatif(str(own), "--set", "lift=24 kg", "--write")
    assert result.exit_code == 0
    assert '+lift = "24 kg"' in result.stdout
    assert f"keelwatt pick {own}" in words(result)
    assert own.with_name("outing.toml.bak").read_bytes() == before
    assert read_outing(own).limits.lift_kg == 24
    again = whatif(str(own), "--set", "lift=24 kg", "--write")
    assert "You already have that" in words(again)
    assert not own.with_name("outing.toml.bak2").exists()


def test_a_change_that_no_kit_meets_may_be_written_and_is_told_so(own: Path) -> None:
    result = whatif(str(own), "--set", "budget=100", "--write", "--json")
    assert result.exit_code == 4
    data = json.loads(result.stdout)
    assert (data["written"], data["backup"]) == (True, f"{own}.bak")
    assert read_outing(own).limits.budget_cents == 100_00


def test_a_rule_of_the_bill_alone_changes_small_parts() -> None:
    dinghy = str(ROOT / "examples/harbour-dinghy/outing.toml")
    result = whatif(dinghy, "--set", "policy.disconnects=2")
    assert "keep the main parts, with other small ones; 11.00 crowns more" in words(result)
    assert "+ 2 pairs Two-pole battery plug" in result.stdout
