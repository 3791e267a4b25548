"""What is picked for every example, by every measure, passes the proof."""

import json
from pathlib import Path

import pytest

from golden.cases import POSSIBLE
from golden.kept import ran, supply


@pytest.mark.few(4)
@pytest.mark.parametrize("name", POSSIBLE)
@pytest.mark.parametrize("by", ["cost", "mass", "season"])
def test_pick_passes_prove(name: str, by: str, tmp_path: Path) -> None:
    supply(tmp_path)
    outing = f"examples/{name}/outing.toml"
    picked = ran(f"pick {outing} --by {by} --json", tmp_path).told["stdout"]
    assert json.loads(picked)["status"] == "best"
    (tmp_path / "kit.json").write_text(picked, encoding="utf-8")
    proved = ran(f"prove {outing} --kit kit.json", tmp_path)
    assert proved.status == 0, proved.told["stdout"]
