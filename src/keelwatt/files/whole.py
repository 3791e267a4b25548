"""Files put in their places whole, whoever stops or kills the process meanwhile."""

import os
import shutil
import signal
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import current_thread, main_thread
from time import time

PREFIX, SUFFIX = ".keelwatt-", ".new"
LEFT_S = 60
"""A folder to write in is gone within moments: an older one was left by a killed process."""


@contextmanager
def beside(place: Path) -> Iterator[Path]:
    """A hidden folder beside a place, to write in; it is gone afterwards, and so is one that a
    killed process left. Whoever stops the process is heard once it is."""
    with undisturbed():
        for left in place.parent.glob(f"{PREFIX}*{SUFFIX}"):
            if time() - left.lstat().st_mtime > LEFT_S:
                shutil.rmtree(left, ignore_errors=True)
        with tempfile.TemporaryDirectory(
            dir=place.parent, prefix=PREFIX, suffix=SUFFIX, ignore_cleanup_errors=True
        ) as made:
            yield Path(made)


def put(whole: Path, place: Path) -> None:
    """Give a whole file a second name at one stroke. FileExistsError: if it is taken."""
    try:
        os.link(whole, place)
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        place.open("xb").close()
        os.replace(whole, place)  # noqa: PTH105


@contextmanager
def undisturbed() -> Iterator[None]:
    """Signals that stop the process take effect at the end of what is done in here."""
    names = ("SIGINT", "SIGTERM", "SIGHUP") if current_thread() is main_thread() else ()
    kinds = [getattr(signal, name) for name in names if hasattr(signal, name)]
    heard: list[int] = []
    before = {
        kind: signal.signal(kind, lambda number, _: heard.append(number))
        for kind in kinds
        if signal.getsignal(kind) is not None
    }
    try:
        yield
    finally:
        for kind, handler in before.items():
            signal.signal(kind, handler)
        if heard:
            signal.raise_signal(heard[0])
