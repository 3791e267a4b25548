"""keelwatt start --ask as a user runs it: piped, stopped, cut short."""

import json
import os
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import pytest

from running import keelwatt

COMMAND = [
    sys.executable,
    "-c",
    "import signal; signal.signal(signal.SIGINT, signal.default_int_handler);"
    "from keelwatt.cli import main; main()",
]


def start(
    folder: Path, typed: bytes, *options: str, width: int = 80
) -> subprocess.CompletedProcess[str]:
    arguments = ("start", folder.name, "--ask", *options)
    return keelwatt(*arguments, cwd=folder.parent, typed=typed, COLUMNS=str(width))


def left_over(folder: Path) -> list[Path]:
    return list(folder.parent.iterdir())


def test_enter_to_every_question_makes_a_folder_to_pick_from(tmp_path: Path) -> None:
    made = start(tmp_path / "boat", b"\n" * 60, "--json")
    assert made.returncode == 0, made.stderr
    assert json.loads(made.stdout)["status"] == "made"
    outing = tmp_path / "boat" / "outing.toml"
    assert tomllib.loads(outing.read_text(encoding="utf-8"))["title"] == "My outing"
    assert (tmp_path / "boat" / "catalog" / "batteries.csv").is_file()
    assert left_over(tmp_path / "boat") == [tmp_path / "boat"]


@pytest.mark.parametrize("width", [40, 80])
def test_hostile_names_are_text_and_questions_keep_to_the_screen(
    tmp_path: Path, width: int
) -> None:
    name = 'it\'s "5" \\ [x] = {y} # \u05e9\u05e7'
    typed = f"\n{name} ".encode() + b"\xff\n" + b"\n" * 60
    made = start(tmp_path / "boat", typed, width=width)
    assert made.returncode == 0, made.stderr
    assert "Made boat/outing.toml" in made.stdout
    assert ">" not in made.stdout
    assert max(map(len, made.stderr.splitlines())) <= width
    text = (tmp_path / "boat" / "outing.toml").read_text(encoding="utf-8")
    assert tomllib.loads(text)["title"] == f"{name} \ufffd"


def test_answers_cut_short_write_nothing(tmp_path: Path) -> None:
    cut = start(tmp_path / "boat", b"\n\n\n", "--json")
    assert cut.returncode == 3
    (problem,) = json.loads(cut.stdout)["problems"]
    assert "ended before the last question; nothing was written" in problem["what"]
    assert left_over(tmp_path / "boat") == []


def test_quit_keeps_the_answers_and_the_same_command_goes_on(tmp_path: Path) -> None:
    quit_ = start(tmp_path / "boat", b"us\nMine\na kayak\ncanoe\n14\nquit\n")
    assert quit_.returncode == 0, quit_.stderr
    assert "keelwatt start boat --ask" in quit_.stdout
    assert [path.name for path in left_over(tmp_path / "boat")] == ["boat.answers"]
    made = start(tmp_path / "boat", b"\n" * 60)
    assert made.returncode == 0, made.stderr
    assert "called" not in made.stderr
    assert left_over(tmp_path / "boat") == [tmp_path / "boat"]
    outing = tomllib.loads((tmp_path / "boat" / "outing.toml").read_text(encoding="utf-8"))
    assert (outing["title"], outing["craft"]["waterline_length"]) == ("Mine", "14 ft")


@pytest.mark.parametrize(("end", "status"), [(b"\x04", 0), (signal.SIGINT, 5)])
def test_at_a_terminal_answers_are_kept_however_it_ends(
    tmp_path: Path, end: bytes | signal.Signals, status: int
) -> None:
    ours, theirs = os.openpty()
    running = subprocess.Popen(
        [*COMMAND, "start", "boat", "--ask"],
        cwd=tmp_path,
        stdin=theirs,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert running.stderr is not None
    seen = b""
    for answer in (b"us\n", b"Mine\n", None):
        seen = b""
        while not seen.endswith(b"] > "):
            seen += running.stderr.read(1)
        if answer:
            os.write(ours, answer)
    time.sleep(0.05)
    if isinstance(end, bytes):
        os.write(ours, end)
    else:
        running.send_signal(end)
    out, err = running.communicate(timeout=30)
    os.close(ours)
    os.close(theirs)
    assert running.returncode == status, err
    assert b"kept in boat.answers" in out + err
    kept = (tmp_path / "boat.answers").read_text(encoding="utf-8").splitlines()
    assert kept[1:] == ["us", "Mine"]


def test_without_a_name_the_folder_is_my_boat(tmp_path: Path) -> None:
    assert keelwatt("start", cwd=tmp_path).returncode == 0
    assert (tmp_path / "my-boat" / "outing.toml").is_file()


def test_a_file_in_the_place_of_kept_answers_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "boat.answers").write_text("mine", encoding="utf-8")
    refused = start(tmp_path / "boat", b"quit\n")
    assert refused.returncode == 3
    assert (tmp_path / "boat.answers").read_text(encoding="utf-8") == "mine"


def test_what_is_assumed_and_what_is_left_are_told(tmp_path: Path) -> None:
    made = start(tmp_path / "boat", b"\n" * 60, "--json")
    assert "(47 left)" in made.stderr
    assert "(1 left)" in made.stderr
    assert "craft: hull_height 18 cm" in json.loads(made.stdout)["assumed"]


def test_nobody_is_asked_for_a_folder_that_is_there(tmp_path: Path) -> None:
    (tmp_path / "boat").mkdir()
    refused = start(tmp_path / "boat", b"\n" * 60)
    assert refused.returncode == 3
    assert "nothing was changed" in refused.stderr
    assert "?" not in refused.stderr
    assert list((tmp_path / "boat").iterdir()) == []


def test_ctrl_c_stops_and_writes_nothing(tmp_path: Path) -> None:
    running = subprocess.Popen(
        [*COMMAND, "start", "boat", "--ask", "--json"],
        cwd=tmp_path,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert running.stdin is not None
    assert running.stderr is not None
    running.stdin.write(b"\n")
    running.stdin.flush()
    seen = b""
    while b"called" not in seen:
        seen += running.stderr.read(1)
    time.sleep(0.05)
    running.send_signal(signal.SIGINT)
    running.wait(timeout=30)  # its input still open, so that no end of it comes first
    out, err = running.communicate()
    assert running.returncode == 5
    assert b"nothing was written" in err
    assert b"Traceback" not in err
    assert json.loads(out)["status"] == "unproved"
    assert left_over(tmp_path / "boat") == []


def test_a_bare_shelf_waits_for_ones_own_parts(tmp_path: Path) -> None:
    made = keelwatt("start", "boat", "--bare", cwd=tmp_path)
    assert "keelwatt catalog add battery --catalog boat/catalog" in made.stdout
    catalog = tmp_path / "boat" / "catalog"
    assert (catalog / "batteries.csv").read_text(encoding="utf-8").count("\n") == 1
    assert (catalog / "cables.csv").read_text(encoding="utf-8").count("\n") > 1
    picked = keelwatt("pick", "boat/outing.toml", cwd=tmp_path)
    assert picked.returncode == 3
    assert "keelwatt catalog add" in picked.stderr


def test_a_starter_in_units_of_the_united_states_has_a_kit(tmp_path: Path) -> None:
    assert keelwatt("start", "boat", "--units", "us", cwd=tmp_path).returncode == 0
    text = (tmp_path / "boat" / "outing.toml").read_text(encoding="utf-8")
    assert 'waterline_length = "15 ft"' in text
    assert 'temperature_spread = "3 degC"' in text
    picked = keelwatt("pick", "boat/outing.toml", cwd=tmp_path)
    assert picked.returncode == 0
    assert " lb\n" in picked.stdout


def test_a_form_waits_for_an_outing_to_be_saved_beside_it(tmp_path: Path) -> None:
    made = keelwatt("start", "boat", "--form", "--json", cwd=tmp_path)
    assert json.loads(made.stdout)["outing"] == "boat/form.html"
    assert sorted(path.name for path in (tmp_path / "boat").iterdir()) == ["catalog", "form.html"]
    both = keelwatt("start", "other", "--form", "--ask", cwd=tmp_path)
    assert (both.returncode, "--ask" in both.stderr) == (3, True)
    assert not (tmp_path / "other").exists()
