"""A file replaced at one stroke: backups, modes, and what happens if it fails half way."""

import os
import shutil
from pathlib import Path
from types import ModuleType

import pytest

from keelwatt.edit.rewrite import rewrite
from keelwatt.errors import InputError


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "outing.toml"
    path.write_bytes(b"old\r\n")
    return path


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_the_old_text_is_kept_beside_the_new(file: Path) -> None:
    assert rewrite(file, "new", "old\r\n") == file.with_name("outing.toml.bak")
    assert file.read_bytes() == b"new"
    assert names(file.parent) == {"outing.toml", "outing.toml.bak"}
    assert file.with_name("outing.toml.bak").read_bytes() == b"old\r\n"


def test_older_backups_are_never_overwritten(file: Path) -> None:
    for number, text in enumerate(["a", "b", "c"], start=1):
        backup = rewrite(file, text, file.read_bytes().decode())
        assert backup.name == f"outing.toml.bak{number if number > 1 else ''}"
    kept = [file.with_name(f"outing.toml.bak{n}").read_bytes() for n in ("", "2", "3")]
    assert kept == [b"old\r\n", b"a", b"b"]


def test_mode_and_byte_order_mark_stay(file: Path) -> None:
    file.write_bytes(b"\xef\xbb\xbfold")
    file.chmod(0o640)
    backup = rewrite(file, "new", "old")
    assert file.read_bytes() == b"\xef\xbb\xbfnew"
    assert [path.stat().st_mode & 0o777 for path in (file, backup)] == [0o640, 0o640]


def test_a_link_stays_a_link(file: Path, tmp_path: Path) -> None:
    link = tmp_path / "elsewhere" / "mine.toml"
    link.parent.mkdir()
    link.symlink_to(file)
    backup = rewrite(link, "new", "old\r\n")
    assert backup == file.with_name("outing.toml.bak")
    assert link.is_symlink()
    assert file.read_bytes() == b"new"
    assert file.with_name("outing.toml.bak").exists()


@pytest.mark.parametrize(
    ("where", "step", "times"),
    [(os, "fsync", 0), (shutil, "copymode", 0), (shutil, "copymode", 1), (os, "replace", 0)],
)
def test_failing_half_way_leaves_everything_as_it_was(
    file: Path, where: ModuleType, step: str, times: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    done: list[object] = []

    def fail(*_: object) -> None:
        done.append(step)
        if len(done) > times:
            raise OSError(28, "No space left on device")

    monkeypatch.setattr(where, step, fail)
    with pytest.raises(InputError) as caught:
        rewrite(file, "new", "old\r\n")
    (problem,) = caught.value.problems
    assert problem.what == "cannot be written: No space left on device; nothing changed"
    assert file.read_bytes() == b"old\r\n"
    assert names(file.parent) == {"outing.toml"}


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_an_interrupt_leaves_no_scraps(
    file: Path, step: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, step, interrupt)
    with pytest.raises(KeyboardInterrupt):
        rewrite(file, "new", "old\r\n")
    assert names(file.parent) == {"outing.toml"}
    assert file.read_bytes() == b"old\r\n"


def test_a_file_edited_in_the_meantime_is_left_alone(file: Path) -> None:
    with pytest.raises(InputError) as caught:
        rewrite(file, "new", "older")
    assert "changed in the meantime" in caught.value.problems[0].what
    assert names(file.parent) == {"outing.toml"}


def test_a_file_that_went_away(tmp_path: Path) -> None:
    with pytest.raises(InputError):
        rewrite(tmp_path / "none.toml", "new", "old")
    assert names(tmp_path) == set()


def test_what_is_read_only_is_refused(file: Path) -> None:
    file.chmod(0o444)
    with pytest.raises(InputError) as caught:
        rewrite(file, "new", "old\r\n")
    assert "read-only" in caught.value.problems[0].what
    assert names(file.parent) == {"outing.toml"}


def test_a_second_name_never_keeps_the_old_text_unseen(file: Path) -> None:
    twin = file.with_name("twin.toml")
    twin.hardlink_to(file)
    with pytest.raises(InputError) as caught:
        rewrite(file, "new", "old\r\n")
    assert "has 2 names" in caught.value.problems[0].what
    assert names(file.parent) == {"outing.toml", "twin.toml"}
    assert file.samefile(twin)
