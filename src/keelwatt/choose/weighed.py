"""What couples may weigh, all up, remembered for later questions."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Ints
from keelwatt.choose.memory import Memory
from keelwatt.kits import Found, Pairs, Types, pairs_of

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
        """What the couples may weigh between two masses."""
        known, columns = self._memory.of(keys)
        same = (columns[0] == low_g[known]) & (columns[1] == high_g[known])
        whole = np.zeros((len(self.names), keys.size), dtype=np.int64)
        old, there = np.flatnonzero(known)[same], known.copy()
        known[:] = False
        known[old] = True
        for row, column in zip(whole, columns[2:], strict=True):
            row[old] = column[same]
        new = np.flatnonzero(~known)
        for at in range(0, new.size, AT_ONCE):
            some = new[at : at + AT_ONCE]
            pair = couples.bank[some], couples.drive[some]
            found = pairs_of(self.types, *pair, low_g[some], high_g[some])
            whole[:, some] = [found.w_max_g[name] for name in self.names]
        if not there.all():
            self._memory.learn(keys[~there], *(row[~there] for row in (low_g, high_g, *whole)))
        w_max_g = dict(zip(self.names, whole, strict=True))
        return Pairs(couples.bank, couples.drive, low_g, high_g, w_max_g)
