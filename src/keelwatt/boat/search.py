"""The one search by halves: between what is met and what is not."""

from collections.abc import Callable
from math import ceil, log2

import numpy as np

from keelwatt.physics.real import Bools, Floats, Ints

Rising = Callable[[Floats], Floats]

MANY = 8
"""Where fewer than one entry in so many is still open, those are gone on with alone."""

MOST_STEPS, CLOSE, LEAST_SHARE = 60, 1e-10, 1e-6
"""How long a crossing is looked for, how near 0 is taken for it, as a share of both ends, and the
least step from an end, of the bracket."""


def last_met(
    met: Callable[[Floats], Bools], good: Floats, bad: Floats, halvings: int, parts: int = 2
) -> Floats:
    """How far from ``good`` towards ``bad`` it is met, entry by entry, on the side of ``good``, as
    sharply as by so many halvings. ``parts``: into so many at a time, the entries behind one
    another on the last axis, which is quicker where they are few."""
    shares = np.arange(1, parts) / parts
    for _ in range(ceil(halvings / log2(parts))):
        between = [good + share * (bad - good) for share in shares]
        holds = np.split(met(np.concatenate(between, axis=-1)), parts - 1, axis=-1)
        last = np.logical_and.accumulate(holds).sum(axis=0)
        good, bad = np.choose(last, [good, *between]), np.choose(last, [*between, bad])
    return good


def crossing(
    rising: Rising, low: Floats, high: Floats, some: Callable[[Ints], Rising] | None = None
) -> Floats:
    """Where a rising function passes 0, entry by entry; the end it is nearer to where it does not.
    ``some``: the function of some entries of the last axis, for when most have been found.
    Chandrupatla (Advances in Engineering Software 28, 1997): through the last three points, turned
    round, where that is safe, else by halves; a dozen evaluations within the bracket."""
    old, new, at_old, at_new = low, high, rising(low), rising(high)
    open_ = (at_old < 0.0) & (at_new > 0.0)
    close = CLOSE * (at_new - at_old)
    middle = np.where(at_old < 0.0, high, low)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(open_, at_new / (at_new - at_old), 0.5)
        for _ in range(MOST_STEPS):
            middle = np.where(open_, new + share * (old - new), middle)
            found = rising(middle)
            open_ &= np.abs(found) > close
            if not open_.any():
                break
            if some and 0 < (rows := _columns(open_)).size < open_.shape[-1] // MANY:
                within = np.minimum(old, new)[..., rows], np.maximum(old, new)[..., rows]
                middle[..., rows] = crossing(some(rows), *within, some=None)
                break
            alike = (found < 0.0) == (at_new < 0.0)
            before, at_before = np.where(alike, new, old), np.where(alike, at_new, at_old)
            old, at_old = np.where(alike, old, new), np.where(alike, at_old, at_new)
            new, at_new = middle, found
            place, height = (new - old) / (before - old), (at_new - at_old) / (at_before - at_old)
            safe = (height**2 < place) & ((1.0 - height) ** 2 < 1.0 - place)
            turned = at_new / (at_old - at_new) * at_before / (at_old - at_before)
            turned += (
                (before - new)
                / (old - new)
                * at_new
                / (at_before - at_new)
                * at_old
                / (at_before - at_old)
            )
            share = np.where(safe, np.clip(turned, LEAST_SHARE, 1.0 - LEAST_SHARE), 0.5)
    return np.asarray(middle)


def _columns(open_: Bools) -> Ints:
    """The entries of the last axis in which something is open."""
    return np.flatnonzero(open_.any(axis=tuple(range(open_.ndim - 1))))


def largest_met(
    met: Callable[[Ints, Ints], Bools],
    low: Ints,
    high: Ints,
    *,
    at_low: Bools,
    at_high: Bools,
    never: int,
) -> Ints:
    """The largest whole number from ``low`` to ``high`` that is met, ``never`` where none is.
    ``met`` takes places among the entries and a number for each, and eases as these fall."""
    answer = np.where(at_high, high, np.where(at_low, low, never)).astype(np.int64)
    open_ = np.flatnonzero(at_low & ~at_high)
    good, bad = low[open_], high[open_]
    while open_.size and (bad - good).max() > 1:
        middle = (good + bad) // 2
        holds = met(open_, middle)
        good, bad = np.where(holds, middle, good), np.where(holds, bad, middle)
    answer[open_] = good
    return answer
