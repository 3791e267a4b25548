"""A quick incumbent from the tables, and which candidates could still be part of a best kit."""

import numpy as np

from keelwatt.choose.space import NOTHING, Keep, Kits, Space
from keelwatt.choose.sums import Ints, Measure
from keelwatt.kits import NEVER

CHUNK = 512


def floor(space: Space, measure: Measure) -> Ints:
    """A lower bound on the measure for every (bank, drive); NOTHING for hopeless couples."""
    zone, _, _ = space.zones
    banks, drives, _ = space.measures[measure]
    bound = banks[:, None] + drives[None, :] + space.least_wiring(measure)[zone]
    hopeless = bound >= NOTHING
    mass = space.measures["mass"]
    lightest = np.where(hopeless, 0, space.least_wiring("mass")[zone])
    displacement = space.bare_g + mass[0][:, None] + mass[1][None, :] + lightest
    for w_max in space.w_max_g.values():
        of_couple = space.typed(w_max)
        hopeless |= (of_couple == NEVER) | (of_couple < displacement)
    for limit in space.sums:
        least = int(limit.of[2].min(initial=0))
        hopeless |= limit.of[0][:, None] + limit.of[1][None, :] + least > limit.bound
    return np.where(hopeless, NOTHING, bound)


def incumbent(space: Space, measure: Measure, floors: Ints) -> int:
    """The least measure of a kit that keeps every limit, NOTHING if there is none: best first."""
    order = np.argsort(floors, axis=None, kind="stable")[: int((floors < NOTHING).sum())]
    best = NOTHING
    for at in range(0, order.size, CHUNK):
        chunk = order[at : at + CHUNK]
        if floors.flat[chunk[0]] >= best:
            break
        kits = space.expand(*np.unravel_index(chunk, floors.shape))
        values = kits.total(space.measures[measure])[space.keeps(kits)]
        best = min(best, int(values.min(initial=NOTHING)))
    return best


def worth_keeping(space: Space, measure: Measure, floors: Ints, best: int) -> Keep:
    """Candidates that a kit at least as good as ``best`` may hold."""
    zone, starts, ends = space.zones
    alive = (floors <= best) & (floors < NOTHING)
    zone_floor = np.full(starts.size, NOTHING, dtype=np.int64)
    np.minimum.at(zone_floor, zone[alive], floors[alive])
    values = space.measures[measure][2]
    wiring = np.zeros(values.size, dtype=bool)
    for number in np.flatnonzero(zone_floor < NOTHING):
        rows = slice(int(starts[number]), int(ends[number]))
        wiring[rows] = zone_floor[number] + values[rows] - values[rows].min() <= best
    banks, drives = np.asarray(alive.any(axis=1)), np.asarray(alive.any(axis=0))
    return banks, drives, wiring


def equals(space: Space, floors: Ints, best: dict[Measure, int], measure: Measure) -> Kits:
    """Every kit that keeps the limits and has exactly these measures, in table order."""
    couples = np.argwhere(floors <= best[measure])
    kits = space.expand(couples[:, 0], couples[:, 1])
    good = space.keeps(kits)
    for name, value in best.items():
        good &= kits.total(space.measures[name]) == value
    return kits[good]
