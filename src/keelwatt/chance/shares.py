"""Which unknown matters most: the share of the variance of what is left that each one makes."""

from dataclasses import dataclass

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.chance.odds import CHUNK, Boat
from keelwatt.chance.spreads import UNKNOWNS, Spreads, Unknown

BASE = 8192
"""Days in each of the two samples; every unknown costs as many more."""

STREAM = 2
"""The samples' own stream of a seed."""

LEAST_LEFT = -1.0
"""A day counts as short of one whole bank at the most, so that one lost day has no say over all."""


@dataclass(frozen=True)
class Share:
    """What an unknown does by itself, and the standard error of that."""

    unknown: Unknown
    share: float
    standard_error: float


@dataclass(frozen=True)
class Shares:
    """The unknowns, the one that matters most first, and what only several together do.
    ``spread``: the standard deviation of what is left, as a share of a full bank."""

    shares: tuple[Share, ...]
    together: float
    spread: float


def shares(boat: Boat, spreads: Spreads, seed: int, base: int = BASE) -> Shares:
    """First-order indices over groups of numbers, none below 0. From two samples A and B, and A
    with one unknown taken from B. An unknown's share is the mean of f(B) (f(A with it) - f(A)) over
    the variance. Source: Saltelli et al., Comput. Phys. Commun. 181 (2010) 259, table 2, line (b),
    from memory; outputs are taken about their mean, which lowers the error."""
    random = np.random.default_rng([seed, STREAM])
    first, second = spreads.normals(random, base), spreads.normals(random, base)

    def left(normals: Floats) -> Floats:
        parts = range(0, base, CHUNK)
        runs = [boat.run(spreads.days(normals[at : at + CHUNK])).left_share for at in parts]
        return np.maximum(np.concatenate(runs), LEAST_LEFT)

    of_first, of_second = left(first), left(second)
    both = np.concatenate([of_first, of_second])
    variance = float(both.var()) if np.ptp(both) > 0.0 else 0.0
    found = []
    for unknown in UNKNOWNS:
        own = spreads.columns[unknown]
        mixed = first.copy()
        mixed[:, own] = second[:, own]
        change = left(mixed) - of_first
        if variance == 0.0 or not change.any():
            found.append(Share(unknown, 0.0, 0.0))
            continue
        terms = (of_second - both.mean()) * change / variance
        error = float(terms.std()) / base**0.5
        found.append(Share(unknown, max(0.0, float(terms.mean())), error))
    together = max(0.0, 1.0 - sum(each.share for each in found)) if variance else 0.0
    found.sort(key=lambda each: -each.share)
    return Shares(tuple(found), together, variance**0.5)
