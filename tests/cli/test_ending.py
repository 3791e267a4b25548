"""How a command line ends: help, wrong usage, bugs, Ctrl-C and answers nobody takes."""

import json
import os
import pty
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from golden.kept import ran
from golden.test_goldens import COMMANDS
from keelwatt.words import UNPRINTABLE
from running import keelwatt
from samples import small_outing_text, write_catalog

FULL = Path("/dev/full")
PICK = ("pick", "outing.toml")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_catalog(tmp_path / "catalog")
    (tmp_path / "outing.toml").write_text(small_outing_text(), encoding="utf-8")
    return tmp_path


def python(folder: Path, *arguments: str, **streams: int) -> subprocess.CompletedProcess[str]:
    piped: dict[str, int] = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **streams}
    ended: subprocess.CompletedProcess[str] = subprocess.run(
        [sys.executable, *arguments],
        cwd=folder,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
        env={**os.environ, "COLUMNS": "80"},
        **piped,  # type: ignore[call-overload]
    )
    return ended


def nobody_reads(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """The command with its stdout piped to somebody who has gone already."""
    read, write = os.pipe()
    os.close(read)
    try:
        return python(folder, "-m", "keelwatt", *arguments, stdout=write)
    finally:
        os.close(write)


def at_a_terminal(folder: Path, pager: str, *arguments: str, typed: bytes = b"") -> bytes:
    """What the terminal shows of a command that ends well."""
    master, slave = pty.openpty()
    os.write(master, typed)
    with subprocess.Popen(
        [sys.executable, "-m", "keelwatt", *arguments],
        cwd=folder,
        stdin=slave,
        stdout=slave,
        stderr=subprocess.PIPE,
        env={**os.environ, "COLUMNS": "80", "PAGER": pager, "TERM": "xterm"},
    ) as running:
        os.close(slave)
        read = b""
        try:
            while part := os.read(master, 4096):
                read += part
        except OSError:
            pass
    os.close(master)
    assert running.returncode == 0
    return read


@pytest.mark.few(2)
@pytest.mark.parametrize("pager", ["head -n 1", "cat", "false", "no-such-pager"])
def test_a_pager_left_early_is_no_fault(pager: str, folder: Path) -> None:
    read = at_a_terminal(folder, pager, *PICK, "--full")
    assert (b"Be careful" in read) == (pager == "cat")


def test_a_first_screen_and_a_question_go_through_no_pager(folder: Path) -> None:
    assert b"flooded-75" in at_a_terminal(folder, "false", "catalog", "list", "--catalog=catalog")
    change = ("whatif", "outing.toml", "--set", "title=Round it", "--write", "--full")
    asked = at_a_terminal(folder, "false", *change, typed=b"y\n")
    assert asked.index(b"Round it") < asked.index(b"Write this?") < asked.index(b"Written")


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_h_is_help(command: str, tmp_path: Path) -> None:
    short, long = (ran(f"{command} {word}".strip(), tmp_path) for word in ("-h", "--help"))
    assert short.status == long.status == 0
    assert short.told == long.told
    assert "Usage:" in short.told["stdout"]


RAW = re.compile(r"{[A-Z]|[A-Z]}|<[a-z ]+>|\\[x[<>=]|\\]\\.\\.\\.\\]|\\.{4}")
"""Marks of the library that prints the help."""


@pytest.mark.parametrize("width", [36, 120])
@pytest.mark.parametrize("command", ["", "catalog", *COMMANDS])
def test_help_fits_and_has_no_raw_marks(command: str, width: int, tmp_path: Path) -> None:
    told = keelwatt(*command.split(), "--help", cwd=tmp_path, COLUMNS=str(width))
    lines = told.stdout.splitlines()
    assert told.returncode == 0
    assert max(map(len, lines)) <= width
    assert not [line for line in lines if RAW.search(line)]
    if width == 120 and command != "catalog":
        assert max(map(len, lines)) > 66


def test_it_runs_as_a_module(tmp_path: Path) -> None:
    made = python(tmp_path, "-m", "keelwatt", "--version")
    assert (made.returncode, made.stdout.startswith("keelwatt ")) == (0, True)


def test_completion_can_be_shown_and_installed(tmp_path: Path) -> None:
    told = ran("--help", tmp_path).told["stdout"]
    assert "--install-completion" in told
    assert "--show-completion" in told
    asked = python(
        tmp_path,
        "-c",
        "import os; os.environ |= {'_KEELWATT_COMPLETE': 'complete_bash',"
        " 'COMP_WORDS': 'keelwatt st', 'COMP_CWORD': '1'};"
        "from keelwatt.cli import app; app(prog_name='keelwatt')",
    )
    assert asked.stdout.split() == ["start", "stretch"]


@pytest.mark.parametrize(
    ("command", "what", "remedy"),
    [
        ("pick", "Missing argument", "keelwatt pick --help"),
        ("pick x.toml --by colour", "colour", "keelwatt pick --help"),
        ("catalog chekc", "chekc", "keelwatt catalog --help"),
        ("--nope", "--nope", "keelwatt --help"),
    ],
)
def test_wrong_usage_is_data_too(command: str, what: str, remedy: str, tmp_path: Path) -> None:
    plain, data = (
        keelwatt(*words.split(), cwd=tmp_path) for words in (command, f"{command} --json")
    )
    assert plain.returncode == data.returncode == 2
    assert plain.stdout == ""
    if "nope" not in command:
        assert plain.stderr == data.stderr
    told = json.loads(data.stdout)
    assert told["status"] == "usage"
    (problem,) = told["problems"]
    assert what in problem["what"]
    assert remedy.partition(" ")[2] in problem["remedy"]


def test_a_missing_choice_is_told_within_the_screen(tmp_path: Path) -> None:
    told = keelwatt("stretch", "x.toml", cwd=tmp_path, COLUMNS="40").stderr
    assert "\\" not in told
    assert max(map(len, told.splitlines())) <= 40
    assert "Choose from: budget, season," in " ".join(told.split())


@pytest.mark.parametrize(
    "command", ["pick x.toml {}", "pick x.toml --se{}", "pick x.toml --by {}", "{}"]
)
def test_wrong_usage_cannot_turn_the_screens_text(command: str, tmp_path: Path) -> None:
    result = ran(command.format("\u202e\x1b"), tmp_path)
    assert result.status == 2
    assert r"\u202e\x1b" in result.told["stderr"]
    assert not UNPRINTABLE.search(result.told["stderr"])
    assert "Value error" not in result.told["stderr"]


@pytest.mark.parametrize(
    ("raised", "traced"), [("ZeroDivisionError", True), ("errors.InternalError", False)]
)
def test_a_bug_is_data_too(folder: Path, raised: str, traced: bool) -> None:
    broken = (
        "from keelwatt import errors; from keelwatt.explain import why\n"
        f"def broken(*_, **__): raise {raised}('here')\n"
        "why.why = broken"
    )
    ended = keelwatt("why", "outing.toml", "x", "--json", cwd=folder, before=broken)
    assert ended.returncode == 1
    told = json.loads(ended.stdout)
    assert told["status"] == "bug"
    assert "here" in told["problems"][0]["what"]
    assert "report" in told["problems"][0]["remedy"]
    assert ("Traceback" in ended.stderr) == traced


@pytest.mark.few(2)
@pytest.mark.parametrize(
    "words", [PICK, (*PICK, "--json"), ("catalog", "list"), ("--help",), ("--version",)]
)
def test_a_closed_pipe_is_no_fault(folder: Path, words: tuple[str, ...]) -> None:
    ended = nobody_reads(folder, *words)
    assert (ended.returncode, ended.stderr) == (0, "")


def test_files_are_written_before_anything_is_printed(folder: Path) -> None:
    files = ("list.csv", "page.html")
    told = nobody_reads(folder, *PICK, "--shopping", files[0], "--page", files[1])
    assert told.returncode == 0
    assert all((folder / name).is_file() for name in files)


def test_files_are_written_though_nobody_hears_of_them(folder: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    words = ("-m", "keelwatt", *PICK, "--shopping", "list.csv", "--page", "page.html")
    ended = python(folder, *words, stderr=write)
    os.close(write)
    assert ended.returncode == 0
    assert (folder / "page.html").is_file()


def test_an_outing_is_rewritten_before_anything_is_printed(folder: Path) -> None:
    dear = small_outing_text().replace("budget = 1200", "budget = 10")
    outing = folder / "outing.toml"
    outing.write_text(dear, encoding="utf-8")
    ended = nobody_reads(folder, *PICK, "--apply", "1")
    assert (ended.returncode, ended.stderr) == (0, "")
    assert outing.read_text(encoding="utf-8") != dear


@pytest.mark.few(1)
@pytest.mark.skipif(not FULL.exists(), reason="no /dev/full here")
@pytest.mark.parametrize("words", [PICK, (*PICK, "--json"), ("--help",)])
def test_a_full_disk_is_told_in_a_sentence(folder: Path, words: tuple[str, ...]) -> None:
    with FULL.open("w") as full:
        ended = python(folder, "-m", "keelwatt", *words, stdout=full.fileno())
    assert ended.returncode == 1
    (line,) = ended.stderr.splitlines()
    assert line.startswith("keelwatt: the answer could not be written: ")


def test_an_error_of_a_file_is_no_full_disk(folder: Path) -> None:
    broken = "from keelwatt.explain import why\nwhy.why = lambda *_, **__: open('/no/such/file')"
    ended = keelwatt("why", "outing.toml", "x", cwd=folder, before=broken)
    assert ended.returncode == 1
    assert "FileNotFoundError" in ended.stderr


@pytest.mark.parametrize("module", ["keelwatt.cli", "keelwatt.cli.options", "typer"])
def test_ctrl_c_while_it_is_being_loaded_is_silent(tmp_path: Path, module: str) -> None:
    script = (
        "import sys\n"
        "class Stopped:\n"
        "    def find_spec(self, name, *_):\n"
        f"        if name == '{module}': raise KeyboardInterrupt\n"
        "sys.meta_path.insert(0, Stopped())\n"
        "from keelwatt.__main__ import main; main()"
    )
    ended = python(tmp_path, "-c", script)
    assert (ended.returncode, ended.stdout, ended.stderr) == (130, "", "")


@pytest.mark.parametrize(
    ("budget", "told"),
    [
        (
            "1200",
            r"Stopped before the answer was explained. The best kit: 2 x [\w-]+, [\w-]+; .* kg\.",
        ),
        ("5", "Stopped before what clashes and the ways out were found. No kit meets every limit."),
    ],
)
def test_stopped_while_explained_what_is_known_is_told(
    folder: Path, budget: str, told: str
) -> None:
    text = small_outing_text().replace("budget = 1200", f"budget = {budget}")
    (folder / "outing.toml").write_text(text, encoding="utf-8")
    stopping = (
        "from keelwatt.explain import advise\n"
        "def stopped(*_, **__): raise KeyboardInterrupt\n"
        "advise.prices = advise.conflicts = stopped"
    )
    ended = keelwatt(*PICK, cwd=folder, before=stopping)
    assert (ended.returncode, ended.stdout) == (5, "")
    assert re.fullmatch(told, " ".join(ended.stderr.split()))


@pytest.mark.skipif(not hasattr(signal, "SIGTERM"), reason="signals of POSIX")
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP", "SIGINT"])
def test_told_to_end_while_it_writes_it_ends_a_file_first(folder: Path, name: str) -> None:
    stopping = (
        "import os, signal; from keelwatt.report.page import page\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "from pathlib import Path; write = Path.write_text\n"
        "def stopped(self, *given, **how):\n"
        "    write(self, *given, **how); os.kill(os.getpid(), signal." + name + ")\n"
        "Path.write_text = stopped"
    )
    ended = keelwatt(*PICK, "--shopping", "list.csv", cwd=folder, before=stopping)
    assert (ended.returncode, ended.stdout) == (5, "")
    assert "Traceback" not in ended.stderr
    assert {path.name for path in folder.iterdir()} == {"catalog", "outing.toml", "list.csv"}
    assert (folder / "list.csv").read_text(encoding="utf-8").endswith("\n")


@pytest.mark.parametrize("name", ["a" * 5000, "a" * 250 + "/" + "b" * 300, "loop"])
@pytest.mark.parametrize(
    "words",
    [
        ("pick", "{}"),
        ("pick", "outing.toml", "--page", "{}"),
        ("pick", "outing.toml", "--shopping", "{}", "--again"),
        ("pick", "outing.toml", "--catalog", "{}"),
        ("prove", "outing.toml", "--kit", "{}"),
        ("batch", "outing.toml", "--out", "{}"),
        ("compare", "outing.toml", "{}", "best"),
        ("why", "outing.toml", "{}"),
        ("start", "{}"),
    ],
)
def test_names_no_system_takes_are_problems(
    folder: Path, words: tuple[str, ...], name: str
) -> None:
    (folder / "loop").symlink_to(folder / "loop")
    ended = keelwatt(*(word.format(name) for word in words), cwd=folder)
    assert (ended.returncode, ended.stdout) == (3, "")
    assert "put right" in ended.stderr
    assert len(ended.stderr) < 2000


def test_no_name_reaches_the_terminal_raw(folder: Path) -> None:
    foul = "\x1b]0;owned\x07\u202e"
    (folder / "outing.toml").rename(folder / f"{foul}.toml")
    (folder / "catalog").rename(folder / foul)
    shelf = ("--catalog", foul)
    for words in (
        ("pick", f"{foul}.toml", *shelf, "--full", "--sheet"),
        ("pick", f"{foul}.toml", *shelf, "--shopping", f"{foul}.csv", "--page", f"{foul}.html"),
        ("pick", f"{foul}.none", *shelf),
        ("pick", "none.toml", "--by", foul),
        ("whatif", f"{foul}.toml", *shelf, "--set", "hours=+1h"),
        ("whatif", f"{foul}.toml", *shelf, "--set", f"{foul}={foul}"),
        ("why", f"{foul}.toml", foul, *shelf),
        ("batch", f"{foul}.toml", "none", *shelf, "--out", f"{foul}.rows", "--workers", "1"),
        ("catalog", "check", *shelf),
        ("start", f"{foul}.boat"),
        (foul,),
    ):
        ended = keelwatt(*words, cwd=folder)
        assert ended.returncode in {0, 2, 3}
        assert not set(foul) & set("\x1b\x07\u202e") & set(ended.stdout + ended.stderr), words
