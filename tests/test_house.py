"""The house's own rules: style, types, layers, and what must not be imported early."""

import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.early

ROOT = Path(__file__).parents[1]


def run(*command: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *command], cwd=ROOT, capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize(
    "command",
    [
        ("-m", "ruff", "check"),
        ("-m", "ruff", "format", "--check"),
        ("-m", "mypy"),
        ("-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"),
    ],
    ids=["ruff check", "ruff format", "mypy", "import-linter"],
)
def test_house_rules(command: tuple[str, ...]) -> None:
    result = run(*command)
    assert result.returncode == 0, result.stdout + result.stderr


def test_help_imports_neither_pandas_nor_pulp() -> None:
    script = (
        "import sys; sys.argv = ['keelwatt', 'pick', '--help']\n"
        "from keelwatt.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "heavy = {'pandas', 'pulp', 'highspy', 'numpy'} & set(sys.modules)\n"
        "assert not heavy, heavy"
    )
    result = run("-c", script)
    assert result.returncode == 0, result.stderr


def test_a_plain_pick_imports_neither_pandas_nor_what_makes_a_page() -> None:
    outing = ROOT / "examples" / "reservoir-sampling" / "outing.toml"
    script = (
        f"import sys; sys.argv = ['keelwatt', 'pick', {str(outing)!r}]\n"
        "from keelwatt.cli import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "heavy = {'pandas', 'scipy', 'joblib', 'jinja2', 'markupsafe'} & set(sys.modules)\n"
        "assert 'pulp' in sys.modules\n"
        "assert not heavy, heavy"
    )
    result = run("-c", script)
    assert result.returncode == 0, result.stderr


def test_top_level_holds_no_more_than_the_design_card_allows() -> None:
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "src",
        "catalog",
        "tests",
        "examples",
        ".ci",
        ".gitignore",
        "LICENSE",
    }
    listed = subprocess.run(
        ["git", "ls-tree", "--name-only", "HEAD"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if listed.returncode:
        pytest.skip("not a git checkout")
    assert set(listed.stdout.split()) <= allowed


def test_ci_runs_the_readmes_test_command() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    block = readme.split("<!-- test command -->")[1].split("```")[1]
    assert "pytest" in block
    assert "README.md" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
