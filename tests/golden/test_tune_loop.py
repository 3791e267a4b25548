"""The README's loop after the first outing is what the commands choose."""

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from golden.cases import FOLDER, KIT, LOG, OUTING
from golden.kept import ROOT, ran, supply


def readme_toml(holds: str) -> str:
    """The README's only TOML block that holds these words."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    block: str
    (block,) = (b for b in re.findall(r"```toml\n(.*?)```", readme, re.DOTALL) if holds in b)
    return block


def test_the_log_in_the_readme_is_the_examples() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    rows = [
        line
        for line in (ROOT / FOLDER / "log.csv").read_text(encoding="utf-8").splitlines()
        if not line.startswith("#")
    ]
    assert "\n".join(rows[:4]) in readme


def test_the_loop_closes(tmp_path: Path) -> None:
    def told(command: str) -> Any:
        result = ran(f"{command} --json", tmp_path)
        assert result.status == 0, result.told["stdout"]
        return json.loads(result.told["stdout"])

    supply(tmp_path)
    outing = tmp_path / OUTING
    assert told(f"tune {OUTING} {LOG} --kit {KIT} --write")["written"] is True
    text = outing.read_text(encoding="utf-8")
    wanted = tomllib.loads(readme_toml('drag_factor_error = "4.3'))
    assert wanted.items() <= tomllib.loads(text)["craft"].items()
    odds = told(f"odds {OUTING} --kit {KIT}")
    assert 0.25 < odds["chances"]["above_reserve"]["share"] < 0.35
    (drag,) = (each for each in odds["variance_shares"] if each["unknown"] == "drag")
    assert drag["share"] < 0.1
    outing.write_text(f"{text}\n{readme_toml('own_pieces = { flooded')}", encoding="utf-8")
    picked = told(f"pick {OUTING}")
    assert picked["kit"]["controller"] == "chopper-12-48v-60a"
    assert picked["totals"]["price"] == pytest.approx(162.00)
