"""Spoiled files and odd command lines, one after the other in this process, until time is up.

``PYTHONPATH=tests python tests/benchmarks/fuzz.py --seconds 600`` tells of every input that ended
in a traceback, a warning of a library, a status that does not exist, data that is no JSON, a
problem without a remedy, raw escape characters, more than 20 s or more than 500 MB. ``--only N``
runs the N-th input of a seed again and shows its files and what was wrong.

Commands and their options are taken from the app, so that what is added to it is tried as well.
"""

import argparse
import json
import os
import re
import signal
import sys
import tempfile
import traceback
import warnings
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from random import Random
from time import monotonic
from typing import Any

import typer
from typer.testing import CliRunner

from keelwatt.cli import app
from samples import small_outing_text, write_catalog

MOST_S, MOST_MB = 20, 500
TIMERS = (
    (signal.SIGPROF, signal.ITIMER_PROF, MOST_S),
    (signal.SIGALRM, signal.ITIMER_REAL, 6 * MOST_S),
)
"""Work, and waiting, which others on the machine prolong."""
ESCAPES = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u202e]")
STATUSES = {0, 2, 3, 4, 5}

NUMBERS = """0 -0 1 -1 0.1 1e-9 1e-300 5e-324 1e6 1e15 1e18 1e300 1e400 -1e300 nan inf -inf 1,250
1_000 0x10 12.5.1 ½ ٣ 100000000000000000000000000000 1/3 +5 --5 007""".split()  # noqa: SIM905
UNITS = [
    "",
    "m",
    "mm",
    "ft",
    "kg",
    "lb",
    "km/h",
    "mph",
    "h",
    "min",
    "A",
    "V",
    "Ah",
    "W",
    "%",
    "degF",
]
WORDS = [
    "", " ", "\x00", "\x1b[31m", "\u202e", "\ufeff", "=1+1", "'", '"', "\\", "\n", "[", "]", "{}",
    "#", ",", ";", "a" * 5000, "[" * 2000, "é", "😀", "none", "true", "../..", "/dev/full", "-",
    "--", "\ud800", "1e999", "best", "leg.out.speed", "NaN",
]  # fmt: skip
SETTINGS = """hours speed budget kit_mass lift reserve top_speed recharge trim heel season
turn_heel leg.out.speed leg.back.hours leg.1.distance craft.hull_mass craft.waterline_length
aboard.gear.mass aboard.1.x
policy.health parts.own parts.own_pieces.lfp-50 title wish.by water.temperature
craft.cable_run.stern/transom device.phone.power limits.voltage_drop policy.claimed_thrust
""".split()  # noqa: SIM905
LOG = """speed [km/h],current [A],voltage [V],headwind [m/s],throttle [%],run,heading
5,12.5,12.4,0,,a,out
4.6,12.4,12.4,1,,a,back
6.1,22,12.2,0,,,
3,4.5,12.6,0,,,
"""


class Hung(BaseException):
    """Raised where an input takes longer than it may."""


def number(random: Random) -> str:
    """A number, likely an absurd one, perhaps with a unit."""
    wild = f"{random.choice((1, -1)) * 10 ** random.uniform(-12, 20):.3g}"
    near = f"{random.uniform(0, 300):.3g}"
    chosen = random.choice([random.choice(NUMBERS), wild, near, near])
    return f"{chosen}{random.choice(('', ' '))}{random.choice(UNITS)}"


def text(random: Random) -> str:
    return number(random) if random.random() < 0.5 else random.choice(WORDS)


def spoiled(whole: str, random: Random) -> bytes:
    """A file's text with a few slips."""
    for _ in range(random.choice((1, 1, 1, 2, 3, 8))):
        whole = random.choice(SLIPS)(whole, random)
    data = whole.encode("utf-8", "surrogatepass")
    if random.random() < 0.03:
        at = random.randrange(len(data) + 1)
        data = data[:at] + random.randbytes(random.choice((1, 4, 1000))) + data[at:]
    return data


def _value(whole: str, random: Random) -> str:
    """One number replaced by another, in place of all of it or as a bare one."""
    found = list(re.finditer(r"-?[0-9][0-9.]*", whole))
    if not found:
        return whole
    one = random.choice(found)
    new = number(random) if random.random() < 0.3 else number(random).rstrip("abcdefghkmlpuAVWF% /")
    return whole[: one.start()] + new + whole[one.end() :]


def _word(whole: str, random: Random) -> str:
    found = list(re.finditer(r'"[^"\n]*"|[a-z_]{3,}', whole))
    if not found:
        return whole
    one, new = random.choice(found), text(random)
    return whole[: one.start()] + (f'"{new}"' if one[0][0] == '"' else new) + whole[one.end() :]


def _lines(whole: str, random: Random) -> str:
    lines = whole.split("\n")
    at, to = random.randrange(len(lines)), random.randrange(len(lines))
    match random.randrange(4):
        case 0:
            del lines[at]
        case 1:
            lines.insert(to, lines[at])
        case 2:
            lines[at], lines[to] = lines[to], lines[at]
        case _:
            lines.insert(to, text(random))
    return "\n".join(lines)


def _cut(whole: str, random: Random) -> str:
    at = random.randrange(len(whole) + 1)
    return whole[:at] if random.random() < 0.3 else whole[:at] + text(random) + whole[at:]


SLIPS: list[Callable[[str, Random], str]] = [_value, _value, _value, _value, _word, _lines, _cut]


class Case:
    """One input: its files in a folder, and the command line."""

    def __init__(self, folder: Path, random: Random, kit: str) -> None:
        self.folder, self.random = folder, random
        self.sources = {"outing.toml": small_outing_text(), "kit.json": kit, "log.csv": LOG}
        write_catalog(folder / "catalog")
        for stem in (path.name for path in (folder / "catalog").iterdir()):
            self.sources[f"catalog/{stem}"] = (folder / "catalog" / stem).read_text("utf-8")
        bad = set(random.choices(list(self.sources), k=random.choice((0, 1, 1, 1, 2))))
        if random.random() < 0.5:
            bad.add("outing.toml")
        for name, whole in self.sources.items():
            data = spoiled(whole, random) if name in bad else whole.encode()
            (folder / name).write_bytes(data)
        os.mkfifo(folder / "pipe")
        path, command = random.choice(commands())
        self.arguments = [*path, *self._parameters(command)]
        if random.random() < 0.4:
            self.arguments.append("--json")
        if random.random() < 0.03:
            self.arguments.insert(random.randrange(len(self.arguments) + 1), text(random))
        self.arguments = [re.sub("[\x00\ud800]", "", word) for word in self.arguments]

    def _parameters(self, command: Any) -> Iterator[str]:
        for parameter in command.params:
            argument = parameter.param_type_name == "argument"
            takes = argument or not getattr(parameter, "is_flag", False)
            often = 0.98 if argument or parameter.required else 0.12
            if parameter.name in ("help", "as_json") or self.random.random() > often:
                continue
            if not argument:
                yield parameter.opts[0]
            if takes:
                many = self.random.choice((1, 2)) if argument and parameter.nargs == -1 else 1
                yield from (self._given(parameter) for _ in range(many))

    def _given(self, parameter: Any) -> str:
        """What a parameter is given, mostly of its kind."""
        random, name = self.random, parameter.name
        if random.random() < 0.04:
            return text(random)
        places = ["pipe", "catalog", "none", "kit.json", "a" * 300, "/dev/null", "log.csv", "loop"]
        if random.random() < 0.04:
            return random.choice(places)
        known = {
            "outing": ["outing.toml"], "outings": ["outing.toml", "none.toml"], "log": ["log.csv"],
            "kit": ["kit.json"], "kits": ["kit.json", "best", "lfp-50+stepped-200", "agm-100"],
            "catalog": ["catalog"], "out": ["rows.csv", "log.csv"], "folder": ["boat"],
            "page": ["page.html", "rows.csv"], "shopping": ["list.csv", "page.html"],
            "part": ["lfp-50", "control-40", "fuse-40", "charger-lfp", "transom", "cable-6awg"],
            "by": ["cost", "mass", "season"], "units": ["us", "metric", "mixed"],
            "solver": ["highs"], "over": ["hours", "budget", "speed", "lift", "trim", "reserve"],
            "kinds": ["batteries", "motors", "fuses"], "workers": ["1"],
            "days": ["100", "200"], "seconds": ["0.001", "5"], "top": ["1", "3"],
            "apply": ["1", "2"],
            "sure": ["60%"], "seed": ["1", "99"], "within": ["2%", "10 %"],
        }  # fmt: skip
        if name in ("settings", "set", "set_"):
            value = random.choice(["+", "-", "", ""]) + text(random)
            return f"{random.choice(SETTINGS)}{random.choice(('=', '=', '+=', '==', '-='))}{value}"
        return random.choice(known.get(name) or [number(random)])


@cache
def commands() -> tuple[tuple[tuple[str, ...], Any], ...]:
    """Every command of the app, by the words that call it."""

    def below(command: Any, path: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any]]:
        if hasattr(command, "commands"):
            for name, inner in command.commands.items():
                yield from below(inner, (*path, name))
        else:
            yield path, command

    return tuple(below(typer.main.get_command(app), ()))


def run(arguments: list[str], folder: Path) -> Iterator[str]:
    """Everything that went wrong with a command line, in a word or two each."""

    def hung(*_: object) -> None:
        raise Hung

    here = Path.cwd()
    os.chdir(folder)
    for kind, timer, most_s in TIMERS:
        signal.signal(kind, hung)
        signal.setitimer(timer, most_s)
    _forget_peak()
    result = None
    try:
        with warnings.catch_warnings(record=True) as warned:
            warnings.simplefilter("always")
            result = CliRunner().invoke(app, arguments, env={"COLUMNS": "80"})
    except Hung:
        yield f"takes more than {MOST_S} s"
    finally:
        for _, timer, _ in TIMERS:
            signal.setitimer(timer, 0)
        os.chdir(here)
    if (mb := _peak_mb()) > MOST_MB:
        yield f"takes {mb:.0f} MB"
    if result is None:
        return
    yield from (f"warning: {each.message}" for each in warned)
    if result.exception and not isinstance(result.exception, SystemExit):
        frames = traceback.extract_tb(result.exception.__traceback__)
        ours = [frame for frame in frames if "keelwatt" in frame.filename]
        last = ours[-1] if ours else frames[-1]
        place = f"{Path(last.filename).name}:{last.lineno}"
        yield f"{type(result.exception).__name__} at {place}: {str(result.exception)[:80]}"
    elif result.exit_code not in STATUSES:
        yield f"status {result.exit_code}: {result.stderr[-300:]}"
    if "--json" not in arguments and ESCAPES.search(result.output.replace("\r", "")):
        yield "raw escape characters"
    if "--json" in arguments and "--" not in arguments and result.exit_code in STATUSES:
        yield from _no_data(result.stdout, result.exit_code)


def _no_data(printed: str, status: int) -> Iterator[str]:
    def refuse(word: str) -> None:
        raise ValueError(word)

    if not printed and status in (0, 2):  # --help, or the option itself was taken for a value
        return
    try:
        data = json.loads(printed, parse_constant=refuse)
    except ValueError as error:
        yield f"no JSON: {error}"
        return
    problems = data.get("problems") or [{"remedy": "rows" in data}]
    if status == 3 and not all(each["remedy"] for each in problems):
        yield "a problem without a remedy"


def _forget_peak() -> None:
    Path("/proc/self/clear_refs").write_text("5")


def _peak_mb() -> float:
    status = Path("/proc/self/status").read_text()
    return int(re.findall(r"VmHWM:\s+(\d+)", status)[0]) / 1024


def kit_file() -> str:
    """The kit that the unspoiled files are answered with."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        write_catalog(folder / "catalog")
        (folder / "outing.toml").write_text(small_outing_text(), encoding="utf-8")
        return CliRunner().invoke(app, ["pick", str(folder / "outing.toml"), "--json"]).stdout


def one(seed: int, count: int, kit: str) -> tuple[list[str], list[str], dict[str, bytes]]:
    """What went wrong with an input, its command line and its files."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        case = Case(folder, Random(f"{seed} {count}"), kit)
        files = {name: (folder / name).read_bytes() for name in case.sources}
        return list(run(case.arguments, folder)), case.arguments, files


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--first", type=int, default=0, help="the number of the first input")
    parser.add_argument("--most", type=int, default=20_000, help="how many inputs")
    parser.add_argument("--seconds", type=float, default=3600)
    parser.add_argument("--only", type=int, help="this input alone, and all it says")
    asked = parser.parse_args()
    kit = kit_file()
    if asked.only is not None:
        wrong, arguments, files = one(asked.seed, asked.only, kit)
        for name, data in files.items():
            print(f"== {name}\n{data.decode('utf-8', 'backslashreplace')}")
        print(arguments, wrong, sep="\n")
        return
    begun = monotonic()
    seen: Counter[str] = Counter()
    done = 0
    for done in range(asked.first, asked.first + asked.most):
        if monotonic() - begun > asked.seconds:
            break
        for told in one(asked.seed, done, kit)[0]:
            kind = re.sub(r"[0-9.e+-]+", "#", told)
            if not seen[kind]:
                print(f"{done}: {told}", flush=True)
            seen[kind] += 1
    print(f"{done - asked.first} inputs in {monotonic() - begun:.0f} s, {seen.total()} faults")
    sys.exit(bool(seen))


if __name__ == "__main__":
    main()
