"""The one search by halves: between what is met and what is not."""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int64]


MOST_STEPS, CLOSE = 60, 1e-10
"""How long a crossing is looked for, and how near 0 is taken for it, as a share of both ends."""


def last_met(met: Callable[[Floats], Bools], good: Floats, bad: Floats, halvings: int) -> Floats:
    """How far from ``good`` towards ``bad`` it is met, entry by entry, on the side of ``good``."""
    for _ in range(halvings):
        middle = (good + bad) / 2.0
        holds = met(middle)
        good, bad = np.where(holds, middle, good), np.where(holds, bad, middle)
    return good


def crossing(rising: Callable[[Floats], Floats], low: Floats, high: Floats) -> Floats:
    """Where a rising function passes 0, entry by entry; the end it is nearer to where it does not.

    False position with the weights of Anderson and Björck (BIT 13, 1973): a dozen evaluations where
    halving takes fifty, within the same bracket.
    """
    at_low, at_high = rising(low), rising(high)
    open_ = (at_low < 0.0) & (at_high > 0.0)
    close = CLOSE * (at_high - at_low)
    middle = np.where(at_low < 0.0, high, low)
    for _ in range(MOST_STEPS):
        with np.errstate(invalid="ignore", divide="ignore"):
            between = low - at_low * (high - low) / (at_high - at_low)
        middle = np.where(open_, between, middle)
        found = rising(middle)
        open_ &= np.abs(found) > close
        if not open_.any():
            break
        below = found < 0.0
        with np.errstate(invalid="ignore", divide="ignore"):
            weight = 1.0 - found / np.where(below, at_low, at_high)
        weight = np.where(weight > 0.0, weight, 0.5)
        low, at_low, high, at_high = (
            np.where(below, middle, low),
            np.where(below, found, at_low * weight),
            np.where(below, high, middle),
            np.where(below, at_high * weight, found),
        )
    return np.asarray(middle)


def largest_met(
    met: Callable[[Ints, Ints], Bools],
    low: Ints,
    high: Ints,
    *,
    at_low: Bools,
    at_high: Bools,
    never: int,
) -> Ints:
    """The largest whole number from ``low`` to ``high`` that is met, ``never`` where none is.

    ``met`` takes places among the entries and a number for each, and eases as these fall.
    """
    answer = np.where(at_high, high, np.where(at_low, low, never)).astype(np.int64)
    open_ = np.flatnonzero(at_low & ~at_high)
    good, bad = low[open_], high[open_]
    while open_.size and (bad - good).max() > 1:
        middle = (good + bad) // 2
        holds = met(open_, middle)
        good, bad = np.where(holds, middle, good), np.where(holds, bad, middle)
    answer[open_] = good
    return answer
