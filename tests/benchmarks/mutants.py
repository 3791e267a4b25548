"""Single faults put into a copy of the sources, and which of them the tests let pass.

``python tests/benchmarks/mutants.py --count 300 --seconds 3600`` draws faults from all rooms by a
seed, so many of each in turn, runs for each the tests that ``TESTS`` names for its room, and tells
of each whether a test objects, and after how long. The copy is in a temporary folder; the sources
are never touched.
``--room wiring`` keeps to one room, ``--list`` shows the faults and runs nothing.
"""

import argparse
import ast
import importlib
import json
import os
import re
import shutil
import signal
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fnmatch import fnmatch
from itertools import accumulate, chain, zip_longest
from pathlib import Path
from random import Random
from time import monotonic, sleep
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
SOURCE = Path("src/keelwatt")
COPIED = ("src", "tests", "catalog", "examples", "pyproject.toml", "README.md", "DEVELOPERS.md")

TESTS = {
    "errors": "tests/files",
    "units": "tests/units tests/files/test_bounds.py",
    "physics": "tests/physics tests/published src/keelwatt/physics",
    "files": "tests/files",
    "limits": "tests/test_limits.py tests/test_declared.py tests/proof",
    "boat": "tests/boat tests/oracle/test_boat_and_proof.py",
    "proof": "tests/proof tests/oracle/test_boat_and_proof.py",
    "kits": "tests/kits tests/oracle/test_program_oracle.py",
    "choose": "tests/choose tests/oracle/test_program_oracle.py",
    "explain": "tests/explain",
    "edit": "tests/edit",
    "batches": "tests/batches",
    "chance": "tests/chance",
    "tuning": "tests/tuning",
    "wiring": "tests/wiring",
    "words": "tests/report",
    "drawings": "tests/drawings tests/report/page",
    "interview": "tests/interview",
    "json": "tests/test_json.py tests/test_api.py tests/test_cli.py",
    "report": "tests/report",
    "__init__": "tests/test_api.py",
    "__main__": "tests/cli/test_ending.py",
    "api": "tests/test_api.py",
    "cli": "tests/cli tests/test_cli.py",
}
"""The tests to run for a fault in each room."""

SHARED = """hypothesis.strategies jinja2 joblib numpy pandas pulp pydantic rich.table scipy.optimize
tomlkit typer""".split()  # noqa: SIM905
"""Imported once for all faults."""

EITHER_WAY: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.And: ast.Or,
    ast.Or: ast.And, ast.FloorDiv: ast.Div, ast.Mod: ast.Add, ast.Pow: ast.Mult,
}  # fmt: skip
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any", "floor": "ceil", "ceil": "floor"}
TURNED = [
    ("plus", "minus"), ("before", "after"), ("at least", "at most"), ("more", "less"),
    ("above", "below"), ("series", "parallel"), ("red", "black"), ("left", "right"),
    ("bow", "stern"), ("dearer", "cheaper"), ("heavier", "lighter"), ("+", "-"), ("first", "last"),
]  # fmt: skip
"""Words that a text may have the wrong way round."""


@dataclass(frozen=True)
class Fault:
    """A change of one place in a module: its number, line, what stood there and stands now."""

    file: Path
    number: int
    line: int
    before: str
    after: str

    @property
    def room(self) -> str:
        return self.file.relative_to(SOURCE).parts[0].removesuffix(".py")

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.before}  ->  {self.after}"

    def text(self, whole: str) -> str:
        """The module's text with the fault in it."""
        tree = ast.parse(whole)
        for number, _ in enumerate(_spoiled(tree)):
            if number == self.number:
                return ast.unparse(tree)
        raise AssertionError


def faults(file: Path, whole: str) -> Iterator[Fault]:
    """Every fault this script knows for a module's text."""
    for number, (line, before, after) in enumerate(_spoiled(ast.parse(whole))):
        if before != after:
            yield Fault(file, number, line, before, after)


def _spoiled(tree: ast.AST) -> Iterator[tuple[int, str, str]]:
    """Line, before and after of each change in turn, which the tree has meanwhile."""
    for node in list(_places(tree)):
        for new in _changes(node):
            before, kept, kind = _short(node), dict(node.__dict__), node.__class__
            node.__dict__.update(new.__dict__)
            node.__class__ = new.__class__
            yield kept.get("lineno", 0), before, _short(node)
            node.__class__ = kind
            node.__dict__.clear()
            node.__dict__.update(kept)


def _short(node: ast.AST) -> str:
    text = " ".join(ast.unparse(node).split())
    return text if len(text) <= 70 else f"{text[:67]}..."


def _places(node: ast.AST) -> Iterator[ast.expr]:
    """Expressions that are worked out, and no docstrings."""
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list", "type_params"):
            continue
        for inner in value if isinstance(value, list) else [value]:
            if isinstance(inner, ast.Import | ast.ImportFrom) or not isinstance(inner, ast.AST):
                continue
            told = isinstance(inner, ast.Expr) and isinstance(inner.value, ast.Constant)
            checking = isinstance(inner, ast.If) and "TYPE_CHECKING" in ast.unparse(inner.test)
            if told or checking:
                continue
            if isinstance(inner, ast.expr):
                yield inner
            yield from _places(inner)


def _changes(node: ast.expr) -> Iterator[ast.expr]:  # noqa: PLR0912
    """The node with one thing wrong."""
    match node:
        case ast.Compare(left=left, ops=[op, *rest], comparators=others):
            if other := EITHER_WAY.get(type(op)):
                yield ast.Compare(left, [other(), *rest], others)  # type: ignore[list-item]
        case ast.BinOp(left=left, op=op, right=right):
            text = any(isinstance(side, ast.Constant | ast.JoinedStr) and not _number(side)
                       for side in (left, right))  # fmt: skip
            if (other := EITHER_WAY.get(type(op))) and not text:
                yield ast.BinOp(left, other(), right)  # type: ignore[arg-type]
        case ast.BoolOp(op=op, values=values):
            yield ast.BoolOp(EITHER_WAY[type(op)](), values)  # type: ignore[arg-type]
        case ast.UnaryOp(op=ast.USub() | ast.Not(), operand=operand):
            yield operand
        case ast.IfExp(test=test, body=body, orelse=orelse):
            yield ast.IfExp(test, orelse, body)
        case ast.Constant(value=bool() as value):
            yield ast.Constant(not value)
        case ast.Constant(value=int() as value):
            yield ast.Constant(value + 1)
        case ast.Constant(value=float() as value):
            yield ast.Constant(value * 1.1 if value else 0.1)
        case ast.Constant(value=str() as value):
            yield from map(ast.Constant, _turned(value))
        case ast.Name(id=name) if name in NAMES:
            yield ast.Name(NAMES[name])
        case ast.Call(func=ast.Name("min" | "max")):
            return
        case ast.Call(func=func, args=[first, second, *rest], keywords=keywords):
            if not any(isinstance(each, ast.Starred) for each in (first, second)):
                yield ast.Call(func, [second, first, *rest], keywords)
        case ast.Tuple(elts=[first, second]) if isinstance(node.ctx, ast.Load):
            yield ast.Tuple([second, first], ast.Load())


def _number(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, int | float)


def _turned(text: str) -> Iterator[str]:
    for pair in TURNED:
        for old, new in (pair, pair[::-1]):
            changed = re.sub(rf"(?<![\w-]){re.escape(old)}(?![\w-])", new, text, count=1)
            if changed != text and (old.replace(" ", "").isalpha() or text.strip() == old):
                yield changed


def drawn(seed: int, count: int, room: str | None = None) -> list[Fault]:
    """So many faults, of each room in turn."""
    random = Random(seed)
    rooms: dict[str, list[Fault]] = {}
    for path in sorted((ROOT / SOURCE).rglob("*.py")):
        file = path.relative_to(ROOT)
        text = path.read_text(encoding="utf-8")
        if not path.name.startswith("__") or "\ndef " in text:
            for fault in faults(file, text):
                rooms.setdefault(fault.room, []).append(fault)
    chosen = {name: all_ for name, all_ in rooms.items() if room in (None, name)}
    shuffled = [random.sample(each, min(len(each), count)) for each in chosen.values()]
    return [fault for fault in chain.from_iterable(zip_longest(*shuffled)) if fault][:count]


def copied(folder: Path) -> Path:
    """A copy of what the tests need."""
    ignored = shutil.ignore_patterns("__pycache__", ".*_cache")
    for name in COPIED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, folder / name, ignore=ignored)
        else:
            shutil.copy(ROOT / name, folder / name)
    return folder


def outcome(fault: Fault, tree: Path, order: "Order") -> str:
    """Whether a test "objects" to the fault in the copy, it "survives", or "takes too long".

    The copy is put right again. ``order`` has to have run the room's tests.
    """
    place = tree / fault.file
    whole = place.read_text(encoding="utf-8")
    place.write_text(fault.text(whole), encoding="utf-8")
    try:
        return ran(order, tree, f"test*{fault.file.stem}*")
    finally:
        place.write_text(whole, encoding="utf-8")


def ran(order: "Order", tree: Path, own: str = "") -> str:
    """How the tests of a room end in a tree, stopped at the first that objects if their costs are
    known. They run in a fork, which saves them from importing what never changes."""
    child = os.fork()
    if not child:
        os.setsid()
        os.chdir(tree)
        sys.path[:0] = [str(tree / "src"), str(tree / "tests")]
        os.environ |= {"PYTHONPATH": os.pathsep.join(sys.path[:2]), "PYTHONDONTWRITEBYTECODE": "1"}
        quiet = os.open(os.devnull, os.O_RDWR)
        for stream in range(3):
            os.dup2(quiet, stream)
        order.own = own
        words = ["-n0", "-q", "-pno:cacheprovider", "-Wignore::pytest.PytestAssertRewriteWarning"]
        words += ["-x"] if order.known() else []
        try:
            pytest.main([*words, *order.tests], plugins=[order])
        finally:
            os._exit(0)
    until = monotonic() + (5 if order.known() else 30) * order.most_s
    while monotonic() < until:
        if os.waitpid(child, os.WNOHANG) != (0, 0):
            return order.verdict()
        sleep(0.1)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return "takes too long"


class Order:
    """A plugin for a room's tests: first those of files named for the module, then those that ever
    objected, then the quick ones, and no more than take so many seconds.

    What each took is kept in a file by a first run, without those that object to no fault at all.
    """

    def __init__(self, room: str, tree: Path, most_s: float) -> None:
        self.tests = [name for name in TESTS[room].split() if (tree / name).exists()]
        self.most_s, self.own = most_s, ""
        self.costs, self.said = tree / f"{room}.json", tree / f"{room}.said"
        self.took_s, self.objects = Counter[str](), list[str]()

    def known(self) -> dict[str, float]:
        return json.loads(self.costs.read_text("utf-8")) if self.costs.exists() else {}

    def verdict(self) -> str:
        """How the run in the fork went; what objected is asked first the next time."""
        said = self.said.read_text("utf-8") if self.said.exists() else "nothing was collected"
        self.said.unlink(missing_ok=True)
        known = self.known()
        if said in known:
            self.costs.write_text(json.dumps(known | {said: 0}), encoding="utf-8")
        return "objects" if said else "survives"

    def pytest_runtest_logreport(self, report: Any) -> None:
        self.took_s[report.nodeid] += report.duration
        if report.failed:
            self.objects.append(report.nodeid)

    def pytest_sessionfinish(self, exitstatus: int) -> None:
        if not self.costs.exists():
            sound = {name: cost for name, cost in self.took_s.items() if name not in self.objects}
            self.costs.write_text(json.dumps(sound), encoding="utf-8")
        objects = self.objects or ["an error"] * bool(exitstatus)
        self.said.write_text("".join(objects[:1]), encoding="utf-8")

    def pytest_collection_modifyitems(self, items: list[Any]) -> None:
        if known := self.known():
            items[:] = [item for item in items if item.nodeid in known]
            cost = {item: known[item.nodeid] for item in items}
            items.sort(key=lambda item: (not fnmatch(item.path.name, self.own), cost[item]))
            ends = accumulate(map(cost.__getitem__, items))
            items[:] = [item for item, end in zip(items, ends, strict=True) if end <= self.most_s]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--first", type=int, default=0, help="leave out so many")
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seconds", type=float, default=3600)
    parser.add_argument("--each", type=float, default=60, help="seconds of tests for one fault")
    parser.add_argument("--room", choices=sorted(TESTS))
    parser.add_argument("--list", action="store_true", help="show the faults and run nothing")
    asked = parser.parse_args()
    for name in SHARED:
        importlib.import_module(name)
    found = drawn(asked.seed, asked.count, asked.room)[asked.first :]
    if asked.list:
        print(*found, sep="\n")
        return
    begun, came = monotonic(), Counter[str]()
    with tempfile.TemporaryDirectory() as made:
        tree = copied(Path(made))
        orders: dict[str, Order] = {}
        for fault in found:
            since = monotonic()
            if since - begun > asked.seconds:
                break
            if fault.room not in orders:
                order = orders[fault.room] = Order(fault.room, tree, asked.each)
                how = ran(order, tree)
                print(
                    f"{how} without a fault: {order.tests}, {monotonic() - since:.0f} s", flush=True
                )
                since = monotonic()
            came[how := outcome(fault, tree, orders[fault.room])] += 1
            print(f"{how}, {monotonic() - since:.0f} s: {fault}", flush=True)
    told = ", ".join(f"{count} {how}" for how, count in came.items())
    print(f"{came.total()} of {len(found)} in {monotonic() - begun:.0f} s: {told}")


if __name__ == "__main__":
    main()
