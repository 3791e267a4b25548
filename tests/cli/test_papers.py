"""keelwatt pick --sheet and --shopping, as a user runs them."""

import csv
import io
import json
from pathlib import Path

import pytest

from keelwatt.cli.files import check_new, write_new
from keelwatt.errors import InputError
from remembered import here

ROOT = Path(__file__).parents[2]
OUTING = "examples/reservoir-sampling/outing.toml"
NOTHING = "examples/reservoir-winter-impossible/outing.toml"


def test_the_list_is_written_once_and_again_only_when_asked(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    result = here("pick", OUTING, "--shopping", str(file), "--sheet", "--json")
    assert result.exit_code == 0, result.stderr
    assert str(file) in result.stderr
    told = json.loads(result.stdout)
    assert told["wiring"]["faults"] == []
    rows = list(csv.DictReader(io.StringIO(file.read_text(encoding="utf-8-sig"))))
    totals = [row for row in rows if row["for"] == "total"]
    assert float(totals[0]["price [crowns]"]) == told["totals"]["price"]
    before = file.read_bytes()
    refused = here("pick", OUTING, "--shopping", str(file))
    assert refused.exit_code == 3
    assert "--again" in refused.stderr
    assert refused.stdout == ""
    assert file.read_bytes() == before
    again = here("pick", OUTING, "--shopping", str(file), "--again", "--feet")
    assert again.exit_code == 0, again.stderr
    assert ",ft," in file.read_text(encoding="utf-8-sig")
    assert list(tmp_path.iterdir()) == [file]


def test_nothing_is_written_without_a_kit(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    result = here("pick", NOTHING, "--shopping", str(file), "--sheet", "--json")
    assert result.exit_code == 4
    assert json.loads(result.stdout)["wiring"] is None
    assert "No kit" in result.stderr
    assert not file.exists()


def test_the_sheet_follows_the_answer() -> None:
    plain, sheet = (
        here("pick", OUTING, columns=40),
        here("pick", OUTING, "--sheet", columns=40),
    )
    answer, _, source = plain.stdout.rpartition("Catalog:")
    assert sheet.stdout.startswith(answer)
    assert sheet.stdout.endswith(source)
    assert "In order of work" in sheet.stdout
    assert "Short circuit: a battery can give" in " ".join(sheet.stdout.split())
    for line in sheet.stdout.splitlines():
        assert len(line) <= 40 or ": keelwatt " in line, line
    assert "wiring" not in json.loads(here("pick", OUTING, "--json").stdout)


def test_a_new_file_is_whole_or_not_there(tmp_path: Path) -> None:
    file = tmp_path / "new.csv"
    write_new(file, "for,kind\n1\n", "for,kind\n", again=False)
    with pytest.raises(InputError):
        write_new(file, "for,kind\n2\n", "for,kind\n", again=False)
    write_new(file, "for,kind\n3\n", "for,kind\n", again=True)
    assert file.read_text(encoding="utf-8").endswith("3\n")
    assert list(tmp_path.iterdir()) == [file]


@pytest.mark.parametrize("theirs", ["title = 'mine'\n", "", "for,kin", "\x00\xff"])
def test_what_is_not_ours_is_never_written_over(tmp_path: Path, theirs: str) -> None:
    file = tmp_path / "theirs"
    file.write_bytes(theirs.encode("latin-1"))
    with pytest.raises(InputError) as caught:
        write_new(file, "for,kind\n", "for,kind\n", again=True)
    assert "not written by this command" in caught.value.problems[0].what
    assert file.read_bytes() == theirs.encode("latin-1")


def test_bad_places_are_refused_before_any_work(tmp_path: Path) -> None:
    check_new(None, "ours", again=False)
    check_new(tmp_path / "free.csv", "ours", again=False)
    for place in (tmp_path / "none" / "list.csv", tmp_path):
        for again in (False, True):
            with pytest.raises(InputError) as caught:
                check_new(place, "ours", again=again)
            assert caught.value.problems[0].file == str(place)
            assert caught.value.problems[0].remedy
    with pytest.raises(InputError):
        write_new(tmp_path, "text", "text", again=True)


def test_one_wrong_place_and_nothing_is_computed_or_written(tmp_path: Path) -> None:
    theirs, list_ = tmp_path / "theirs.html", tmp_path / "list.csv"
    theirs.write_text("mine", encoding="utf-8")
    files = "--shopping", str(list_), "--page", str(theirs)
    result = here("pick", OUTING, *files, "--again", "--json")
    assert result.exit_code == 3
    told = json.loads(result.stdout)
    assert [problem["file"] for problem in told["problems"]] == [str(theirs)]
    assert theirs.read_text(encoding="utf-8") == "mine"
    assert not list_.exists()


def test_the_list_and_the_page_are_two_files(tmp_path: Path) -> None:
    file = tmp_path / "file"
    result = here("pick", OUTING, "--shopping", str(file), "--page", f"{tmp_path}/./file")
    assert result.exit_code == 3
    assert result.stdout == ""
    assert "give each a name of its own" in result.stderr
    assert not file.exists()


@pytest.mark.parametrize("command", [("pick",), ("whatif", "--set", "hours=+1h")])
def test_a_page_that_cannot_be_written_after_all_leaves_json_alone(
    command: tuple[str, ...],
) -> None:
    name, *options = command
    result = here(name, OUTING, *options, "--page", "/proc/page.html", "--json")
    assert result.exit_code == 3
    assert json.loads(result.stdout)["problems"][0]["file"] == "/proc/page.html"
