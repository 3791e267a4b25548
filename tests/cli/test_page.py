"""--page writes one file, tells where, and never over what is not its own."""

import json
from pathlib import Path

import pytest

from remembered import here
from samples import small_outing_text, write_catalog

COMMANDS = [
    ("pick",),
    ("tradeoff", "--top", "3"),
    ("stretch", "--over", "budget"),
    ("whatif", "--set", "hours=+30min"),
]


@pytest.fixture(scope="module")
def boat(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("boat")
    write_catalog(folder / "catalog")
    (folder / "outing.toml").write_text(small_outing_text(), encoding="utf-8")
    return folder


def run(boat: Path, command: tuple[str, ...], *more: str) -> tuple[int, str, str]:
    """(exit status, stdout, stderr)."""
    name, *options = command
    catalog = ["--catalog", str(boat / "catalog")]
    result = here(name, boat / "outing.toml", *options, *catalog, *more)
    return result.exit_code, result.stdout, result.stderr


@pytest.mark.few(2)
@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command[0])
def test_a_page_is_written_once(boat: Path, tmp_path: Path, command: tuple[str, ...]) -> None:
    page = tmp_path / "page.html"
    status, out, err = run(boat, command, "--page", str(page), "--json")
    assert status == 0, err
    json.loads(out)
    assert f"Page: {page}" in err
    written = page.read_text(encoding="utf-8")
    assert written.startswith("<!-- made by keelwatt -->\n<!DOCTYPE html>\n")
    assert written.rstrip().endswith("</html>")
    assert "Round the island" in written
    page.write_text(written.replace("Round the island", "Mine"), encoding="utf-8")

    status, _, err = run(boat, command, "--page", str(page))
    assert status == 3
    told = " ".join(err.split())
    assert "is there already" in told and "--again" in told
    assert "Mine" in page.read_text(encoding="utf-8")

    status, out, err = run(boat, command, "--page", str(page), "--again")
    assert status == 0, err
    assert "Round the island" in out
    assert "Mine" not in page.read_text(encoding="utf-8")
    assert [file.name for file in tmp_path.iterdir()] == ["page.html"]


def test_what_another_made_is_never_written_over(boat: Path, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.write_text("<!DOCTYPE html>\n<html lang=en>", encoding="utf-8")
    status, _, err = run(boat, ("pick",), "--page", str(page), "--again")
    assert status == 3
    assert "was not written by this command" in " ".join(err.split())
    assert page.read_text(encoding="utf-8") == "<!DOCTYPE html>\n<html lang=en>"


def test_a_wrong_place_is_told_with_every_other_problem(boat: Path, tmp_path: Path) -> None:
    page = str(tmp_path / "none" / "page.html")
    status, out, _ = run(boat, ("pick", "--sure", "abc"), "--page", page, "--json")
    assert status == 3
    problems = json.loads(out)["problems"]
    assert [problem["file"] for problem in problems].count(page) == 1
    assert len(problems) == 2


def test_an_impossible_outing_has_a_page_too(boat: Path, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    outing = tmp_path / "outing.toml"
    text = small_outing_text().replace("budget = 1200", "budget = 12")
    outing.write_text(text, encoding="utf-8")
    result = here("pick", outing, "--catalog", boat / "catalog", "--page", page)
    assert result.exit_code == 4
    assert "Ways out" in page.read_text(encoding="utf-8")


@pytest.mark.parametrize("option", ["--page", "--shopping"])
def test_applying_makes_no_papers(boat: Path, tmp_path: Path, option: str) -> None:
    file = tmp_path / "file"
    status, _, err = run(boat, ("pick",), "--apply", "1", option, str(file))
    assert status == 3
    assert "does not go with --apply" in " ".join(err.split())
    assert not file.exists()


def test_how_sure_a_kit_is_stands_on_its_page(boat: Path, tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    status, _, err = run(boat, ("pick", "--sure", "60%"), "--page", str(page))
    assert status == 0, err
    assert "How sure is it?" in page.read_text(encoding="utf-8")
