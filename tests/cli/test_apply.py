"""keelwatt pick --apply as a user runs it."""

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import Result

from remembered import here

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("apply")


@pytest.fixture
def outing(folder: Path) -> Path:
    """Under the same name for every test, and alone there, so that what is asked is the same."""
    for left in folder.iterdir():
        left.unlink()
    path = folder / "outing.toml"
    path.write_bytes((EXAMPLES / "reservoir-winter-impossible/outing.toml").read_bytes())
    return path


def pick(*arguments: object, columns: int = 80) -> Result:
    return here("pick", *arguments, columns=columns)


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_it_shows_writes_and_keeps_a_backup(outing: Path) -> None:
    old = outing.read_bytes()
    result = pick(outing, "--apply", 2, columns=60)
    assert result.exit_code == 0
    shown = result.stdout.splitlines()
    assert all(len(line) <= 60 for line in shown if not line.startswith("  keelwatt pick"))
    assert '+budget = "1103"' in shown
    assert shown.index('-budget = "500"') < next(
        number for number, line in enumerate(shown) if line.startswith("Written to")
    )
    assert "Now there is a kit: 1,102.30 crowns to buy" in result.stdout
    assert names(outing.parent) == {"outing.toml", "outing.toml.bak"}
    assert outing.with_name("outing.toml.bak").read_bytes() == old
    again = pick(outing, "--apply", 1)
    assert again.exit_code == 3
    assert "the outing is not impossible" in " ".join(again.stderr.split())
    assert names(outing.parent) == {"outing.toml", "outing.toml.bak"}


def test_a_way_out_that_is_not_there(outing: Path) -> None:
    old = outing.read_bytes()
    result = pick(outing, "--apply", 9, "--json")
    assert result.exit_code == 3
    (problem,) = json.loads(result.stdout)["problems"]
    assert problem["file"] == "--apply"
    assert "choose from 1 to 5" in problem["remedy"]
    assert pick(outing, "--apply", 0).exit_code == 2
    assert pick(outing, "--apply", "first").exit_code == 2
    assert outing.read_bytes() == old


def test_data(outing: Path) -> None:
    result = pick(outing, "--apply", 5, "--json")
    assert result.exit_code == 0
    data = json.loads(result.stdout)
    assert data["status"] == "best"
    assert json.loads(pick(outing, "--json").stdout)["kit"] == data["kit"]
    assert data["applied"]["written"] is True
    assert data["applied"]["backup"] == str(outing) + ".bak"
    edits = {edit["key"]: edit["new"] for edit in data["applied"]["edits"]}
    assert edits == {
        "limits.budget": "1459",
        "limits.kit_mass": "30.7 kg",
        "limits.lift": "21.9 lb",
    }


def test_a_failure_on_the_way_leaves_the_outing_alone(
    outing: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    old = outing.read_bytes()
    monkeypatch.setattr(os, "replace", fail)
    result = pick(outing, "--apply", 2)
    assert result.exit_code == 3
    assert "Permission denied" in result.stderr
    assert outing.read_bytes() == old
    assert names(outing.parent) == {"outing.toml"}


@pytest.mark.few(1)
@pytest.mark.parametrize(("answer", "status"), [("y", 0), ("", 4)])
def test_a_person_is_asked_first(outing: Path, answer: str, status: int) -> None:
    old = outing.read_bytes()
    ours, theirs = pty.openpty()
    command = "from keelwatt.cli import main; main()"
    with subprocess.Popen(
        [sys.executable, "-c", command, "pick", str(outing), "--apply", "2"],
        stdin=theirs,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        os.write(ours, f"{answer}\n".encode())
        stdout, stderr = process.communicate(timeout=60)
    os.close(ours)
    os.close(theirs)
    assert process.returncode == status, stderr
    assert "Write this? [y/N]" in stdout
    assert (outing.read_bytes() != old) == (status == 0)
    assert (names(outing.parent) == {"outing.toml"}) == (status == 4)
    assert ("Nothing was written." in stdout) == (status == 4)
