"""The wheel is what users get: built, installed into a fresh environment, and asked."""

import json
import os
import subprocess
import sys
import venv
from pathlib import Path

import pytest

from running import ROOT, keelwatt

EXAMPLE = ROOT / "examples/reservoir-sampling/outing.toml"


def run(*command: object, cwd: Path) -> str:
    """What a command says; without what points to the sources."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    words = [str(word) for word in command]
    ended = subprocess.run(
        words, cwd=cwd, env=env, capture_output=True, text=True, check=False, timeout=900
    )
    assert ended.returncode == 0, ended.stdout + ended.stderr
    return ended.stdout


@pytest.mark.slow
def test_the_wheel_answers_the_worked_example(tmp_path: Path) -> None:
    run(sys.executable, "-m", "pip", "wheel", "--no-deps", "-q", "-w", tmp_path, ROOT, cwd=tmp_path)
    (wheel,) = tmp_path.glob("keelwatt-*.whl")
    venv.create(tmp_path / "fresh", with_pip=True)
    folder = tmp_path / "fresh" / ("Scripts" if os.name == "nt" else "bin")
    run(folder / "python", "-m", "pip", "install", "-q", wheel, cwd=tmp_path)
    (tmp_path / "outing.toml").write_text(EXAMPLE.read_text("utf-8"), encoding="utf-8")
    told = json.loads(run(folder / "keelwatt", "pick", "outing.toml", "--json", cwd=tmp_path))
    here = json.loads(keelwatt("pick", str(EXAMPLE), "--json").stdout)
    assert told["status"] == "best"
    for key in ("kit", "totals", "bill", "catalog_sha256", "version", "invented_prices"):
        assert told[key] == here[key]
    assert "fresh" in told["catalog"]
    run(folder / "keelwatt", "start", "form", "--form", cwd=tmp_path)
    run(folder / "keelwatt", "start", "boat", cwd=tmp_path)
    run(folder / "python", "-m", "keelwatt", "pick", "boat/outing.toml", cwd=tmp_path)
    run(folder / "python", "-c", "import keelwatt; keelwatt.pick", cwd=tmp_path)
