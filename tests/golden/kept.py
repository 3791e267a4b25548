"""Golden files: running a command, and holding what it tells against what was kept."""

import json
import re
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import isclose
from pathlib import Path
from typing import Any

from remembered import here

ROOT = Path(__file__).parents[2]
GIVEN = Path(__file__).parent / "given"
WIDTH = 100
DIGITS = 9
RELATIVE, ABSOLUTE = 1e-7, 1e-12
"""How far numbers of JSON may lie apart: machines differ in the last bits, and around nought in all
of them."""

NORMALISED = (
    (re.compile(r'"version": "[^"]*"'), '"version": "VERSION"'),
    (re.compile(r"\b[0-9a-f]{64}\b"), "SHA-256"),
    (re.compile(r"\b20\d\d-\d\d-\d\d\b"), "DATE"),
)
"""What changes with every release, edit of a catalog and day; nothing else is hidden."""


@dataclass(frozen=True)
class Case:
    """A command line, how it ends, and where what it tells is kept.

    ``kept``: "stdout", "stderr" or a file the command writes -> the golden file, from the root.
    ``begins``: of stdout only what begins with these words is kept. ``aside``: all it says on
    stderr, unless that is kept. ``typed``: what is typed to it.
    """

    command: str
    kept: Mapping[str, str]
    status: int = 0
    begins: str = ""
    aside: str = ""
    typed: str = field(default="", repr=False)


@dataclass(frozen=True)
class Ran:
    """How a command ended, and what it left: "stdout", "stderr" and the files it wrote."""

    status: int
    told: Mapping[str, str]


def supply(folder: Path) -> None:
    """Copies of the examples, the catalog and ``given``, for commands that write too."""
    for source in (ROOT / "examples", ROOT / "catalog", GIVEN):
        shutil.copytree(source, folder / source.name)


def ran(command: str, folder: Path, typed: str = "", wanted: tuple[str, ...] = ()) -> Ran:
    """Run a command in this process, from a folder."""
    result = here(*command.split(), folder=folder, typed=typed)
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    files = {name: (folder / name).read_bytes().decode() for name in wanted}
    return Ran(result.exit_code, {"stdout": result.stdout, "stderr": result.stderr, **files})


def told(case: Case, folder: Path) -> Mapping[str, str]:
    """Golden file -> what is to be kept there; the case must end as it says."""
    supply(folder)
    files = tuple(name for name in case.kept if name not in {"stdout", "stderr"})
    result = ran(case.command, folder, case.typed, files)
    assert result.status == case.status, result.told["stderr"] or result.told["stdout"][:800]
    assert "stderr" in case.kept or result.told["stderr"] == case.aside
    assert "stdout" in case.kept or result.told["stdout"] == ""
    parts = {**result.told, "stdout": _from(case.begins, result.told["stdout"])}
    return {golden: fit_to_keep(golden, parts[source]) for source, golden in case.kept.items()}


def differences(golden: str, new: str) -> list[str]:
    """Where a golden file and what is told now are not the same; a missing file differs."""
    path = ROOT / golden
    if not path.is_file():
        return [f"{golden} is not there"]
    old = path.read_bytes().decode()
    if path.suffix == ".json":
        return [f"{golden}: {each}" for each in _unlike(json.loads(old), json.loads(new), "")]
    old = fit_to_keep(golden, old)
    return [] if old == new else [f"{golden}:\n{new}\nis not\n{old}"]


def write(golden: str, new: str) -> None:
    """Keep what is told now, unless that is what is kept already."""
    if differences(golden, new):
        (ROOT / golden).parent.mkdir(parents=True, exist_ok=True)
        (ROOT / golden).write_bytes(new.encode())


def _from(begins: str, text: str) -> str:
    return text[text.index(begins) :]


def fit_to_keep(golden: str, text: str) -> str:
    """Without what is normalised; JSON with its numbers rounded, screens without trailing blanks;
    tables to the byte."""
    for pattern, instead in NORMALISED:
        text = pattern.sub(instead, text)
    if golden.endswith(".json"):
        return _laid_out(_rounded(json.loads(text))) + "\n"
    if golden.endswith(".txt"):
        return "".join(f"{line.rstrip()}\n" for line in text.splitlines())
    return text


def _rounded(value: Any) -> Any:
    if isinstance(value, float):
        return float(f"{value:.{DIGITS}g}")
    if isinstance(value, dict):
        return {key: _rounded(inner) for key, inner in value.items()}
    return [_rounded(inner) for inner in value] if isinstance(value, list) else value


def _laid_out(value: Any, indent: str = "", taken: int = 0) -> str:
    """JSON with what fits on a line on one, for differences that read well."""
    line = json.dumps(value, ensure_ascii=False)
    if len(indent) + taken + len(line) < WIDTH or not isinstance(value, dict | list) or not value:
        return line
    inner = f"{indent}  "
    if isinstance(value, list):
        rows, ends = [_laid_out(each, inner) for each in value], "[]"
    else:
        heads = {key: f"{json.dumps(key, ensure_ascii=False)}: " for key in value}
        rows = [heads[key] + _laid_out(each, inner, len(heads[key])) for key, each in value.items()]
        ends = "{}"
    return f"{ends[0]}\n{inner}" + f",\n{inner}".join(rows) + f"\n{indent}{ends[1]}"


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _unlike(old: Any, new: Any, place: str) -> Iterator[str]:
    if _number(old) and _number(new):
        if not isclose(old, new, rel_tol=RELATIVE, abs_tol=ABSOLUTE):
            yield f"{place} is {new!r}, not {old!r}"
    elif isinstance(old, dict) and isinstance(new, dict):
        yield from (f"{place}/{key} is gone" for key in old.keys() - new.keys())
        yield from (f"{place}/{key} is new" for key in new.keys() - old.keys())
        for key in old.keys() & new.keys():
            yield from _unlike(old[key], new[key], f"{place}/{key}")
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for number, (before, after) in enumerate(zip(old, new, strict=True)):
            yield from _unlike(before, after, f"{place}/{number}")
    elif type(old) is not type(new) or old != new:
        yield f"{place} is {new!r}, not {old!r}"
