"""One thread for linear algebra, as the command sets it; and sweeps taken in part.

What hypothesis draws is the same in every run, so that what passes here passes elsewhere;
``HYPOTHESIS_PROFILE=default`` draws anew.
"""

import os

import pytest
from hypothesis import settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

settings.register_profile("repeatable", derandomize=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeatable"))


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--every", type=int, default=1, metavar="N", help="run every Nth of the slow tests only"
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Thins out the slow tests, each kind by itself, so that none is left out altogether."""
    every = config.getoption("--every")
    seen: dict[str, int] = {}
    kept: list[pytest.Item] = []
    left_out: list[pytest.Item] = []
    for item in items:
        kind = item.nodeid.partition("[")[0]
        place = seen[kind] = seen.get(kind, -1) + 1
        slow = item.get_closest_marker("slow") is not None
        (left_out if slow and place % every else kept).append(item)
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = kept
