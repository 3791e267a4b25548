"""keelwatt tune as a user runs it, on the example of the README."""

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import Result

from keelwatt.files.outing import read_outing
from keelwatt.physics.shapes import HULL_SHAPES
from remembered import here
from running import keelwatt

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "examples" / "reservoir-sampling"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("tune")


@pytest.fixture
def folder(made: Path) -> Path:
    """Under the same name for every test, and as it was, so that what is asked is the same."""
    for left in made.iterdir():
        left.unlink()
    for name in ("outing.toml", "log.csv", "kit.json"):
        (made / name).write_bytes((EXAMPLE / name).read_bytes())
    return made


def tune(folder: Path, *arguments: object, columns: int = 80) -> Result:
    files = [folder / "outing.toml", folder / "log.csv", "--kit", folder / "kit.json"]
    return here("tune", *files, "--catalog", ROOT / "catalog", *arguments, columns=columns)


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


@pytest.mark.parametrize("columns", [40, 80, 120])
def test_it_shows_and_writes_nothing(folder: Path, columns: int) -> None:
    old = (folder / "outing.toml").read_bytes()
    result = tune(folder, columns=columns)
    assert result.exit_code == 0, result.stderr
    assert all(len(line) <= columns for line in result.stdout.splitlines())
    told = " ".join(result.stdout.split())
    assert "The log gives a drag factor of 1.53 ± 0.07. The outing has 1.30." in told
    assert "Row 16: 12.9 A at 4.3 km/h through the water, where 9.32 A would" in told
    assert "With the new drag factor the kit still meets every limit." in told
    assert "with --write" in told
    assert (folder / "outing.toml").read_bytes() == old
    assert names(folder) == {"outing.toml", "log.csv", "kit.json"}


def test_it_writes_and_keeps_a_backup(folder: Path) -> None:
    old = (folder / "outing.toml").read_bytes()
    result = tune(folder, "--write")
    assert result.exit_code == 0, result.stderr
    shown = result.stdout.splitlines()
    assert "+drag_factor = 1.53" in shown
    assert shown.index("+drag_factor = 1.53") < next(
        number for number, line in enumerate(shown) if line.startswith("Written to")
    )
    assert (folder / "outing.toml.bak").read_bytes() == old
    craft = read_outing(folder / "outing.toml").craft
    assert craft.drag_factor == 1.53
    assert craft.drag_factor_motor == "motor-12v-160n-stepped"
    assert craft.drag_factor_error == pytest.approx(0.045, abs=0.001)
    assert names(folder) == {"outing.toml", "outing.toml.bak", "log.csv", "kit.json"}


def test_a_second_time_it_writes_the_same_factor_and_keeps_both_backups(folder: Path) -> None:
    old = (folder / "outing.toml").read_bytes()
    assert tune(folder, "--write").exit_code == 0
    once = (folder / "outing.toml").read_bytes()
    again = tune(folder, "--write")
    assert again.exit_code == 0, again.stderr
    assert "They agree within what the log leaves open." in " ".join(again.stdout.split())
    assert (folder / "outing.toml.bak").read_bytes() == old
    assert (folder / "outing.toml.bak2").read_bytes() == once
    assert read_outing(folder / "outing.toml").craft.drag_factor == 1.53


def test_a_failure_on_the_way_leaves_the_outing_alone(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    old = (folder / "outing.toml").read_bytes()
    monkeypatch.setattr(os, "replace", fail)
    result = tune(folder, "--write")
    assert result.exit_code == 3
    assert "Permission denied" in result.stderr
    assert (folder / "outing.toml").read_bytes() == old
    assert names(folder) == {"outing.toml", "log.csv", "kit.json"}


def test_a_log_in_an_older_encoding_is_read_with_a_warning(folder: Path) -> None:
    log = folder / "log.csv"
    log.write_bytes(log.read_bytes() + "# früh\n".encode("cp1252"))
    result = tune(folder)
    assert result.exit_code == 0
    assert "was read as Windows-1252" in " ".join(result.stderr.split())
    (warning,) = json.loads(tune(folder, "--json").stdout)["warnings"]
    assert "Windows-1252" in warning["what"]


def test_a_plain_narrow_ascii_terminal_is_served(folder: Path) -> None:
    files = ["outing.toml", "log.csv", "--kit", "kit.json", "--catalog", str(ROOT / "catalog")]
    plain = {"LC_ALL": "C", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0", "COLUMNS": "40"}
    done = keelwatt("tune", *files, cwd=folder, env=plain)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.isascii()
    assert max(map(len, done.stdout.splitlines())) <= 40


def test_somebody_at_a_terminal_is_asked_first(folder: Path) -> None:
    old = (folder / "outing.toml").read_bytes()
    master, slave = pty.openpty()
    os.write(master, b"n\n")
    files = ["outing.toml", "log.csv", "--kit", "kit.json", "--catalog", str(ROOT / "catalog")]
    done = subprocess.run(
        [sys.executable, "-c", "from keelwatt.cli import main; main()", "tune", *files, "--write"],
        cwd=folder,
        stdin=slave,
        capture_output=True,
        text=True,
        check=False,
    )
    os.close(master)
    os.close(slave)
    assert done.returncode == 0, done.stderr
    assert "Nothing was written." in done.stdout
    assert (folder / "outing.toml").read_bytes() == old
    assert names(folder) == {"outing.toml", "log.csv", "kit.json"}


def test_data(folder: Path) -> None:
    result = tune(folder, "--json")
    assert result.exit_code == 0
    data = json.loads(result.stdout)
    assert (data["status"], data["written"], data["difference"]) == ("tuned", False, None)
    drag = data["fit"]["drag_factor"]
    assert drag["low"] < drag["value"] < drag["high"]
    assert data["before"]["drag_factor"] == HULL_SHAPES["sit-on-top"].drag_factor
    assert [row["row"] for row in data["rows"] if row["doubtful"]] == [16]
    assert data["proof_before"]["holds"]
    assert data["proof_after"]["holds"]
    assert data["proof_after"]["broken"] == []
    written = json.loads(tune(folder, "--json", "--write").stdout)
    assert written["written"]
    assert written["backup"].endswith("outing.toml.bak")
    assert "+drag_factor = 1.53" in written["difference"]


def test_problems_of_every_file_come_together_and_nothing_is_written(folder: Path) -> None:
    (folder / "log.csv").write_text("speed [km/h],current [A]\nfast,3\n5,x\n", encoding="utf-8")
    (folder / "outing.toml").write_text("title = 3\n", encoding="utf-8")
    result = tune(folder, "--write", "--json")
    assert result.exit_code == 3
    data = json.loads(result.stdout)
    assert data["status"] == "invalid"
    places = {(Path(p["file"]).name, p["row"], p["column"]) for p in data["problems"]}
    assert {("log.csv", 2, "speed [km/h]"), ("log.csv", 3, "current [A]")} <= places
    assert any(name == "outing.toml" for name, _, _ in places)
    assert names(folder) == {"outing.toml", "log.csv", "kit.json"}


def test_what_the_log_cannot_tell_is_said(folder: Path) -> None:
    log = folder / "log.csv"
    log.write_text("speed [km/h],current [A]\n5,9\n5.1,9.2\n", encoding="utf-8")
    result = tune(folder, "--write")
    assert result.exit_code == 3
    assert result.stdout == ""
    said = " ".join(result.stderr.split())
    assert "has 2 rows with the motor running, too few for a drag factor" in said
    assert "add 2 more, at other speeds" in said
    assert names(folder) == {"outing.toml", "log.csv", "kit.json"}


def test_a_log_in_another_code_page_is_used_with_a_warning(folder: Path) -> None:
    log = folder / "log.csv"
    log.write_bytes("# früh\n".encode("cp1252") + log.read_bytes())
    result = tune(folder)
    assert result.exit_code == 0
    assert "was read as Windows-1252" in " ".join(result.stderr.split())
    (warning,) = json.loads(tune(folder, "--json").stdout)["warnings"]
    assert warning["file"].endswith("log.csv")


def test_the_kit_is_asked_for(folder: Path) -> None:
    assert here("tune", folder / "outing.toml", folder / "log.csv").exit_code == 2


def test_the_examples_kit_is_what_pick_gives(folder: Path) -> None:
    words = ("pick", folder / "outing.toml", "--catalog", ROOT / "catalog", "--json")
    picked = json.loads(here(*words).stdout)
    assert json.loads((EXAMPLE / "kit.json").read_text(encoding="utf-8"))["kit"] == picked["kit"]


def test_only_tune_imports_scipy(folder: Path) -> None:
    script = (
        "import sys; sys.argv = ['keelwatt', *sys.argv[1:]]\n"
        "from keelwatt.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "heavy = {name.split('.')[0] for name in sys.modules}\n"
        "print('scipy' in heavy, 'numpy' in heavy, file=sys.stderr)"
    )

    def imports(*arguments: str) -> str:
        return subprocess.run(
            [sys.executable, "-c", script, *arguments],
            cwd=folder,
            capture_output=True,
            text=True,
            check=True,
        ).stderr.splitlines()[-1]

    assert imports("tune", "--help") == "False False"
    catalog = ("--catalog", str(ROOT / "catalog"))
    assert imports("prove", "outing.toml", "--kit", "kit.json", *catalog) == "False True"
