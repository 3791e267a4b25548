"""At which speeds of all legs together a kit serves the day."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.day import Bools, Floats
from keelwatt.boat.running import STUCK, Running
from keelwatt.choose.sums import Ints
from keelwatt.explain.cover import Cover
from keelwatt.explain.ledger import Ledger

PIECES = 32
"""A chopper's charge bends smoothly with speed: on each of so many pieces of a range it is taken to
cross what the bank holds once at the most."""

BISECTIONS = 34

_NONE = (np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0))

AFTER = 1.0 + 1e-10
"""A breath above a speed at which a switch must go one step up."""


@dataclass(frozen=True)
class Speeds:
    """Shares of the wished speeds, for the numbered kits of a ledger.

    Faster is not always harder: against wind or stream a slow day is a long one. And a stepped
    motor draws less towards the upper end of each step, where the distance is behind it sooner.
    """

    ledger: Ledger
    kits: Ints
    running: Running

    @classmethod
    def of(cls, ledger: Ledger, kits: Ints) -> "Speeds":
        banks, drives = ledger.types
        day = ledger.space.table.pairs.day
        types = banks[kits], drives[kits], ledger.displacement_g[kits]
        return cls(ledger, kits, Running.of(day, *types))

    @cached_property
    def reach(self) -> Floats:
        """The greatest share the motors can do, charge not counted."""
        speeds, wanted = self.running.legs_reached_m_s(), self._wanted[:, None]
        share = np.divide(speeds, wanted, out=np.full(speeds.shape, np.inf), where=wanted > 0.0)
        return np.asarray(np.where(speeds < 0.0, STUCK, share).min(axis=0))

    def serves_at(self, share: float) -> Bools:
        """Which kits serve the day at one share."""
        every = self.running.every
        return self._serves(every, np.full(every.shape, share))

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
        stepped = ~self._drive("chopper", rows)
        found = [_NONE]
        if stepped.any():
            knots = self._switchings(rows[stepped], low, top[stepped])
            found.append(self._served(rows[stepped], knots))
        if not stepped.all():
            knots = np.linspace(low, top[~stepped], pieces + 1)
            found.append(self._served(rows[~stepped], knots))
        rows, starts, ends = (np.concatenate(part) for part in zip(*found, strict=True))
        return rows, starts, ends

    def _served(self, rows: Ints, knots: Floats) -> tuple[Ints, Floats, Floats]:
        """Of the pieces between knots, shape (knots, rows), what the day can be done at."""
        starts, ends = knots[:-1].ravel() * AFTER, knots[1:].ravel()
        of = np.tile(rows, len(knots) - 1)
        real = ends > starts
        starts, ends, of = starts[real], ends[real], of[real]
        at_start, at_end = self._serves(of, starts), self._serves(of, ends)
        edge = at_start != at_end
        good = np.where(at_start, starts, ends)[edge]
        bad = np.where(at_start, ends, starts)[edge]
        for _ in range(BISECTIONS if edge.any() else 0):
            middle = (good + bad) / 2.0
            met = self._serves(of[edge], middle)
            good, bad = np.where(met, middle, good), np.where(met, bad, middle)
        starts, ends = starts / AFTER, ends.copy()
        starts[edge] = np.where(at_start[edge], starts[edge], good)
        ends[edge] = np.where(at_start[edge], good, ends[edge])
        some = at_start | at_end
        return of[some], starts[some], ends[some]

    def _switchings(self, rows: Ints, low: float, top: Floats) -> Floats:
        """Knots at the highest speed each step of the switch serves on each leg.

        Between them the current only falls as speed grows, and no leg takes longer.
        """
        steps = self._drive("steps", rows)
        legs = np.flatnonzero(self._wanted)
        knots = [np.full((1, rows.size), low), top[None, :]]
        leg, step, row = (
            part.ravel()
            for part in np.meshgrid(
                legs, np.arange(1, int(steps.max())), np.arange(rows.size), indexing="ij"
            )
        )
        good, bad = np.full(row.shape, low), top[row]
        for _ in range(BISECTIONS):
            middle = (good + bad) / 2.0
            setting = self.running.setting_at(self._wanted[leg] * middle, rows[row], leg)
            served = setting <= (step + 0.5) / steps[row]
            good, bad = np.where(served, middle, good), np.where(served, bad, middle)
        return np.sort(np.vstack([*knots, good.reshape(-1, rows.size)]), axis=0)

    def _drive(self, column: str, rows: Ints) -> np.ndarray:
        return np.asarray(self.running.day.drive[column][self.running.drive_type[rows]])

    def _serves(self, rows: Ints, share: Floats) -> Bools:
        return self.running.serves(self._wanted[:, None] * share, rows)

    @property
    def _wanted(self) -> Floats:
        return self.running.day.facts.ground_speeds_m_s
