"""Wilson's interval: printed values, its ends, and how often it covers."""

import numpy as np
import pytest

from keelwatt.chance.odds import Chance


@pytest.mark.parametrize(
    ("hits", "days", "low", "high"),
    [(81, 263, "0.2553", "0.3662"), (15, 148, "0.0624", "0.1605"), (1, 29, "0.0061", "0.1718")],
)
def test_published_intervals(hits: int, days: int, low: str, high: str) -> None:
    """R. G. Newcombe, Statist. Med. 17 (1998) 857, table I, method 3."""
    found = Chance(hits, days).interval
    assert [f"{end:.4f}" for end in found] == [low, high]


def test_all_or_nothing_keeps_its_end() -> None:
    assert Chance(0, 100).interval[0] == 0.0
    assert Chance(100, 100).interval[1] == 1.0
    assert 0.0 < Chance(0, 100).interval[1] < 0.05
    assert 0.95 < Chance(100, 100).interval[0] < 1.0


def test_the_standard_error_is_that_of_a_share() -> None:
    assert Chance(20, 100).standard_error == pytest.approx(0.04)


@pytest.mark.parametrize("true", [0.02, 0.3, 0.95])
def test_it_covers_at_about_the_stated_rate(true: float) -> None:
    """2000 samples: 95 % give or take three standard errors, 1.5 %, and the steps of counts."""
    counts = np.random.default_rng(5).binomial(400, true, size=2000)
    covered = [low <= true <= high for low, high in (Chance(int(c), 400).interval for c in counts)]
    assert 0.93 <= np.mean(covered) <= 0.975
