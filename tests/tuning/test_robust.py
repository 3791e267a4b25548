"""The fit against closed forms, and against what would carry plain squares away."""

import numpy as np
import pytest

from keelwatt.boat.arrays import Floats
from keelwatt.tuning.robust import (
    LEAST_ERROR,
    LEAST_SCATTER,
    Solution,
    _errors,
    _scatter,
    solve,
    students_t,
)

WIDE = 1e6


def line(x: Floats, y: Floats, error: float = 1.0) -> Solution:
    """A line through points whose y have this error."""

    def differences(values: Floats, _: Floats) -> Floats:
        far: Floats = y - values[0] - values[1] * x
        return far / error

    return solve(differences, np.array([0.0, 1.0]), np.array([-WIDE] * 2), np.array([WIDE] * 2))


def test_it_is_plain_least_squares_where_nothing_is_far() -> None:
    rng = np.random.default_rng(3)
    x = np.linspace(0.0, 10.0, 40)
    y = 2.0 - 0.5 * x + 0.01 * rng.standard_normal(40)
    design = np.column_stack([np.ones(40), x])
    values, (squares,), *_ = np.linalg.lstsq(design, y, rcond=None)
    coarse, fine = line(x, y), line(x, y, error=0.012)
    assert coarse.values == pytest.approx(values, rel=1e-6)
    assert coarse.spare == 38
    assert coarse.scatter == LEAST_SCATTER
    least = np.sqrt(np.diag(squares / 38 * np.linalg.inv(design.T @ design)))
    assert fine.scatter == LEAST_SCATTER
    assert fine.values == pytest.approx(values, rel=2e-3)
    assert (fine.errors >= 0.999 * least).all()
    assert (fine.errors <= 1.3 * least).all()


def test_readings_that_agree_are_no_surer_than_their_meter() -> None:
    x = np.linspace(0.0, 10.0, 12)
    found = line(x, 2.0 - 0.5 * x, error=0.1)
    design = np.column_stack([np.ones(12), x])
    least = 0.1 * LEAST_ERROR * np.sqrt(np.diag(np.linalg.inv(design.T @ design)))
    assert found.errors == pytest.approx(least, rel=1e-4)


def test_what_a_fit_brings_to_nothing_tells_nothing_of_the_scatter() -> None:
    """Two values fitted leave one 0; the median of 2, 4 and 6 is 4, of a normal law's 1.4826th."""
    assert _scatter(np.array([0.0, -4.0, 6.0, 2.0]), 2) == pytest.approx(4.0 * 1.4826)


def test_a_mean_of_few_is_as_sure_as_the_textbook_says() -> None:
    """psi(u) = u / sqrt(1 + u**2), u over 1.345. One value from n differences: K / mean(psi') times
    the root of the sum of psi**2 over (n - 1)**2, K = 1 + var(psi') / mean(psi')**2 / n (Huber and
    Ronchetti, Robust Statistics, section 7.6, with HC3's leverage of 1 / n; from memory).
    """
    left, scatter = np.array([-4.0, -1.0, 0.5, 1.0, 8.0]), 2.0
    psi = left / np.sqrt(1.0 + (left / 1.345) ** 2)
    slope = (psi / left) ** 3
    k = 1.0 + np.var(slope) / np.mean(slope) ** 2 / 5
    assert k > 1.1
    expected = scatter * k / np.mean(slope) * np.sqrt(np.sum(psi**2)) / 4
    assert _errors(np.ones((5, 1)), left, scatter) == pytest.approx([expected])


def test_a_slip_moves_it_little_and_is_told() -> None:
    x = np.linspace(0.0, 10.0, 20)
    wobble = np.where(np.arange(20) % 2, 1.0, -1.0)
    y = 2.0 - 0.5 * x + wobble
    clean = line(x, y)
    y[13] += 300.0
    slipped = line(x, y)
    assert np.abs(slipped.values - clean.values) == pytest.approx([0.0, 0.0], abs=0.3)
    assert slipped.left.argmax() == 13
    assert slipped.left[13] > 50
    assert np.polyfit(x, y, 1)[0] > clean.values[1] + 1.0


def test_how_the_errors_are_measured_does_not_matter() -> None:
    rng = np.random.default_rng(8)
    x = np.linspace(0.0, 10.0, 12)
    y = 2.0 + 0.5 * x + rng.standard_normal(12)
    coarse, fine = line(x, y, error=0.02), line(x, y, error=0.01)
    assert coarse.values == pytest.approx(fine.values, rel=1e-6)
    assert coarse.errors == pytest.approx(fine.errors, rel=1e-5)
    assert coarse.scatter == pytest.approx(fine.scatter / 2, rel=1e-5)


def test_what_the_data_cannot_tell_has_no_end_of_error() -> None:
    found = line(np.full(9, 4.0), np.arange(9.0))
    assert np.isinf(found.errors).all()


def test_each_may_scatter_as_it_does() -> None:
    """Where only the far points scatter, a slope is less sure than if all scattered alike."""
    x = np.linspace(-1.0, 1.0, 40)
    rng = np.random.default_rng(1)
    y = 0.3 * np.abs(x) ** 3 * rng.standard_normal(40)
    found = line(x, y)
    design = np.column_stack([np.ones(40), x])
    _, (squares,), *_ = np.linalg.lstsq(design, y, rcond=None)
    alike = np.sqrt(np.diag(squares / 38 * np.linalg.inv(design.T @ design)))
    assert found.errors[1] > 1.2 * alike[1]


@pytest.mark.parametrize(("spare", "reach"), [(1, "12.706"), (5, "2.571"), (30, "2.042")])
def test_students_t(spare: int, reach: str) -> None:
    """Fisher and Yates's table of t, two-sided 5 %; from memory."""
    assert f"{students_t(spare, 0.95):.3f}" == reach
