"""What couples may weigh, all up, remembered for later questions."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Ints, in_parts
from keelwatt.choose.memory import Memory
from keelwatt.kits import NEVER, Found, Pairs, Types, pairs_of

MOST_WEIGHED = 50_000
"""Couples whose largest masses are remembered."""

AT_ONCE = 256
"""Couples that are weighed together: each asks for a ladder of waves or two."""


@dataclass
class Weighed:
    """``names``: the demands of couples."""

    types: Types
    names: tuple[str, ...]

    @cached_property
    def _memory(self) -> Memory:
        return Memory(MOST_WEIGHED, *[np.int64] * (2 + len(self.names)))

    def of(self, keys: Ints, couples: Found, low_g: Ints, high_g: Ints) -> Pairs:
        """What the couples may weigh between two masses, worked out between the least and the most
        that were ever asked about."""
        known, (low, high, *columns) = self._memory.of(keys)
        least_g, most_g, new = low_g.copy(), high_g.copy(), np.ones(keys.shape, dtype=bool)
        least_g[known] = np.minimum(low, low_g[known])
        most_g[known] = np.maximum(high, high_g[known])
        new[known] = (least_g[known] < low) | (most_g[known] > high)
        whole = np.zeros((len(self.names), keys.size), dtype=np.int64)
        whole[:, known] = columns
        rows = np.flatnonzero(new)
        for some in (rows[part] for part in in_parts(rows.size, AT_ONCE)):
            pair = couples.bank[some], couples.drive[some]
            found = pairs_of(self.types, *pair, least_g[some], most_g[some])
            whole[:, some] = [found.w_max_g[name] for name in self.names]
        if rows.size:
            self._memory.learn(keys[new], least_g[new], most_g[new], *whole[:, new])
        between = np.where(whole < low_g, NEVER, whole)
        between = np.where(whole >= high_g, self.types.cap_g, between)
        w_max_g = dict(zip(self.names, between, strict=True))
        return Pairs(couples.bank, couples.drive, low_g, high_g, w_max_g)
