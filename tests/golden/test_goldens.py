"""What the commands print and write is what was kept, on every example.

``PYTHONPATH=tests python tests/golden/test_goldens.py`` writes anew every golden file that differs,
and the README's outputs, or with ``whatif start`` those of these commands; read the difference
before keeping it.
"""

import json
import re
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import typer

from golden import pictures
from golden.cases import CASES, EXPECTED
from golden.kept import ROOT, Case, differences, ran, told, write
from keelwatt.cli import app


def with_json(command: Any, name: str = "") -> Iterator[str]:
    """Every command of the app that takes ``--json``, by its full name."""
    for word, inner in getattr(command, "commands", {}).items():
        yield from with_json(inner, f"{name} {word}".strip())
    if any("--json" in parameter.opts for parameter in command.params):
        yield name


COMMANDS = sorted(with_json(typer.main.get_command(app)))


def readme_with_expected() -> str:
    """The README with every marked block filled from the file it names."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")

    def filled(match: re.Match[str]) -> str:
        expected = (ROOT / match["file"]).read_text(encoding="utf-8")
        lines = "\n".join(line.rstrip() for line in expected.splitlines())
        return f"<!-- expected: {match['file']} -->\n```text\n{lines}\n```"

    return re.sub(r"<!-- expected: (?P<file>\S+) -->\n```text\n.*?```", filled, readme, flags=re.S)


@pytest.mark.parametrize("case", CASES, ids=[min(case.kept.values()) for case in CASES])
def test_what_is_told_is_what_was_kept(case: Case, tmp_path: Path) -> None:
    for golden, new in told(case, tmp_path).items():
        assert differences(golden, new) == []


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_its_data_kept_done_and_refused(command: str) -> None:
    kept = {
        case.status
        for case in CASES
        if case.command.startswith(f"{command} ") and case.command.endswith("--json")
    }
    assert {0, 3} <= kept


@pytest.mark.parametrize("command", COMMANDS)
def test_wrong_usage_is_told_aside_and_as_data(command: str, tmp_path: Path) -> None:
    result = ran(f"{command} --json --no-such-option", tmp_path)
    assert result.status == 2
    data = json.loads(result.told["stdout"])
    assert data["status"] == "usage"
    assert "--no-such-option" in data["problems"][0]["what"]
    assert command in result.told["stderr"]
    assert "--no-such-option" in result.told["stderr"]


def test_no_golden_file_is_left_over() -> None:
    there = {str(path.relative_to(ROOT)) for path in (ROOT / EXPECTED).rglob("*.*")}
    named = [golden for case in CASES for golden in case.kept.values()]
    assert there == {golden for golden in named if golden.startswith(EXPECTED)}
    assert len(set(named)) == len(named)


def test_the_readme_shows_real_output() -> None:
    assert (ROOT / "README.md").read_text(encoding="utf-8") == readme_with_expected()


def test_the_readmes_pictures_are_those_of_the_page(tmp_path: Path) -> None:
    for file, picture in pictures.pictures(tmp_path).items():
        assert pictures.alike((ROOT / file).read_text(encoding="utf-8"), picture), file
        assert f"]({file})" in (ROOT / "README.md").read_text(encoding="utf-8")


if __name__ == "__main__":
    for each in (it for it in CASES if it.command.startswith(tuple(sys.argv[1:]) or "")):
        with tempfile.TemporaryDirectory() as folder:
            for file, text in told(each, Path(folder)).items():
                write(file, text)
    with tempfile.TemporaryDirectory() as folder:
        pictures.write(Path(folder))
    (ROOT / "README.md").write_text(readme_with_expected(), encoding="utf-8")
