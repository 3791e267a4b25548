"""What another beats is set aside: held against the plain words of it, pair by pair."""

from itertools import product
from random import Random

import numpy as np
import pytest

from keelwatt.boat.arrays import alike
from keelwatt.kits.shelf import TOGETHER, first_not_beaten, worthwhile


def beats(first: int, second: int, *more: list[int]) -> bool:
    """Nowhere less, and cheaper or lighter (the first two) or earlier; of each more is better."""
    ours, others = ([column[at] for column in more] for at in (first, second))
    if not all(own >= other for own, other in zip(ours, others, strict=True)):
        return False
    return ours[:2] != others[:2] or first < second


@pytest.mark.parametrize("count", [0, 1, 5, TOGETHER, TOGETHER + 1, 3 * TOGETHER + 7])
@pytest.mark.parametrize("most", [2, 9, 1000])
def test_what_another_beats_is_left_out(count: int, most: int) -> None:
    random = Random(f"{count} {most}")
    columns = [[random.randrange(most) for _ in range(count)] for _ in range(4)]
    price, mass, *virtues = columns
    less = [[-each for each in column] for column in (price, mass)]
    plain = [
        at
        for at in range(count)
        if not any(beats(other, at, *less, *virtues) for other in range(count))
    ]
    kept = worthwhile(np.array(price), np.array(mass), np.array(virtues, dtype=float).T)
    assert kept.tolist() == plain


@pytest.mark.parametrize("seed", range(6))
def test_within_a_group_what_another_beats_is_left_out(seed: int) -> None:
    random = Random(seed)
    price, mass, group = ([random.randrange(most) for _ in range(60)] for most in (9, 9, 4))
    less = [[-each for each in column] for column in (price, mass)]
    pairs = product(range(60), repeat=2)
    beaten = {at for other, at in pairs if group[other] == group[at] and beats(other, at, *less)}
    kept = first_not_beaten(*(np.array(each) for each in (group, price, mass)))
    assert kept.tolist() == [at for at in range(60) if at not in beaten]


@pytest.mark.parametrize("seed", range(12))
def test_rows_are_alike_that_are_equal_in_every_column(seed: int) -> None:
    """Of whole numbers near and far, of fractions, flags and words."""
    random = Random(seed)
    numbers = np.array([random.randrange(-4, 4) for _ in range(30)])
    kinds = [numbers, numbers * 10**9, numbers / 3, numbers > 0, numbers.astype(str)]
    columns = [random.sample(list(each), 30) for each in random.sample(kinds, 1 + seed % 3)]
    first, kind = alike(*(np.array(column) for column in columns))
    rows = list(zip(*columns, strict=True))
    inorder = sorted(set(rows))
    assert [inorder[at] for at in kind.tolist()] == rows
    assert [rows.index(row) for row in inorder] == first.tolist()
