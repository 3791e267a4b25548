"""Commands killed while they write: a seeded sample."""

import sys

import pytest

if sys.platform != "linux":
    pytest.skip("processes are found as Linux tells them", allow_module_level=True)

from benchmarks.kills import one


@pytest.mark.slow
@pytest.mark.parametrize("count", range(50))
def test_files_are_whole_and_nothing_stays_behind(count: int) -> None:
    what, wrong = one(7, count)
    assert not wrong, what
