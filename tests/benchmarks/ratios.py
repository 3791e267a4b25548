"""How fast, against what: ``python tests/benchmarks/ratios.py [--times 1,10,30,100]``.

Prints plain tables of what was measured in this one run: seconds of CPU, so that what else the
machine does matters little; a batch on several workers goes by the clock. Every measurement is a
process of its own with a limit on time and memory; what passes a limit is a "-" (or, for a
yardstick, "more than").
Catalogs of 1, 10, 30, 100 times the shipped catalog's rows come from ``catalogs.py``.

Needs the extras ``bench`` and a system with POSIX resource limits; without OR-Tools its column is
empty. Knows nothing but the standard library, so that it stays smaller than what it measures.

Processes may keep what they compile, also where PYTHONDONTWRITEBYTECODE forbids it: the libraries'
was kept when they were installed, and ours alone would be compiled at every start.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import inf
from pathlib import Path
from statistics import median
from threading import Timer
from time import perf_counter

ROOT = Path(__file__).parents[2]
OUTING = ROOT / "examples" / "reservoir-sampling" / "outing.toml"
USED = "numpy, pandas, pydantic, pulp, highspy, rich, typer"
"""What answers are made with, nothing of it asked to do anything; pandas makes frames alone, and a
pick does not load it."""

LOADED = USED.replace("pandas, ", "")

DECLARED = f"{USED}, jinja2, joblib, scipy, tomlkit"
"""Everything keelwatt depends on."""

KEELWATT = [sys.executable, "-c", "from keelwatt.cli import main; main()"]
STEPS = ("read", "bounds", "tables", "search", "build", "solve", "prove", "rest", "explain")
OURS = ("bounds", "tables", "search", "build", "solve")
"""What the other ways to solve are measured against: floors, search, program and its solve."""

ASKED = {
    "explained": 3,
    "why": 3,
    "hours": 5,
    "speed": 5,
    "reserve": 5,
    "recharge": 5,
    "trim": 5,
    "tradeoff": 5,
    "no budget": 8,
    "no trim": 8,
    "scant": 8,
}
"""Explanations, and how many picks of the same catalog each may take."""

KEEPING = {name: set_to for name, set_to in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}

SEED = 1
REPEATS = 5
MEGABYTE = 1 << 20


@dataclass(frozen=True)
class Run:
    """One process: seconds of CPU and on the clock, None where it failed or was stopped; what it
    had spent by then is ``ended``."""

    seconds: float | None
    clock_s: float | None
    peak_mb: float
    told: dict[str, float]
    ended: float


def run(command: Sequence[str], limit_s: float) -> Run:
    """A process from start to end, its peak memory and the JSON lines it printed."""
    start = perf_counter()
    with tempfile.TemporaryFile() as out:
        process = subprocess.Popen(
            command,
            stdout=out,
            stderr=subprocess.DEVNULL,
            cwd=ROOT,
            env={**KEEPING, "PYTHONPATH": str(ROOT / "tests"), "OPENBLAS_NUM_THREADS": "1"},
        )
        timer = Timer(limit_s, process.kill)
        timer.start()
        _, status, usage = os.wait4(process.pid, 0)
        passed_s = perf_counter() - start
        timer.cancel()
        process.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        lines = out.read().decode(errors="replace").splitlines()
    told: dict[str, float] = {}
    for line in lines:
        if line.startswith("{") and line.endswith("}"):
            told |= json.loads(line)
    unit = 1 if sys.platform == "darwin" else 1024
    ended = usage.ru_utime + usage.ru_stime
    seconds, clock_s = (ended, passed_s) if process.returncode == 0 else (None, None)
    return Run(seconds, clock_s, usage.ru_maxrss * unit / MEGABYTE, told, ended)


@dataclass
class Subject:
    """One catalog and everything measured with it."""

    name: str
    folder: Path
    steps: dict[str, float] = field(default_factory=dict)
    imports_s: dict[str, float] = field(default_factory=dict)
    pick: Run = Run(None, None, 0.0, {}, 0.0)
    others: dict[str, Run] = field(default_factory=dict)

    def sum(self, steps: Sequence[str]) -> float | None:
        return sum(self.steps.get(step, 0.0) for step in steps) if "least" in self.steps else None


def middle(runs: Sequence[Run]) -> Run:
    """The median of some; one that failed, if any did."""
    inorder = sorted(runs, key=lambda each: each.seconds or inf)
    return inorder[-1] if inorder[-1].seconds is None else inorder[len(inorder) // 2]


def bare_s(names: str, limit_s: float) -> float:
    """Of a process that imports these and ends."""
    return run([sys.executable, "-c", f"import {names}"], limit_s).seconds or inf


def measured(subject: Subject, limit_s: float, most_mb: int, repeats: int) -> Subject:
    """Whole processes in turn with bare imports, then the steps, then the yardsticks."""
    imports: dict[str, list[float]] = {LOADED: [], USED: [], DECLARED: []}
    picks = []
    for _ in range(repeats):
        for names, each in imports.items():
            each.append(bare_s(names, limit_s))
        picks.append(
            run([*KEELWATT, "pick", str(OUTING), "--catalog", str(subject.folder)], limit_s)
        )
        if picks[-1].seconds is None:
            break
    subject.imports_s = {names: median(each) for names, each in imports.items()}
    subject.pick = middle(picks)

    def child(*arguments: str) -> Run:
        here = [arguments[0], str(subject.folder), str(OUTING), *arguments[1:]]
        return run(measure(most_mb, *here), limit_s)

    subject.steps = child("steps").told
    subject.others = {
        "enumeration": child("enumerated"),
        "milp": child("solved", "milp"),
        "cp-sat": child("solved", "cp-sat"),
    }
    return subject


def explanations(
    times: Sequence[int], seeds: Sequence[int], folder: Path, limit_s: float, most_mb: int
) -> None:
    """Each question in a process of its own, against one that only picks and proves."""
    rows = []
    for number in times:
        for seed in seeds:
            made = folder / f"asked-{number}x-{seed}"
            run(measure(most_mb, "make-catalog", str(made), str(number), str(seed)), limit_s)
            print(f"measuring {number}x, seed {seed}", file=sys.stderr, flush=True)
            ask = measure(most_mb, str(made), str(OUTING), by="ask")
            runs = {name: run([*ask, name], limit_s) for name in ASKED}
            pick = middle([run([*ask, "pick"], limit_s) for _ in range(REPEATS)])
            bare = ratio(pick.seconds, median(bare_s(USED, limit_s) for _ in range(REPEATS)))
            told = [
                f"> {ratio(limit_s, pick.seconds)}"
                if each.seconds is None
                else ratio(each.seconds, pick.seconds)
                for each in runs.values()
            ]
            peak = max(each.peak_mb for each in (pick, *runs.values()))
            rows.append(
                [f"{number}x", str(seed), seconds(pick.seconds), bare, *told, f"{peak:.0f}"]
            )
    table(
        "Whole process of an explanation, in times of a plain pick",
        ["catalog", "seed", "pick s", "bare", *ASKED, "peak MB"],
        [["at the most", "", "", "2.5, 4", *map(str, ASKED.values()), "300"], *rows],
    )
    print(
        "bare: a plain pick in imports of what is used, 2.5 at 1x, 4 at 100x;\n"
        "hours, speed, reserve, recharge, trim: a stretch over them; no budget, no trim: nothing\n"
        "fits for 100 of money or 0.001 degrees of trim, all conflicts and ways out; scant: 0.01\n"
        "degrees, at which hardly a kit fits or none; peak: the most of any in the row."
    )


def measure(most_mb: int, *arguments: str, by: str = "measure") -> list[str]:
    return [sys.executable, "-m", f"benchmarks.{by}", str(most_mb * MEGABYTE), *arguments]


def table(title: str, columns: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    """A plain table, numbers to the right."""
    widths = [max(map(len, cells)) for cells in zip(columns, *rows, strict=True)]
    print(f"\n{title}")
    for cells in (columns, *rows):
        first, *others = (cell.rjust(width) for cell, width in zip(cells, widths, strict=True))
        print("  ".join([first.strip().ljust(widths[0]), *others]))


def seconds(value: float | None) -> str:
    return "-" if value is None else f"{value:.3f}"


def ratio(value: float | None, by: float | None) -> str:
    if value is None or not by:
        return "-"
    return f"{value / by:.3g}"


def yardstick(subject: Subject, name: str) -> str:
    """How many times as long another way takes; "more than" where it was stopped."""
    other, own_s = subject.others[name], subject.sum(OURS)
    if name in other.told:
        agreed = other.told["least"] == subject.steps.get("least")
        return ratio(other.told[name], own_s) + ("" if agreed else " DISAGREES")
    if own_s and "began" in other.told:
        return f"> {ratio(other.ended - other.told['began'], own_s)}"
    return "-"


def report(subjects: Sequence[Subject]) -> None:
    """Seconds, then ratios, then growth."""
    table(
        "Seconds of each step of one pick, in a warm process",
        ["catalog", "parts", *STEPS],
        [
            [
                subject.name,
                str(subject.steps.get("parts", "-")),
                *(seconds(subject.steps.get(step)) for step in STEPS),
            ]
            for subject in subjects
        ],
    )
    print(
        "bounds: floors of couples; tables: their physics; search: the best of their kits;\n"
        "build, solve: the program that proves it; explain: prices or conflicts, ways out."
    )
    table(
        "Whole process: keelwatt pick, from start to exit",
        ["catalog", "seconds", "loaded", "ratio", "used", "ratio", "declared", "ratio", "peak MB"],
        [
            [
                subject.name,
                seconds(run.seconds),
                *(
                    text
                    for imports_s in subject.imports_s.values()
                    for text in (seconds(imports_s), ratio(run.seconds, imports_s))
                ),
                f"{run.peak_mb:.0f}",
            ]
            for subject in subjects
            for run in [subject.pick]
        ],
    )
    print(
        f"used: python -c 'import {USED}'; loaded: less pandas;\n"
        f"declared: besides these {DECLARED[len(USED) + 2 :]}"
    )
    table(
        "Other ways, in times of our own",
        ["catalog", "columns", "enumeration", "milp", "CP-SAT"],
        [
            [
                subject.name,
                str(subject.others["milp"].told.get("columns", "-")),
                yardstick(subject, "enumeration"),
                yardstick(subject, "milp"),
                yardstick(subject, "cp-sat"),
            ]
            for subject in subjects
        ],
    )
    print(
        "enumeration: every kit of the whole catalog in numpy, against our floors, search, build\n"
        "and solve; milp (scipy), CP-SAT: the Program pick solves."
    )
    first = subjects[0]
    table(
        f"Growth, in times of {first.name}",
        ["catalog", "parts", "whole process", "peak memory"],
        [
            [
                subject.name,
                ratio(subject.steps.get("parts"), first.steps.get("parts")),
                ratio(subject.pick.seconds, first.pick.seconds),
                ratio(subject.pick.peak_mb, first.pick.peak_mb),
            ]
            for subject in subjects
        ],
    )


def batches(folder: Path, count: int, limit_s: float, most_mb: int) -> None:
    """Many outings with one worker and with two."""
    run(measure(most_mb, "make-outings", str(folder), str(count), str(SEED)), limit_s)
    outings = sorted(str(path) for path in folder.glob("*.toml"))
    whole = {}
    for workers in (1, 2):
        out = str(folder / f"results-{workers}.csv")
        options = ["--out", out, "--workers", str(workers), "--catalog", str(ROOT / "catalog")]
        whole[workers] = run([*KEELWATT, "batch", *outings, *options], limit_s).clock_s
    files = [(folder / f"results-{workers}.csv") for workers in whole]
    same = all(file.exists() for file in files) and len({f.read_bytes() for f in files}) == 1
    table(
        f"keelwatt batch, {count} outings, whole process, on the clock",
        ["workers", "seconds", "speed"],
        [[str(w), seconds(s), ratio(whole[1], s)] for w, s in whole.items()],
    )
    print("The results files are the same." if same else "The results files DIFFER.")


def subjects(times: Sequence[int], folder: Path, limit_s: float, most_mb: int) -> Iterator[Subject]:
    yield Subject("shipped", ROOT / "catalog")
    for number in times:
        made = folder / f"{number}x"
        run(measure(most_mb, "make-catalog", str(made), str(number), str(SEED)), limit_s)
        yield Subject(f"{number}x", made)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n\n", 1)[0])
    parser.add_argument("--times", default="1,10,30,100", help="sizes of the made catalogs")
    parser.add_argument("--outings", type=int, default=200, help="outings of the batch; 0 for none")
    parser.add_argument("--seconds", type=float, default=60.0, help="limit of a measurement")
    parser.add_argument("--megabytes", type=int, default=8000, help="limit of a yardstick's memory")
    parser.add_argument("--repeats", type=int, default=3, help="whole processes; their median")
    parser.add_argument("--asked", default="1,2,3,5,10,30,100", help="sizes for explanations")
    parser.add_argument("--seeds", default="1,2", help="of the catalogs for explanations")
    asked = parser.parse_args()
    before = os.getloadavg()[0]
    times = [int(number) for number in asked.times.split(",") if number]
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        done = []
        for subject in subjects(times, folder, asked.seconds, asked.megabytes):
            print(f"measuring {subject.name}", file=sys.stderr, flush=True)
            done.append(measured(subject, asked.seconds, asked.megabytes, asked.repeats))
        print(f"Python {sys.version.split()[0]}, {os.cpu_count()} cores")
        if done:
            report(done)
        explanations(
            [int(number) for number in asked.asked.split(",") if number],
            [int(seed) for seed in asked.seeds.split(",")],
            folder,
            asked.seconds,
            asked.megabytes,
        )
        if asked.outings:
            print("measuring batch", file=sys.stderr, flush=True)
            batches(folder / "outings", asked.outings, 10 * asked.seconds, asked.megabytes)
    after = os.getloadavg()[0]
    print(
        f"\nLoad of the machine {before:.1f} before, {after:.1f} after, best nearly 0 for a batch."
    )


if __name__ == "__main__":
    main()
