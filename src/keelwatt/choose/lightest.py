"""What couples fail to meet even at their lightest, remembered for later questions."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Floats, Ints
from keelwatt.choose.memory import Memory
from keelwatt.kits import Found, Types
from keelwatt.kits.pairs import at_lightest

MOST_LOOKED_AT = 400_000
"""Couples whose day at their lightest is remembered."""


@dataclass
class Lightest:
    """``names``: what a couple may miss whatever else is in a kit."""

    types: Types
    names: tuple[str, ...]

    @cached_property
    def _memory(self) -> Memory:
        return Memory(MOST_LOOKED_AT, np.int8, np.float64)

    def of(self, keys: Ints, couples: Found) -> tuple[Ints, Floats]:
        """(bit i set where a couple misses ``names[i]`` at its lightest; hours it serves)."""
        bits, hours = np.zeros(keys.shape, dtype=np.int64), np.zeros(keys.shape)
        known, (bits[known], hours[known]) = self._memory.of(keys)
        if not known.all():
            new = couples[~known]
            missed, hours[~known] = at_lightest(self.types, self.names, new.bank, new.drive)
            bits[~known] = sum(
                missed[name].astype(np.int64) << i for i, name in enumerate(self.names)
            )
            self._memory.learn(keys[~known], bits[~known], hours[~known])
        return bits, hours
