"""What was worked out of couples, remembered for later questions."""

from typing import Any

import numpy as np
import numpy.typing as npt

from keelwatt.boat.arrays import Bools, Ints

Column = npt.NDArray[Any]


class Memory:
    """Columns of some types by whole-number keys; of more than ``most``, the newest."""

    def __init__(self, most: int, *types: npt.DTypeLike) -> None:
        self.most = most
        self.keys: Ints = np.zeros(0, dtype=np.int64)
        self.columns: list[Column] = [np.zeros(0, dtype=of) for of in types]

    def of(self, keys: Ints) -> tuple[Bools, list[Column]]:
        """(which keys are known, their columns)."""
        known = among(keys, self.keys)
        at = np.searchsorted(self.keys, keys[known])
        return known, [column[at] for column in self.columns]

    def learn(self, keys: Ints, *columns: Column) -> None:
        """What is known of a key already gives way."""
        again = among(keys, self.keys)
        if again.any():
            at = np.searchsorted(self.keys, keys[again])
            self.keys = np.delete(self.keys, at)
            self.columns = [np.delete(column, at) for column in self.columns]
        if self.keys.size + keys.size > self.most:
            self.keys, self.columns = self.keys[:0], [column[:0] for column in self.columns]
        inorder = np.argsort(keys, kind="stable")[: self.most]
        at = np.searchsorted(self.keys, keys[inorder])
        self.keys = np.insert(self.keys, at, keys[inorder])
        self.columns = [
            np.insert(old, at, new[inorder].astype(old.dtype))
            for old, new in zip(self.columns, columns, strict=True)
        ]


def among(keys: Ints, known: Ints) -> Bools:
    """Which keys are among known ones, which rise."""
    if not known.size:
        return np.zeros(keys.shape, dtype=bool)
    at = np.minimum(np.searchsorted(known, keys), known.size - 1)
    return np.asarray(known[at] == keys)
