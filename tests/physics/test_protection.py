"""Ratings of fuses and controls."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics.protection import (
    largest_fuse_a,
    short_circuit_a,
    smallest_controller_a,
    smallest_fuse_a,
)

CURRENTS_A = st.floats(0.1, 500)


@given(CURRENTS_A)
def test_ratings_lie_above_the_current(current: float) -> None:
    assert smallest_fuse_a(max_current_a=current) == pytest.approx(current + current / 10)
    assert smallest_controller_a(max_current_a=current) == pytest.approx(current + current / 4)


@given(CURRENTS_A, st.floats(1, 1.5))
def test_a_fuse_may_exceed_ampacity_by_policy(ampacity: float, over: float) -> None:
    largest = largest_fuse_a(ampacity_a=ampacity, over_ampacity=over)
    assert largest_fuse_a(ampacity_a=ampacity) == ampacity
    assert ampacity <= largest <= 1.5 * ampacity


@pytest.mark.parametrize("over", [0.99, 1.501, float("nan")])
def test_other_policies_are_refused(over: float) -> None:
    with pytest.raises(ValueError, match=r"1 to 1\.5 times"):
        largest_fuse_a(ampacity_a=60.0, over_ampacity=over)
    with pytest.raises(ValueError, match=r"1 to 1\.5 times"):
        largest_fuse_a(ampacity_a=60.0, over_ampacity=np.array([1.0, over]))


def test_short_circuit_current_is_25_times_capacity() -> None:
    np.testing.assert_array_equal(short_circuit_a(capacity_ah=np.array([0.0, 80.0])), [0.0, 2000.0])
