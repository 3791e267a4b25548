"""The wheel is what users get: built, installed into a fresh environment, and asked."""

import json
import os
import re
import subprocess
import sys
import tomllib
import venv
from collections.abc import Iterable
from pathlib import Path

import pytest

from running import ROOT, keelwatt

pytestmark = pytest.mark.early

RUNNERS = {"pytest", "hypoth"}
QUICK = (
    "tests/test_limits.py",
    "tests/edit/test_edit.py",
    "tests/batches",
    "tests/tuning/test_robust.py",
)
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


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "pip", "wheel", "--no-deps", "-q", "-w", folder, ROOT, cwd=folder)
    (built,) = folder.glob("keelwatt-*.whl")
    return built


def installed(tmp_path: Path, wheel: Path, *more: object) -> Path:
    """The commands of a fresh environment with the wheel and more in it."""
    venv.create(tmp_path / "fresh", with_pip=True)
    folder = tmp_path / "fresh" / ("Scripts" if os.name == "nt" else "bin")
    run(folder / "python", "-m", "pip", "install", "-q", wheel, *more, cwd=tmp_path)
    return folder


def answers_the_worked_example(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "outing.toml").write_text(EXAMPLE.read_text("utf-8"), encoding="utf-8")
    told = json.loads(run(folder / "keelwatt", "pick", "outing.toml", "--json", cwd=tmp_path))
    here = json.loads(keelwatt("pick", str(EXAMPLE), "--json").stdout)
    assert told["status"] == "best"
    for key in ("kit", "totals", "bill", "catalog_sha256", "version", "invented_prices"):
        assert told[key] == here[key]
    assert "fresh" in told["catalog"]


def oldest(requirements: Iterable[str]) -> list[str]:
    """The lowest version that each requirement allows, as constraints; none where it names none.

    >>> oldest(["pulp[highs]>=3.3.2,<4", "pandas-stubs"])
    ['pulp==3.3.2']
    """
    found = (re.match(r"([\w-]+)(?:\[.*])?>=([\d.]+)", each) for each in requirements)
    return [f"{bound[1]}=={bound[2]}" for bound in found if bound]


@pytest.mark.slow
def test_the_wheel_answers_the_worked_example(tmp_path: Path, wheel: Path) -> None:
    folder = installed(tmp_path, wheel)
    answers_the_worked_example(folder, tmp_path)
    run(folder / "keelwatt", "start", "form", "--form", cwd=tmp_path)
    run(folder / "keelwatt", "start", "boat", cwd=tmp_path)
    run(folder / "python", "-m", "keelwatt", "pick", "boat/outing.toml", cwd=tmp_path)
    run(folder / "python", "-c", "import keelwatt; keelwatt.pick", cwd=tmp_path)


@pytest.mark.slow
def test_it_does_with_the_oldest_dependencies_it_names(tmp_path: Path, wheel: Path) -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    oldest_ones = oldest(project["dependencies"])
    assert len(oldest_ones) == len(project["dependencies"])
    testing = [each for each in project["optional-dependencies"]["test"] if each[:6] in RUNNERS]
    folder = installed(tmp_path, wheel, *oldest_ones, *oldest(testing))
    answers_the_worked_example(folder, tmp_path)
    words = ("-n0", "-q", "-pno:cacheprovider", *QUICK)
    run(folder / "python", "-m", "pytest", *words, cwd=ROOT)
