"""The one search by halves: between what is met and what is not."""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int64]


def last_met(met: Callable[[Floats], Bools], good: Floats, bad: Floats, halvings: int) -> Floats:
    """How far from ``good`` towards ``bad`` it is met, entry by entry, on the side of ``good``."""
    for _ in range(halvings):
        middle = (good + bad) / 2.0
        holds = met(middle)
        good, bad = np.where(holds, middle, good), np.where(holds, bad, middle)
    return good


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
