"""All legs slower or faster together: how far the chosen kit keeps pace, and which comes next."""

from itertools import pairwise
from math import inf

import numpy as np

from keelwatt.boat.arrays import Bools
from keelwatt.choose.sums import Ints
from keelwatt.explain.cover import APART, Cover
from keelwatt.explain.ledger import Ledger
from keelwatt.explain.speeds import Speeds

WINDOWS = (1.0, 0.95, 0.85, 0.7, 0.5, 0.25)
"""Slower days are searched from one to the next; below the last nobody would call it the day."""

PIECES = 6

FIRST_CHUNK = 64


def held(ledger: Ledger, kit: int, share: float = 1.0) -> float:
    """The greatest share of the wished speeds that a kit serves without a break from one on."""
    speeds = Speeds.of(ledger, np.array([kit]))
    reach = float(speeds.reach[0])
    if reach == inf or reach <= share * APART:
        return max(share, reach)
    cover = Cover(share, reach)
    cover.offer(*speeds.ranges(cover))
    first = cover.pieces()[0]
    return share if first.kit is None else first.end


def slower(ledger: Ledger, better: Bools) -> tuple[int, float] | None:
    """The greatest share of the wished speeds below 1 that lets a better kit in, and that kit."""
    kits = _considered(ledger, better)
    speeds = Speeds.of(ledger, _lightest(ledger, kits))
    for high, low in pairwise(WINDOWS):
        _, starts, ends = speeds.ranges(Cover(low, high), PIECES)
        real = ends > starts * APART
        if real.any():
            share = float(ends[real].max())
            kit = _first(ledger, kits, share / APART)
            return None if kit is None else (kit, share)
    return None


def faster(ledger: Ledger, share: float) -> int | None:
    """The best kit for a day just faster than a share of the wished speeds."""
    if share == inf:
        return None
    kits = _considered(ledger, np.ones(ledger.broken.shape, dtype=bool))
    return _first(ledger, kits, share * APART)


def _considered(ledger: Ledger, among: Bools) -> Ints:
    """Kits that only speed or charge could shut out, the best first."""
    pace = ledger.bit("leg_speed", "hours")
    fit = (ledger.broken & ~pace == 0) & ~ledger.hopeless & among
    return np.asarray(ledger.order[fit[ledger.order]])


def _lightest(ledger: Ledger, kits: Ints) -> Ints:
    """The lightest kit of each bank and drive type: it serves whatever heavier ones of them do."""
    banks, drives = ledger.types
    by_mass = kits[np.argsort(ledger.displacement_g[kits], kind="stable")]
    types = banks[by_mass] * (int(drives.max(initial=0)) + 1) + drives[by_mass]
    return np.asarray(by_mass[np.unique(types, return_index=True)[1]])


def _first(ledger: Ledger, kits: Ints, share: float) -> int | None:
    """The best of these kits that serves the day at a share of the wished speeds."""
    at, size = 0, FIRST_CHUNK
    while at < kits.size:
        chunk = kits[at : at + size]
        at, size = at + size, 4 * size
        rows = np.flatnonzero(Speeds.of(ledger, chunk).serves_at(share))
        if rows.size:
            return int(chunk[rows[0]])
    return None
