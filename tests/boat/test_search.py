"""The one search for a crossing, against roots known in closed form."""

from collections.abc import Callable
from math import ceil, log2

import numpy as np
import pytest

from keelwatt.boat.arrays import Floats, Ints
from keelwatt.boat.search import crossing, largest_met, last_met

COUNT = 400
ROOTS = np.linspace(0.05, 0.95, COUNT) * np.ones((2, 1))


def some(rows: Ints) -> Callable[[Floats], Floats]:
    """Cubes, but for one entry in fifty: steep as a square root where it passes 0."""
    at, steep = ROOTS[..., rows], rows % 50 == 0

    def rising(x: Floats) -> Floats:
        away = x - at
        return np.where(steep, np.sign(away) * np.sqrt(np.abs(away)), x**3 - at**3)

    return rising


def whole() -> Callable[[Floats], Floats]:
    return some(np.arange(COUNT))


@pytest.mark.parametrize("of_some", [None, some])
def test_roots_are_found_of_all_or_of_the_few_still_open(
    of_some: Callable[[Ints], Callable[[Floats], Floats]] | None,
) -> None:
    low, high = np.zeros(ROOTS.shape), np.ones(ROOTS.shape)
    assert crossing(whole(), low, high, of_some) == pytest.approx(ROOTS, abs=1e-8)


def test_the_few_still_open_are_gone_on_with_alone() -> None:
    asked: list[int] = []

    def counted(rows: Ints) -> Callable[[Floats], Floats]:
        asked.append(rows.size)
        return some(rows)

    crossing(whole(), np.zeros(ROOTS.shape), np.ones(ROOTS.shape), counted)
    assert asked and max(asked) < COUNT // 8


@pytest.mark.parametrize("root", [0.05, 0.1, 0.3, 0.55, 0.9])
def test_steep_as_a_square_root_it_takes_no_longer_than_halves(root: float) -> None:
    """Both ends, and a halving for each of the 53 bits of a number."""
    asked = 0

    def rising(x: Floats) -> Floats:
        nonlocal asked
        asked += 1
        return np.sign(x - root) * np.sqrt(np.abs(x - root))

    crossing(rising, np.zeros(1), np.ones(1))
    assert asked < 2 + 53


def test_where_nothing_is_passed_the_nearer_end_is_told() -> None:
    low, high = np.array([0.2, 0.2]), np.array([0.4, 0.4])
    roots = np.array([0.1, 0.9])
    assert crossing(lambda x: x - roots, low, high) == pytest.approx([0.2, 0.4])


@pytest.mark.parametrize("parts", [2, 3, 8])
def test_by_parts_as_by_halves_the_end_is_found_from_the_good_side(parts: int) -> None:
    """From either side of a root that the other end lies above, as sharply as asked."""
    sizes: list[int] = []

    def below(x: Floats) -> np.ndarray:
        sizes.append(x.shape[-1])
        return np.asarray(x < np.tile(ROOTS, parts - 1))

    found = last_met(below, np.zeros(ROOTS.shape), np.ones(ROOTS.shape), 30, parts)
    assert (found < ROOTS).all()
    assert found == pytest.approx(ROOTS, abs=2.0**-30)
    assert set(sizes) == {COUNT * (parts - 1)}
    assert len(sizes) == ceil(30 / log2(parts))


def test_whole_numbers_are_met_up_to_the_largest_none_below_and_all_at_the_top() -> None:
    low, high, most = (np.array(each) for each in ([2, 2, 2], [40, 40, 40], [1, 17, 40]))
    found = largest_met(
        lambda rows, numbers: numbers <= most[rows],
        low,
        high,
        at_low=low <= most,
        at_high=high <= most,
        never=-1,
    )
    assert found.tolist() == [-1, 17, 40]
