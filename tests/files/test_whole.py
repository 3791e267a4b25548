"""Files put in place whole: what a stopped or killed process leaves, and what is found again."""

import os
import signal
from pathlib import Path
from threading import Thread

import pytest

from keelwatt.files.whole import beside, put, undisturbed


def test_what_a_killed_process_left_is_taken_away_and_what_is_written_now_is_not(
    tmp_path: Path,
) -> None:
    old, new, mine = (tmp_path / name for name in (".keelwatt-a.new", ".keelwatt-b.new", ".mine"))
    for folder in (old, new, mine):
        folder.mkdir()
        (folder / "half").write_text("half", encoding="utf-8")
    for folder in (old, mine):
        os.utime(folder, (0, 0))
    with beside(tmp_path / "outing.toml") as made:
        assert made.parent == tmp_path
        assert made.name.startswith(".")
    assert set(tmp_path.iterdir()) == {new, mine}


@pytest.mark.parametrize("linked", [True, False])
def test_a_taken_name_is_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, linked: bool
) -> None:
    def refused(*_: object) -> None:
        raise PermissionError("no links here")

    if not linked:
        monkeypatch.setattr(os, "link", refused)
    whole, place = tmp_path / "whole", tmp_path / "place"
    whole.write_text("new", encoding="utf-8")
    put(whole, place)
    assert place.read_text(encoding="utf-8") == "new"
    whole.write_text("newer", encoding="utf-8")
    with pytest.raises(FileExistsError):
        put(whole, place)
    assert place.read_text(encoding="utf-8") == "new" if not linked else place.exists()


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_a_signal_is_heard_once_the_work_is_done(name: str) -> None:
    kind = getattr(signal, name)
    before = signal.signal(kind, signal.default_int_handler)
    done = False
    try:
        with pytest.raises(KeyboardInterrupt), undisturbed():
            signal.raise_signal(kind)
            signal.raise_signal(kind)
            done = True
        assert signal.getsignal(kind) is signal.default_int_handler
    finally:
        signal.signal(kind, before)
    assert done


def test_it_works_in_a_thread_too() -> None:
    done: list[bool] = []

    def work() -> None:
        with undisturbed():
            done.append(True)

    thread = Thread(target=work)
    thread.start()
    thread.join()
    assert done
