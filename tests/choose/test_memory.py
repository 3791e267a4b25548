"""What is remembered of couples, held against a dictionary."""

import numpy as np
import pytest

from keelwatt.choose.memory import Memory

KEYS = np.arange(60)


@pytest.mark.parametrize("seed", range(20))
def test_what_was_learned_last_is_known_of_every_key(seed: int) -> None:
    rng, memory = np.random.default_rng(seed), Memory(1000, np.int64, np.float64)
    told: dict[int, tuple[int, float]] = {}
    for _ in range(12):
        keys = rng.permutation(KEYS)[: rng.integers(0, 25)]
        numbers, shares = rng.integers(0, 99, keys.size), rng.random(keys.size)
        memory.learn(keys, numbers, shares)
        learned = zip(numbers.tolist(), shares.tolist(), strict=True)
        told |= dict(zip(keys.tolist(), learned, strict=True))
        asked = rng.permutation(KEYS)
        known, columns = memory.of(asked)
        assert {*asked[known].tolist()} == {*told}
        found = zip(*(column.tolist() for column in columns), strict=True)
        assert dict(zip(asked[known].tolist(), found, strict=True)) == told


def test_past_the_most_only_the_newest_stay() -> None:
    memory = Memory(10, np.int64)
    memory.learn(np.arange(8), np.arange(8))
    memory.learn(np.array([3, 40, 41]), np.array([1, 2, 3]))
    assert memory.keys.tolist() == [0, 1, 2, 3, 4, 5, 6, 7, 40, 41]
    memory.learn(np.array([50]), np.array([4]))
    assert memory.keys.tolist() == [50]
