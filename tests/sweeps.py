"""Cases by seed: a few always run, the rest with the slow sweeps."""

from collections.abc import Iterable
from typing import Any

import pytest


def few_first(seeds: Iterable[int], few: int) -> list[Any]:
    """For ``parametrize``: all but the first few are slow."""
    return [
        seed if number < few else pytest.param(seed, marks=pytest.mark.slow)
        for number, seed in enumerate(seeds)
    ]
