"""The README's loop after the first outing is what the commands print and choose.

``python tests/golden/test_tune_example.py`` writes the file anew; then run ``test_examples.py`` the
same way for the README, and read the difference before keeping it.
"""

import json
import re
import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from keelwatt.cli import app

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "examples" / "reservoir-sampling"
CATALOG = ("--catalog", str(ROOT / "catalog"))


def ran(*arguments: object) -> str:
    result = CliRunner(env={"COLUMNS": "80"}).invoke(app, list(map(str, arguments)))
    assert result.exit_code == 0, result.stderr
    return str(result.stdout)


def tune_text() -> str:
    kit = ("--kit", FOLDER / "kit.json")
    told = ran("tune", FOLDER / "outing.toml", FOLDER / "log.csv", *kit, *CATALOG)
    return "\n".join(line.rstrip() for line in told.splitlines()) + "\n"


def readme_toml(holds: str) -> str:
    """The README's only TOML block that holds these words."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    block: str
    (block,) = (b for b in re.findall(r"```toml\n(.*?)```", readme, re.DOTALL) if holds in b)
    return block


def test_output_is_the_expected_one() -> None:
    assert tune_text() == (FOLDER / "tune.txt").read_text(encoding="utf-8")


def test_the_log_in_the_readme_is_the_examples() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    rows = [
        line
        for line in (FOLDER / "log.csv").read_text(encoding="utf-8").splitlines()
        if not line.startswith("#")
    ]
    assert "\n".join(rows[:4]) in readme


def test_the_loop_closes(tmp_path: Path) -> None:
    outing = tmp_path / "outing.toml"
    outing.write_bytes((FOLDER / "outing.toml").read_bytes())
    kit = ("--kit", FOLDER / "kit.json")
    ran("tune", outing, FOLDER / "log.csv", *kit, *CATALOG, "--write")
    text = outing.read_text(encoding="utf-8")
    wanted = tomllib.loads(readme_toml('drag_factor_error = "3.8'))
    assert wanted.items() <= tomllib.loads(text)["craft"].items()
    odds = json.loads(ran("odds", outing, *kit, *CATALOG, "--json"))
    assert 0.25 < odds["chances"]["above_reserve"]["share"] < 0.35
    (drag,) = (each for each in odds["variance_shares"] if each["unknown"] == "drag")
    assert drag["share"] < 0.1
    outing.write_text(f"{text}\n{readme_toml('own_pieces = { flooded')}", encoding="utf-8")
    picked = json.loads(ran("pick", outing, *CATALOG, "--json"))
    assert picked["kit"]["controller"] == "chopper-12-48v-60a"
    assert picked["totals"]["price"] == pytest.approx(162.00)


if __name__ == "__main__":
    (FOLDER / "tune.txt").write_text(tune_text(), encoding="utf-8")
