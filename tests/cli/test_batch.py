"""keelwatt batch as a user runs it."""

import json
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from keelwatt.batches.file import read_rows
from running import keelwatt
from samples import small_outing_text, write_catalog

MAIN = (
    "import signal; signal.signal(signal.SIGINT, signal.default_int_handler);"
    "from keelwatt.cli import main; main()"
)
"""Listens to Ctrl-C even where whoever runs the tests does not, as in the background of a shell."""

SIGNALS = pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
COMMAND = [sys.executable, "-c", MAIN, "batch"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A catalog, an outing that a kit fits, one that none fits and one to put right."""
    write_catalog(tmp_path / "catalog")
    good = small_outing_text()
    for name, text in (
        ("good", good),
        ("dear", good.replace("budget = 1200", "budget = 10")),
        ("bare", good.replace('"82 kg"', "82")),
    ):
        (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8")
    return tmp_path


def batch(
    folder: Path, *arguments: str, fresh: bool = False, **environment: str
) -> subprocess.CompletedProcess[str]:
    """``fresh``: in an interpreter of its own, whose workers see it end."""
    command = ("batch", *arguments, "--out", "results.csv")
    return keelwatt(*command, cwd=folder, fresh=fresh, env=environment)


def test_all_worked_out_is_status_0(folder: Path) -> None:
    result = batch(folder, "good.toml", "dear.toml", fresh=True)
    assert result.returncode == 0
    assert "2 of 2 done" in result.stderr
    assert "2 outings: 1 with a kit proved best, 1 that no kit fits." in result.stdout
    assert len(read_rows(folder / "results.csv")) == 2


def test_outings_to_put_right_are_status_3_and_rows_too(folder: Path) -> None:
    result = batch(folder, "good.toml", "bare.toml", "gone.toml", "--json", "--workers", "1")
    assert result.returncode == 3
    data = json.loads(result.stdout)
    assert data["status"] == "invalid"
    assert data["counts"] == {"best": 1, "unproved": 0, "impossible": 0, "invalid": 2, "bug": 0}
    assert [row["file"] for row in data["rows"]] == ["good.toml", "bare.toml", "gone.toml"]
    assert isinstance(data["rows"][0]["price"], float)
    assert isinstance(data["rows"][0]["series"], int)


@pytest.mark.few(1)
@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_is_wider_than_the_screen(folder: Path, width: int) -> None:
    result = batch(folder, "bare.toml", "gone.toml", "--workers", "1", COLUMNS=str(width))
    assert result.stdout
    for line in (result.stdout + result.stderr).splitlines():
        assert len(line) <= width, line


def test_a_file_that_is_not_ours_is_refused_in_words_and_as_data(folder: Path) -> None:
    mine = folder / "results.csv"
    mine.write_text("mine", encoding="utf-8")
    words, data = batch(folder, "good.toml"), batch(folder, "good.toml", "--json")
    assert (words.returncode, data.returncode) == (3, 3)
    assert "name another file with --out" in " ".join(words.stderr.split())
    assert "--again" not in words.stderr
    assert json.loads(data.stdout)["problems"][0]["file"] == "results.csv"
    assert mine.read_text(encoding="utf-8") == "mine"


def test_a_broken_catalog_is_told_before_any_work(folder: Path) -> None:
    (folder / "catalog" / "fuses.csv").unlink()
    result = batch(folder, "good.toml")
    assert result.returncode == 3
    assert "fuses.csv" in result.stderr
    assert not (folder / "results.csv").exists()


def begun(folder: Path) -> subprocess.Popen[str]:
    """A long batch with two workers, once the first rows are in its file."""
    good = small_outing_text()
    names = [f"{number}.toml" for number in range(60)]
    for number, name in enumerate(names):
        own = good.replace('"82 kg"', f'"{80 + number / 10} kg"')
        (folder / name).write_text(own, encoding="utf-8")
    process = subprocess.Popen(
        [*COMMAND, *names, "--out", "results.csv", "--workers", "2", "--json"],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    assert process.stderr
    assert process.stderr.readline() == "0 of 60 done\n"
    assert re.fullmatch(r"[1-9][0-9]? of 60 done\n", process.stderr.readline())
    return process


@SIGNALS
@pytest.mark.parametrize(
    "name",
    [
        "SIGTERM",
        pytest.param("SIGINT", marks=pytest.mark.slow),
        pytest.param("SIGHUP", marks=pytest.mark.slow),
    ],
)
def test_told_to_end_it_leaves_a_valid_file_and_no_traceback(folder: Path, name: str) -> None:
    process = begun(folder)
    if name == "SIGINT":
        os.killpg(process.pid, signal.SIGINT)
    else:
        os.kill(process.pid, getattr(signal, name))
    stdout, stderr = process.communicate(timeout=60)
    assert process.returncode == 5
    assert "goes on from here" in stderr
    assert "Traceback" not in stderr
    assert json.loads(stdout)["status"] == "unproved"
    assert 1 <= len(read_rows(folder / "results.csv")) < 60
    assert not list(folder.glob(".*"))


@SIGNALS
def test_killed_it_leaves_no_workers(folder: Path) -> None:
    process = begun(folder)
    os.kill(process.pid, signal.SIGKILL)
    # Its workers hold the pipes as well: they close when the last one has ended, long before the
    # five minutes after which an idle worker leaves by itself.
    process.communicate(timeout=120)
    assert process.returncode == -signal.SIGKILL
    assert 1 <= len(read_rows(folder / "results.csv")) < 60
    assert batch(folder, "good.toml", "--again", fresh=True).returncode == 0
    assert not list(folder.glob(".*"))


@SIGNALS
def test_a_batch_goes_on_though_nobody_reads_its_progress(folder: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    command = [*COMMAND, "good.toml", "bare.toml", "--out", "results.csv", "--workers", "1"]
    ended = subprocess.run(
        command, cwd=folder, stdout=subprocess.DEVNULL, stderr=write, check=False
    )
    os.close(write)
    assert ended.returncode in {0, 3}
    assert len(read_rows(folder / "results.csv")) == 2
