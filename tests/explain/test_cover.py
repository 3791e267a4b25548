"""A range shared out to the best kits."""

from math import inf
from random import Random

import numpy as np
import pytest

from keelwatt.explain.cover import Cover, Piece


def offered(low: float, high: float, *ranges: tuple[int, float, float]) -> tuple[Piece, ...]:
    cover = Cover(low, high)
    kits, starts, ends = (np.array(part) for part in zip(*ranges, strict=True))
    cover.offer(kits, starts.astype(float), ends.astype(float))
    return cover.pieces()


def test_the_first_kit_takes_what_it_serves_and_the_next_the_rest() -> None:
    assert offered(0, 10, (7, 2, 4), (3, 0, 6), (5, 0, 12)) == (
        Piece(0, 2, 3),
        Piece(2, 4, 7),
        Piece(4, 6, 3),
        Piece(6, 10, 5),
    )


def test_what_nobody_serves_stays_open() -> None:
    assert offered(0, inf, (1, 3, inf)) == (Piece(0, 3, None), Piece(3, inf, 1))
    assert Cover(1, 2).pieces() == (Piece(1, 2, None),)


def test_neighbouring_ranges_of_one_kit_are_one_piece() -> None:
    assert offered(0, 4, (1, 0, 2), (1, 2, 4)) == (Piece(0, 4, 1),)


def test_a_last_digit_is_no_range() -> None:
    hair = 5 * (1 + 1e-12)
    assert offered(0, 10, (1, 0, 5), (2, 0, hair), (3, 0, 10)) == (Piece(0, 5, 1), Piece(5, 10, 3))
    assert offered(0, 10, (1, 0, 10 * (1 - 1e-12)), (2, 0, 10)) == (Piece(0, 10, 1),)


@pytest.mark.parametrize("seed", range(30))
def test_each_amount_goes_to_the_first_that_serves_it(seed: int) -> None:
    r = Random(seed)
    ends = [sorted(r.sample(range(101), 2)) for _ in range(r.randrange(1, 12))]
    ranges = [(kit, float(start), float(end)) for kit, (start, end) in enumerate(ends)]
    pieces = offered(0, 100, *ranges)
    assert [p.start for p in pieces[1:]] == [p.end for p in pieces[:-1]]
    for amount in np.arange(0.5, 100.0):
        first = next((kit for kit, start, end in ranges if start <= amount <= end), None)
        (piece,) = [p for p in pieces if p.start <= amount <= p.end]
        assert piece.kit == first
