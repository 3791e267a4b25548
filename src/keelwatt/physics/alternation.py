"""Two neighbouring steps of a control in turn, as people switch them for a mean between the two.
A mean below the lowest step is made by switching step 1 off and on.
Source: common practice: people alternate neighbouring steps by the switch."""

from typing import NamedTuple

import numpy as np

from keelwatt.physics.real import Floats, Ints, Real


class Between(NamedTuple):
    """The two steps alternated, 0 for off, and the share of time on the upper one."""

    lower: Ints
    upper: Ints
    share: Real


def share_between(*, wished: Real, slower: Real, faster: Real) -> Real:
    """Share of time on the faster of two steps that brings a wished mean, from 0 to 1.
    ``wished``: speed or thrust. ``slower, faster``: what the two steps bring; 0 of the time where
    they are alike.

    >>> f"{share_between(wished=1.3, slower=1.2, faster=1.4):.2f}"
    '0.50'
    """
    span = np.asarray(faster) - np.asarray(slower)
    share = (np.asarray(wished) - slower) / np.where(span > 0, span, 1.0)
    clipped: Real = np.clip(share, 0.0, 1.0)[()]
    return clipped


def between_steps(*, wished: Real, reached: Floats, off: Real = 0.0) -> Between:
    """Which two steps are alternated to bring a wished mean, and the upper one's share of time.
    Serves speeds on the water and, for a boat that holds its place, thrusts. A step that brings
    just the wish is the upper one, with a share of 1.
    ``wished``: (...), speed or thrust. ``reached``: array (..., n), what each step brings, never
    falling from step to step. ``off``: (...), what is had with the motor off: 0, or the speed of
    drifting. Returns Between: integers and a share of shape (...); the share is nan where the last
    step brings less.

    >>> lower, upper, share = between_steps(wished=1.3, reached=np.array([1.0, 1.2, 1.4]))
    >>> f"{share:.2f} of the time on step {upper}, else on step {lower}"
    '0.50 of the time on step 3, else on step 2'
    """
    wish, still = np.asarray(wished, float), np.asarray(off, float)
    shape = np.broadcast_shapes(wish.shape, still.shape, reached.shape[:-1])
    levels = np.empty((*shape, reached.shape[-1] + 1))
    levels[..., 0], levels[..., 1:] = still, reached
    lower = (levels[..., 1:] < wish[..., None]).sum(axis=-1)
    upper = np.minimum(lower + 1, reached.shape[-1])
    start = np.take_along_axis(levels, lower[..., None], axis=-1)[..., 0]
    end = np.take_along_axis(levels, upper[..., None], axis=-1)[..., 0]
    share = share_between(wished=wish, slower=start, faster=end)
    share = np.where(lower == upper, np.nan, share)
    return Between(lower, upper, share[()])


def alternating_current_a(
    *, wished: Real, reached: Floats, current_a: Floats, off: Real = 0.0
) -> Real:
    """Mean current of the two steps alternated to bring a wished mean.
    It never falls as the wish grows, nor as drag makes each step slower and hungrier.
    ``wished``: (...), speed or thrust. ``reached``: array (..., n), what each step brings, never
    falling from step to step. ``current_a``: array (..., n), of each step, of the shape of
    ``reached``. ``off``: (...), what is had with the motor off. nan where the last step brings less
    than wished.

    >>> float(alternating_current_a(wished=0.5, reached=np.array([1.0, 1.4]),
    ...                             current_a=np.array([6.0, 10.0])))
    3.0
    """
    steps = between_steps(wished=wished, reached=reached, off=off)
    currents = np.zeros((*steps.lower.shape, reached.shape[-1] + 1))
    currents[..., 1:] = current_a
    start = np.take_along_axis(currents, steps.lower[..., None], axis=-1)[..., 0]
    end = np.take_along_axis(currents, steps.upper[..., None], axis=-1)[..., 0]
    mean: Real = (start + steps.share * (end - start))[()]
    return mean
