"""Every example prints what its expected.txt holds, and what it picks passes the proof.

``python tests/golden/test_examples.py`` writes the files anew; read the difference before keeping
it.
"""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from keelwatt.boat.facts import Facts
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.outing import read_outing
from keelwatt.prove import Assessor, prove
from keelwatt.prove.kit_file import read_kit

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted(path.name for path in (ROOT / "examples").iterdir() if path.is_dir())
EXITS = {"reservoir-winter-impossible": 4}


def pick(name: str, *options: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [
            sys.executable,
            "-c",
            "from keelwatt.cli import main; main()",
            "pick",
            f"examples/{name}/outing.toml",
            *options,
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "COLUMNS": "80", "PYTHONIOENCODING": "utf-8"},
    )


@pytest.mark.parametrize("name", EXAMPLES)
def test_output_is_the_expected_one(name: str) -> None:
    result = pick(name)
    assert result.stderr == ""
    assert result.returncode == EXITS.get(name, 0)
    assert result.stdout == (ROOT / "examples" / name / "expected.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", [name for name in EXAMPLES if name not in EXITS])
@pytest.mark.parametrize("by", ["cost", "mass", "season"])
def test_pick_passes_prove(name: str, by: str, tmp_path: Path) -> None:
    result = pick(name, "--by", by, "--json")
    assert json.loads(result.stdout)["status"] == "best"
    file = tmp_path / "kit.json"
    file.write_text(result.stdout, encoding="utf-8")
    outing = read_outing(ROOT / "examples" / name / "outing.toml")
    assessor = Assessor(Facts(outing), read_catalog(ROOT / "catalog"))
    proof = prove(assessor, read_kit(file, assessor))
    assert proof.holds, (proof.assessment.broken, proof.failures)


def readme_with_expected() -> str:
    """The README with every marked block filled from the file it names."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")

    def filled(match: re.Match[str]) -> str:
        expected = (ROOT / match["file"]).read_text(encoding="utf-8")
        lines = "\n".join(line.rstrip() for line in expected.splitlines())
        return f"<!-- expected: {match['file']} -->\n```text\n{lines}\n```"

    return re.sub(r"<!-- expected: (?P<file>\S+) -->\n```text\n.*?```", filled, readme, flags=re.S)


def test_the_readme_shows_real_output() -> None:
    assert (ROOT / "README.md").read_text(encoding="utf-8") == readme_with_expected()


if __name__ == "__main__":
    for example in EXAMPLES:
        path = ROOT / "examples" / example / "expected.txt"
        path.write_text(pick(example).stdout, encoding="utf-8")
    (ROOT / "README.md").write_text(readme_with_expected(), encoding="utf-8")
