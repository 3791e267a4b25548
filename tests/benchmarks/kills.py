"""Commands that write, killed at random moments, and what is wrong with the files afterwards.

``PYTHONPATH=tests python tests/benchmarks/kills.py --most 500 --seconds 3600`` sends INT, TERM or
KILL after a random time, or between any two things that a command does to files. Every file must be
as before or as the whole command leaves it, with the old text in its backup; nothing hidden and no
process may stay behind, or after KILL only until the next command writes there.
"""

import argparse
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from random import Random
from time import monotonic, sleep

from samples import small_outing_text, write_catalog

ROOT = Path(__file__).parents[2]
EXAMPLE, SHIPPED = ROOT / "examples" / "reservoir-sampling", str(ROOT / "catalog")
FUSE = "us\nStrip 70\n\n70\n?\nunknown\n\n\n9\n\n"
NEXT = "pick outing.toml --shopping next.csv"
NEXT = "pick outing.toml --shopping next.csv"
DONE = "Files touched:"
HOOKED = """
import os, signal, sys
at, kind, touched = int(sys.argv[1]), int(sys.argv[2]), 0
signal.signal(signal.SIGINT, signal.default_int_handler)
def heard(event, given):
    global touched
    writes = event == "open" and isinstance(given[2], int) and given[2] & (os.O_WRONLY | os.O_RDWR)
    if writes or event in {"os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.link"}:
        touched += 1
        if touched == at:
            os.kill(os.getpid(), kind)
sys.addaudithook(heard)
sys.argv = ["keelwatt", *sys.argv[3:]]
from keelwatt.__main__ import main
try:
    main()
finally:
    print("Files touched:", touched, file=sys.stderr)
"""
"""The command, sent a signal just before it touches files for the so many-th time."""

COMMANDS = {
    "start boat": "",
    "start boat --ask": "kayak\nquit\n",
    "catalog add fuse --catalog catalog": FUSE,
    "pick dear.toml --apply 1": "",
    "pick outing.toml --page page.html --shopping list.csv": "",
    "pick outing.toml --page old.html --again": "",
    "whatif outing.toml --set hours=+1h --page page.html": "",
    "whatif outing.toml --set budget=900 --write": "",
    f"tune trip.toml log.csv --kit kit.json --write --catalog {SHIPPED}": "",
    "batch outing.toml dear.toml 0.toml 1.toml 2.toml --out rows.csv --workers 2": "",
    "batch outing.toml dear.toml 0.toml --out old.csv --workers 1": "",
}
"""A command line, and what is typed."""


def filled(folder: Path) -> Path:
    """A folder with all that the commands read, and earlier files of theirs."""
    good = small_outing_text()
    write_catalog(folder / "catalog")
    for name, text in (
        ("outing", good),
        ("dear", good.replace("budget = 1200", "budget = 10")),
        *((str(n), good.replace('"82 kg"', f'"{80 + n} kg"')) for n in range(3)),
    ):
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    for new, name in (("trip.toml", "outing.toml"), ("log.csv",) * 2, ("kit.json",) * 2):
        shutil.copy(EXAMPLE / name, folder / new)
    for name, data in earlier().items():
        (folder / name).write_bytes(data)
    return folder


@cache
def earlier() -> dict[str, bytes]:
    """A page of another outing, and the rows of two."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        write_catalog(folder / "catalog")
        (folder / "0.toml").write_text(small_outing_text(), encoding="utf-8")
        for words in ("pick 0.toml --page old.html", "batch 0.toml --out old.csv --workers 1"):
            begun(folder, words).communicate()
        return {name: (folder / name).read_bytes() for name in ("old.html", "old.csv")}


def begun(folder: Path, words: str, at: int = 0, kind: int = 0) -> "subprocess.Popen[str]":
    """The command; it is sent the signal at the so many-th touch, 0 is never."""
    command = [sys.executable, "-c", HOOKED, str(at), str(kind), *words.split()]
    with tempfile.TemporaryFile("w+") as typed:
        typed.write(COMMANDS.get(words, ""))
        typed.seek(0)
        out, told = subprocess.DEVNULL, subprocess.PIPE
        return subprocess.Popen(
            command, cwd=folder, text=True, stdin=typed, stdout=out, stderr=told
        )


def held(folder: Path) -> dict[str, bytes]:
    """Every file by name, without what tells when it was made."""
    paths = [path for path in folder.rglob("*") if path.is_file()]
    return {str(path.relative_to(folder)): _undated(path) for path in paths}


def _undated(path: Path) -> bytes:
    return re.sub(rb"\d+", b"", path.read_bytes()) if path.suffix == ".html" else path.read_bytes()


@cache
def whole(words: str) -> tuple[dict[str, bytes], int, float]:
    """What a command leaves, how often it touches files, and its seconds."""
    with tempfile.TemporaryDirectory() as made:
        folder, since = filled(Path(made)), monotonic()
        told = begun(folder, words).communicate()[1]
        return held(folder), int(told.rpartition(DONE)[2]), monotonic() - since


def one(seed: int, count: int) -> tuple[str, list[str]]:
    """What was done, and all that was wrong afterwards."""
    random = Random(f"{seed} {count}")
    words = random.choice(list(COMMANDS))
    kind = random.choice((signal.SIGINT, signal.SIGTERM, signal.SIGKILL))
    after, touches, seconds = whole(words)
    with tempfile.TemporaryDirectory() as made:
        folder = filled(Path(made))
        before = held(folder)
        at = random.randint(1, touches) if random.random() < 0.6 else 0
        process = begun(folder, words, at, kind)
        moment = random.uniform(0, 1.1) * seconds
        if not at:
            sleep(moment)
            process.send_signal(kind)
        where = f"touch {at}" if at else f"{moment:.2f} s"
        told = process.communicate(timeout=60)[1]
        wrong = [*_damage(before, after, held(folder)), *_behind(folder, words, kind)]
        if "Traceback" in told and "keelwatt" in told:
            wrong.append(told[-300:])
        return f"{kind.name} at {where}: {words}", wrong


def _damage(
    before: dict[str, bytes], after: dict[str, bytes], now: dict[str, bytes]
) -> Iterator[str]:
    for name in before.keys() - now.keys():
        yield f"{name} is lost"
    for name, data in now.items():
        lines = set(after.get(name, b"").splitlines(keepends=True))
        rows = name in ("rows.csv", "old.csv") and lines >= set(data.splitlines(keepends=True))
        if "/." not in f"/{name}" and not rows and data not in (before.get(name), after.get(name)):
            yield f"{name} is neither old nor new: {len(data)} bytes"
        backup = f"{name}.bak"
        if backup in after and data != before[name] and now.get(backup) != before[name]:
            yield f"{name} is new and its old text is lost"


def _behind(folder: Path, words: str, kind: int) -> Iterator[str]:
    """Hidden files and processes; after KILL those that outlast the next of these commands."""
    until = monotonic() + 5
    while (left := _processes(folder)) and monotonic() < until:
        sleep(0.1)
    yield from (f"process {name} is left" for name in left)
    if kind == signal.SIGKILL and (hidden := list(folder.rglob(".*"))):
        for path in hidden:
            os.utime(path, (0, 0))
        begun(folder, words if words.startswith(("batch", "catalog")) else NEXT).communicate()
    yield from (f"{path.name} is left" for path in folder.rglob(".*"))


def _processes(folder: Path) -> list[str]:
    """What runs in the folder."""
    found = []
    for process in Path("/proc").glob("[0-9]*"):
        try:
            if (process / "cwd").resolve() == folder.resolve():
                found.append((process / "cmdline").read_text().replace("\0", " ")[:80])
        except OSError:
            continue
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--most", type=int, default=500, help="how many kills")
    parser.add_argument("--seconds", type=float, default=3600)
    asked = parser.parse_args()
    begin, done, faults = monotonic(), 0, 0
    for count in range(asked.first, asked.first + asked.most):
        if monotonic() - begin > asked.seconds:
            break
        what, wrong = one(asked.seed, count)
        done, faults = done + 1, faults + bool(wrong)
        if wrong:
            print(f"{count}: {what}", *wrong, sep="\n  ", flush=True)
    print(f"{done} kills in {monotonic() - begin:.0f} s, {faults} with something wrong")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
