"""The fuzz script reaches every command, repeats itself, and sees what it looks for."""

import tempfile
from pathlib import Path
from random import Random

import pytest

from benchmarks import fuzz
from keelwatt.explain import why

if not Path("/proc/self/clear_refs").exists():
    pytest.skip("peaks of memory are read as Linux tells them", allow_module_level=True)


def made(count: int) -> tuple[list[str], dict[str, bytes]]:
    with tempfile.TemporaryDirectory() as folder:
        case = fuzz.Case(Path(folder), Random(f"0 {count}"), "{}")
        return case.arguments, {name: (Path(folder) / name).read_bytes() for name in case.sources}


def test_an_input_is_the_same_for_the_same_seed() -> None:
    assert made(3) == made(3)
    assert made(3) != made(4)


def test_every_command_comes_up() -> None:
    called = {" ".join(made(count)[0]) for count in range(300)}
    for path, _ in fuzz.commands():
        assert any(words.startswith(" ".join(path)) for words in called), path


def test_a_traceback_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("here")

    case = fuzz.Case(tmp_path, Random(0), "{}")
    for name, text in case.sources.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    words = ["why", "outing.toml", "lfp-50"]
    assert list(fuzz.run(words, tmp_path)) == []
    monkeypatch.setattr(why, "why", broken)
    (wrong,) = fuzz.run(words, tmp_path)
    assert wrong.startswith("ZeroDivisionError at")
    assert wrong.endswith("here")
