"""Whatever a name leads to, reading it ends at once, with a problem."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from keelwatt.errors import InputError
from keelwatt.files import opened
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.kit_file import read_kit
from keelwatt.files.log import read_log
from keelwatt.files.outing import outing_from_text, read_outing
from samples import small_outing_text, write_catalog

Reader = Callable[[Path], Any]


@pytest.fixture
def kit_reader(tmp_path: Path) -> Reader:
    catalog = read_catalog(write_catalog(tmp_path / "catalog"))
    outing = outing_from_text(small_outing_text(), "outing.toml")
    return lambda path: read_kit(path, catalog, outing)


@pytest.fixture(params=["outing", "log", "kit"])
def reader(request: pytest.FixtureRequest, kit_reader: Reader) -> Reader:
    return {"outing": read_outing, "log": read_log, "kit": kit_reader}[request.param]


def said(reader: Reader, path: Path) -> str:
    with pytest.raises(InputError) as caught:
        reader(path)
    (problem,) = caught.value.problems
    assert problem.remedy
    return problem.what


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names")
def test_a_pipe_is_never_waited_for(reader: Reader, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert said(reader, tmp_path / "pipe") == "is no plain file"


def test_folders_missing_and_binary_files_are_told(reader: Reader, tmp_path: Path) -> None:
    (tmp_path / "binary").write_bytes(bytes(range(256)))
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    assert said(reader, tmp_path) == "is a folder"
    assert said(reader, tmp_path / "none") == "is not there"
    assert "is not" in said(reader, tmp_path / "binary")
    assert "cannot be opened" in said(reader, tmp_path / "loop")
    assert "cannot be opened" in said(reader, tmp_path / ("a" * 5000))


def test_what_is_far_too_large_is_not_read(
    reader: Reader, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opened, "MOST_BYTES", 10)
    (tmp_path / "large").write_bytes(b"x" * 11)
    assert "is larger than" in said(reader, tmp_path / "large")


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("[" * 100_000, "is not JSON"),
        ("1" * 100_000, "is not JSON"),
        ('{"cable": {"id": "x", "run_m": Infinity}}', "finite"),
        ('{"cable": {"id": "x", "run_m": 1e300}}', "less than or equal to 1000"),
        ('{"battery": {"id": "x", "series": 99999999999999999999}}', "less than or equal to 16"),
        ('{"battery": {"id": "x", "parallel": 65}}', "less than or equal to 64"),
    ],
)
def test_a_kit_file_of_absurd_size_is_a_problem(
    kit_reader: Reader, text: str, what: str, tmp_path: Path
) -> None:
    path = tmp_path / "kit.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        kit_reader(path)
    assert what in " ".join(problem.what for problem in caught.value.problems)
