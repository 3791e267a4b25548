"""The README's loop after the first outing is what the commands choose."""

import json
import re
import tomllib
from pathlib import Path
from typing import Any

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
    wanted = tomllib.loads(readme_toml("drag_factor_error = "))
    assert wanted.items() <= tomllib.loads(text)["craft"].items()
    odds = told(f"odds {OUTING} --kit {KIT}")
    assert (
        odds["chances"]["above_zero"]["share"] == odds["chances"]["legs_at_speed"]["share"] == 1.0
    )
    outing.write_text(f"{text}\n{readme_toml('own_pieces = { flooded')}", encoding="utf-8")
    picked = told(f"pick {OUTING}")
    kept = json.loads((tmp_path / KIT).read_text(encoding="utf-8"))["kit"]
    assert picked["kit"] == kept
    assert picked["totals"]["price"] == 0.0
