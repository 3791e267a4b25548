"""odds and pick --sure as a user runs them."""

import json
from pathlib import Path

import pytest

from running import keelwatt

ROOT = Path(__file__).parents[2]
OUTING = "examples/reservoir-sampling/outing.toml"


@pytest.fixture(scope="module")
def sure() -> dict[str, object]:
    """What ``pick --sure 85% --json`` prints."""
    result = keelwatt("pick", OUTING, "--sure", "85%", "--json")
    assert (result.returncode, result.stderr) == (0, "")
    told: dict[str, object] = json.loads(result.stdout)
    return told


@pytest.fixture(scope="module")
def kit(tmp_path_factory: pytest.TempPathFactory, sure: dict[str, object]) -> str:
    path = tmp_path_factory.mktemp("odds") / "kit.json"
    path.write_text(json.dumps(sure), encoding="utf-8")
    return str(path)


def test_pick_sure_and_odds_tell_the_same_chance(sure: dict[str, object], kit: str) -> None:
    result = keelwatt("odds", OUTING, "--kit", kit, "--json")
    assert (result.returncode, result.stderr) == (0, "")
    told = json.loads(result.stdout)
    assert told["kit"] == sure["kit"]
    of_pick = sure["sure"]
    assert isinstance(of_pick, dict)
    assert of_pick["chances"]["as_planned"]["share"] >= 0.85
    assert told["chances"] == of_pick["chances"]
    assert told["days"] == 10_000
    assert {*told["left"][0]} == {"quantile", "share", "left_ah"}


def test_a_plain_narrow_ascii_terminal_is_served(kit: str) -> None:
    result = keelwatt(
        "odds", OUTING, "--kit", kit, LC_ALL="C", PYTHONIOENCODING="ascii", PYTHONUTF8="0",
        COLUMNS="40",
    )  # fmt: skip
    assert (result.returncode, result.stderr) == (0, "")
    assert result.stdout.isascii()
    assert max(map(len, result.stdout.splitlines())) <= 40


def test_every_problem_at_once(tmp_path: Path) -> None:
    result = keelwatt("pick", str(tmp_path / "none.toml"), "--sure", "95", "--apply", "1", "--json")
    assert result.returncode == 3
    files = [problem["file"] for problem in json.loads(result.stdout)["problems"]]
    assert files == [str(tmp_path / "none.toml"), "--sure"]


def test_days_within_reason(kit: str) -> None:
    result = keelwatt("odds", OUTING, "--kit", kit, "--days", "5")
    assert result.returncode == 3
    assert "too few days" in " ".join(result.stderr.split())
    assert result.stdout == ""
