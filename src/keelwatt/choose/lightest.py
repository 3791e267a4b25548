"""What couples fail to meet even at their lightest, remembered for later questions."""

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.kits import Found, Types
from keelwatt.kits.pairs import at_lightest

MOST_LOOKED_AT = 400_000
"""Couples whose day at their lightest is remembered."""


@dataclass
class Lightest:
    """``names``: what a couple may miss whatever else is in a kit."""

    types: Types
    names: tuple[str, ...]
    _keys: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    _bits: npt.NDArray[np.int8] = field(default_factory=lambda: np.zeros(0, dtype=np.int8))
    _hours: Floats = field(default_factory=lambda: np.zeros(0))

    def of(self, keys: Ints, couples: Found) -> tuple[Ints, Floats]:
        """(bit i set where a couple misses ``names[i]`` at its lightest; hours it serves)."""
        known = among(keys, self._keys)
        at = np.searchsorted(self._keys, keys[known])
        bits, hours = np.zeros(keys.shape, dtype=np.int64), np.zeros(keys.shape)
        bits[known], hours[known] = self._bits[at], self._hours[at]
        if not known.all():
            new = couples[~known]
            missed, hours[~known] = at_lightest(self.types, new.bank, new.drive)
            bits[~known] = sum(
                missed[name].astype(np.int64) << i for i, name in enumerate(self.names)
            )
            self._remember(keys[~known], bits[~known], hours[~known])
        return bits, hours

    def _remember(self, keys: Ints, bits: Ints, hours: Floats) -> None:
        """Of more than may be remembered, the new ones at the most."""
        if self._keys.size + keys.size > MOST_LOOKED_AT:
            self._keys, self._bits, self._hours = self._keys[:0], self._bits[:0], self._hours[:0]
        inorder = np.argsort(keys, kind="stable")[:MOST_LOOKED_AT]
        at = np.searchsorted(self._keys, keys[inorder])
        self._keys = np.insert(self._keys, at, keys[inorder])
        self._bits = np.insert(self._bits, at, bits[inorder].astype(np.int8))
        self._hours = np.insert(self._hours, at, hours[inorder])


def among(keys: Ints, known: Ints) -> Bools:
    """Which keys are among known ones, which rise."""
    if not known.size:
        return np.zeros(keys.shape, dtype=bool)
    at = np.minimum(np.searchsorted(known, keys), known.size - 1)
    return np.asarray(known[at] == keys)
