"""One thread for linear algebra, as the command sets it; and sweeps taken in part.

What hypothesis draws is the same in every run, so that what passes here passes elsewhere;
``HYPOTHESIS_PROFILE=default`` draws anew.
"""

import gc
import os
from collections.abc import Generator
from datetime import date
from typing import TypeVar

import pytest
from hypothesis import settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.pop("PYTHONUNBUFFERED", None)  # What no one reads is then lost as it is for users.

T = TypeVar("T")

settings.register_profile("repeatable", derandomize=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeatable"))


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--every", type=int, default=1, metavar="N", help="run every Nth of the slow tests only"
    )
    parser.addoption(
        "--from", type=int, dest="start", metavar="K", help="begin at the Kth; else by the date"
    )


def pytest_configure(config: pytest.Config) -> None:
    """Workers of the suite are handed what is chosen here, so that midnight parts nobody."""
    if config.option.start is None:
        config.option.start = date.today().toordinal() % config.option.every


def pytest_report_header(config: pytest.Config) -> str | None:
    every, start = config.option.every, config.option.start
    return f"slow tests: --every {every} --from {start} runs these again" if every > 1 else None


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    if line := pytest_report_header(config):
        terminalreporter.write_line(line)


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """What is collected stays: no time goes into looking whether it may go."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.enable()


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Thins out the slow tests, each kind by itself, so that none is left out altogether; what is
    marked ``early`` comes first.

    Of a kind marked ``few(n)`` all but n, taken evenly from the first on, are slow.
    """
    for kind in kinds_of(items, "few"):
        few = kind[0].get_closest_marker("few").args[0]  # type: ignore[union-attr]
        kept = {number * len(kind) // few for number in range(few)}
        for number, item in enumerate(kind):
            if number not in kept:
                item.add_marker(pytest.mark.slow)
    kinds = kinds_of(items, "slow")
    every, start = config.option.every, config.option.start
    taken = {item for kind in kinds for item in sample(kind, every, start)}
    left_out = [item for kind in kinds for item in kind if item not in taken]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        gone = set(left_out)
        items[:] = [item for item in items if item not in gone]
    items.sort(key=lambda item: item.get_closest_marker("early") is None)


def kinds_of(items: list[pytest.Item], marker: str) -> list[list[pytest.Item]]:
    """The cases so marked of each test."""
    kinds: dict[str, list[pytest.Item]] = {}
    for item in items:
        if item.get_closest_marker(marker):
            kinds.setdefault(item.nodeid.partition("[")[0], []).append(item)
    return list(kinds.values())


def sample(kind: list[T], every: int, start: int) -> list[T]:
    """Every so many-th of a kind, one at least, from another place for another start.

    >>> sample([0, 1, 2, 3, 4, 5, 6], 3, 1), sample([0, 1], 25, 7), sample([0, 1], 25, 8)
    ([1, 4], [1], [0])
    """
    return kind[start % min(every, len(kind)) :: every]
