"""At which speeds of all legs together a kit serves the day."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.boat.running import STUCK, Running
from keelwatt.boat.search import last_met
from keelwatt.choose.block import Block
from keelwatt.explain.cover import Cover

PIECES = 32
"""Charge bends gently with speed: on each of so many pieces of a range it is taken to cross what
the bank holds once at the most."""

HALVINGS = 34

_NONE = (np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0))


@dataclass(frozen=True)
class Speeds:
    """Shares of the wished speeds, for the numbered kits of a block.

    Faster is not always harder: against wind or stream a slow day is a long one.
    """

    kits: Ints
    running: Running

    @classmethod
    def of(cls, block: Block, kits: Ints) -> "Speeds":
        laden = block.bank_type[kits], block.drive_type[kits], block.displacement_g[kits]
        return cls(kits, block.day.running(*laden).repeatedly())

    @cached_property
    def reach(self) -> Floats:
        """The greatest share the motors can do, charge not counted."""
        speeds, wanted = self.running.legs_reached_m_s(), self._wanted[:, None]
        share = np.divide(speeds, wanted, out=np.full(speeds.shape, np.inf), where=wanted > 0.0)
        return np.asarray(np.where(speeds < 0.0, STUCK, share).min(axis=0))

    def serves_at(self, share: float) -> Bools:
        """Which kits serve the day at one share."""
        return self._serves(np.arange(self.kits.size), np.full(self.kits.shape, share))

    def ranges(self, cover: Cover, pieces: int = PIECES) -> tuple[Ints, Floats, Floats]:
        """(kit, start, end) of what could take something open, in the kits' order."""
        found = [_NONE, *(self._within(low, high, pieces) for low, high in cover.open)]
        rows, starts, ends = (np.concatenate(part) for part in zip(*found, strict=True))
        order = np.argsort(rows, kind="stable")
        return self.kits[rows[order]], starts[order], ends[order]

    def _within(self, low: float, high: float, pieces: int) -> tuple[Ints, Floats, Floats]:
        """(row, start, end) of every range within one that is open."""
        rows = np.flatnonzero(self.reach > low)
        top = np.minimum(self.reach[rows], high)
        knots = np.linspace(low, top, pieces + 1)
        return self._served(rows, knots)

    def _served(self, rows: Ints, knots: Floats) -> tuple[Ints, Floats, Floats]:
        """Of the pieces between knots, shape (knots, rows), what the day can be done at."""
        starts, ends = knots[:-1].ravel(), knots[1:].ravel()
        of = np.tile(rows, len(knots) - 1)
        real = ends > starts
        starts, ends, of = starts[real], ends[real], of[real]
        at_start, at_end = self._serves(of, starts), self._serves(of, ends)
        edge = at_start != at_end
        good = np.where(at_start, starts, ends)[edge]
        bad = np.where(at_start, ends, starts)[edge]
        if edge.any():
            running, wanted = self.running.of(of[edge]), self._wanted[:, None]
            good = last_met(lambda share: running.serves(wanted * share), good, bad, HALVINGS)
        starts, ends = starts.copy(), ends.copy()
        starts[edge] = np.where(at_start[edge], starts[edge], good)
        ends[edge] = np.where(at_start[edge], good, ends[edge])
        some = at_start | at_end
        return of[some], starts[some], ends[some]

    def _serves(self, rows: Ints, share: Floats) -> Bools:
        return self.running.of(rows).serves(self._wanted[:, None] * share)

    @property
    def _wanted(self) -> Floats:
        return self.running.case.ground_speeds_m_s
