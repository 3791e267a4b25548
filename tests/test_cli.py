"""Commands as a user runs them: exit statuses, streams, widths, bad input."""

import json
from pathlib import Path

import pytest

from remembered import here
from running import keelwatt

ROOT = Path(__file__).parents[1]
OUTING = "examples/reservoir-sampling/outing.toml"
COMMANDS = [
    "pick",
    "whatif",
    "stretch",
    "tradeoff",
    "why",
    "worth",
    "compare",
    "batch",
    "prove",
    "tune",
    "odds",
    "start",
    "catalog check",
    "catalog list",
    "catalog add",
]


@pytest.mark.parametrize("command", COMMANDS)
def test_help_leads_with_an_example(command: str) -> None:
    result = keelwatt(*command.split(), "--help")
    assert result.returncode == 0
    after_usage = result.stdout.split("\n\n")[1]
    assert after_usage.strip().startswith(f"keelwatt {command}")


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_documented(command: str) -> None:
    assert f"keelwatt {command}" in (ROOT / "README.md").read_text(encoding="utf-8")


def test_json_is_alone_on_stdout() -> None:
    result = keelwatt("pick", OUTING, "--json")
    assert result.returncode == 0
    data = json.loads(result.stdout)
    assert data["status"] == "best"
    assert data["format"] == 1
    assert result.stderr == ""


def test_cbc_gives_the_same_kit() -> None:
    kits = [
        json.loads(here("pick", OUTING, "--json", "--solver", solver).stdout)["kit"]
        for solver in ("highs", "cbc")
    ]
    assert kits[0] == kits[1]


def test_impossible_is_status_4_with_data() -> None:
    result = keelwatt("pick", "examples/reservoir-winter-impossible/outing.toml", "--json")
    assert result.returncode == 4
    assert json.loads(result.stdout)["status"] == "impossible"


@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize(
    "arguments",
    [
        ("pick", OUTING, "--left-out"),
        ("pick", "examples/reservoir-winter-impossible/outing.toml"),
        ("catalog", "list"),
        ("catalog", "check"),
        ("catalog", "check", "--catalog", "no-such-folder"),
    ],
    ids=["pick", "impossible", "list", "check", "missing"],
)
def test_no_line_is_wider_than_the_screen(arguments: tuple[str, ...], width: int) -> None:
    result = here(*arguments, columns=width)
    for line in (result.stdout + result.stderr).splitlines():
        to_paste = ": keelwatt " in line
        assert len(line) <= width or to_paste, line


def test_plain_ascii_terminals_are_served() -> None:
    result = keelwatt("pick", OUTING, LC_ALL="C", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert result.returncode == 0
    assert "Traceback" not in result.stderr


def test_problems_of_outing_and_catalog_come_together(tmp_path: Path) -> None:
    outing = tmp_path / "bad.toml"
    outing.write_text("title = 3\n", encoding="utf-8")
    result = keelwatt("pick", str(outing), "--catalog", str(tmp_path / "none"))
    assert result.returncode == 3
    assert result.stdout == ""
    told = "".join(result.stderr.split())
    assert "bad.toml" in told
    assert "none" in told


def test_problems_as_data(tmp_path: Path) -> None:
    outing = tmp_path / "bad.toml"
    outing.write_text("title = 3\n", encoding="utf-8")
    result = keelwatt("pick", str(outing), "--json")
    assert result.returncode == 3
    data = json.loads(result.stdout)
    assert data["status"] == "invalid"
    assert {"file", "row", "column", "key", "value", "what", "remedy"} <= set(data["problems"][0])


def test_wrong_usage_is_status_2() -> None:
    assert keelwatt("pick").returncode == 2
    assert keelwatt("pick", OUTING, "--by", "colour").returncode == 2


def test_unknown_part_ids_are_named(tmp_path: Path) -> None:
    text = (ROOT / OUTING).read_text(encoding="utf-8")
    outing = tmp_path / "outing.toml"
    outing.write_text(text + '\n[parts]\nown = ["lfp-12v-50a"]\n', encoding="utf-8")
    result = keelwatt("pick", str(outing))
    assert result.returncode == 3
    assert "did you mean lfp-12v-50ah?" in result.stderr


def test_no_time_means_unproved() -> None:
    result = keelwatt("pick", OUTING, "--json", "--seconds", "0.001", "--by", "mass")
    status = json.loads(result.stdout)["status"]
    assert (result.returncode, status) in {(5, "unproved"), (0, "best")}


def test_start_makes_a_folder_that_pick_reads_and_never_overwrites(tmp_path: Path) -> None:
    made = keelwatt("start", "boat", cwd=tmp_path)
    assert made.returncode == 0, made.stderr
    picked = keelwatt(
        "pick", "boat/outing.toml", "--catalog", "boat/catalog", "--json", cwd=tmp_path
    )
    assert json.loads(picked.stdout)["status"] == "best"
    outing = tmp_path / "boat" / "outing.toml"
    outing.write_text("mine", encoding="utf-8")
    again = keelwatt("start", "boat", cwd=tmp_path)
    assert again.returncode == 3
    assert "nothing was changed" in again.stderr
    assert outing.read_text(encoding="utf-8") == "mine"
    assert not list(tmp_path.glob(".keelwatt-*"))


def test_start_says_what_it_made_as_data(tmp_path: Path) -> None:
    made = keelwatt("start", "boat", "--json", cwd=tmp_path)
    data = json.loads(made.stdout)
    assert data["status"] == "made"
    assert (tmp_path / data["outing"]).is_file()
    assert (tmp_path / data["catalog"]).is_dir()
    again = keelwatt("start", "boat", "--json", cwd=tmp_path)
    assert json.loads(again.stdout)["status"] == "invalid"


def test_prove_holds_and_fails(tmp_path: Path) -> None:
    kit = tmp_path / "kit.json"
    kit.write_text(here("pick", OUTING, "--json").stdout, encoding="utf-8")
    held = keelwatt("prove", OUTING, "--kit", str(kit), "--json")
    assert held.returncode == 0
    assert json.loads(held.stdout)["status"] == "holds"
    data = json.loads(kit.read_text(encoding="utf-8"))
    data["kit"]["battery"]["parallel"] = 1
    kit.write_text(json.dumps(data), encoding="utf-8")
    failed = keelwatt("prove", OUTING, "--kit", str(kit))
    assert failed.returncode == 4
    assert "does NOT meet" in failed.stdout


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("not json", "is not JSON"),
        ("[]", "kit.json"),
        ('{"kit": null}', "holds no kit"),
        ('{"battery": {"id": "x"}}', "battery.compartment"),
    ],
)
def test_bad_kit_files(tmp_path: Path, text: str, hint: str) -> None:
    kit = tmp_path / "kit.json"
    kit.write_text(text, encoding="utf-8")
    result = keelwatt("prove", OUTING, "--kit", str(kit))
    assert result.returncode == 3
    assert hint.replace(" ", "") in "".join(result.stderr.split())
    assert "Traceback" not in result.stderr


def test_unknown_names_in_a_kit_are_all_told(tmp_path: Path) -> None:
    data = json.loads(here("pick", OUTING, "--json").stdout)["kit"]
    data["fuse"], data["battery"]["compartment"] = "fuse-blade-40", "tank"
    kit = tmp_path / "kit.json"
    kit.write_text(json.dumps(data), encoding="utf-8")
    result = keelwatt("prove", OUTING, "--kit", str(kit))
    assert result.returncode == 3
    assert "did you mean fuse-blade-40a?" in result.stderr
    assert "did you mean tank well?" in result.stderr
