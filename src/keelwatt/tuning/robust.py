"""Least squares that a slip of the pen does not carry away. The only file that knows scipy."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares
from scipy.special import ndtri, stdtrit

from keelwatt.boat.arrays import Floats

Differences = Callable[[Floats, Floats], Floats]

MAD_TO_SIGMA = 1.4826
"""Standard deviation over the median absolute deviation, for a normal scatter."""

SOFT = 1.345
"""Where the loss turns from squares to a slope, in scatters; common practice."""

LEAST_SCATTER = 1.0
"""In the measure of the differences: none within its own error is taken for far."""

LEAST_ERROR = 0.6
"""In the same measure: what differences leave open even where they agree to the last digit, whose
rounding alone scatters by 0.29 and is one and the same in readings that are alike; chosen."""

FULL_LEVERAGE = 0.999
"""A difference that alone settles a value has leverage 1, and HC3 would divide by nothing."""

ILL_CONDITIONED = 1e6
"""Of the scaled Jacobian: beyond, the data cannot tell two values apart."""

ROUNDS = 20
"""At the most, of values and scatter in turn."""


@dataclass(frozen=True)
class Solution:
    """Fitted values and one standard error of each, without end where the data cannot tell, (p,).
    ``scatter``: of the differences, in their own measure; ``left``: what the fit leaves of each, in
    scatters, shape (n,); ``spare``: differences more than values."""

    values: Floats
    errors: Floats
    scatter: float
    left: Floats
    spare: int


def students_t(spare: int, level: float) -> float:
    """How many standard errors to either side an interval of this level reaches.

    >>> round(students_t(10, 0.95), 3)
    2.228
    """
    return float(stdtrit(spare, 0.5 + level / 2.0))


def normal(level: float) -> float:
    """The same where the errors are known and not found.

    >>> round(normal(0.95), 3)
    1.96
    """
    return float(ndtri(0.5 + level / 2.0))


def solve(differences: Differences, start: Floats, low: Floats, high: Floats) -> Solution:
    """The values that bring the differences nearest to nothing, far ones counting ever less.
    An M-estimate with the loss ``2 (sqrt(1 + u**2) - 1)``, u over 1.345 scatters, the scatter from
    the median of what is left. A standard error is the larger of two: that of an M-estimate whose
    differences all scatter alike, ``LEAST_ERROR`` at the least, with a correction for few of them,
    and the sandwich that lets each scatter as it does, its differences over one less their leverage
    (HC3).
    ``differences``: of values (p,) from the data, shape (n,), in the measure of the errors they
    have near a second set of values (p,). ``start``, ``low``, ``high``: (p,), fewer than n.
    Source: Huber and Ronchetti, Robust Statistics, 2nd edition, section 7.6; MacKinnon and White,
    Journal of Econometrics 29, 1985; from memory."""
    values, scatter = start, 1.0
    for _ in range(ROUNDS):
        before, scatter_before = values, scatter
        found = least_squares(
            differences,
            values,
            args=(values,),
            bounds=(low, high),
            x_scale="jac",
            loss="soft_l1",
            f_scale=SOFT * scatter,
        )
        values = found.x
        left = differences(values, values)
        scatter = _scatter(left, len(values))
        if np.allclose(values, before, rtol=1e-6) and np.isclose(scatter, scatter_before):
            break
    plain = least_squares(
        differences, values, args=(values,), bounds=(low, high), x_scale="jac", max_nfev=1
    )
    errors = _errors(plain.jac, left / scatter, scatter)
    return Solution(values, errors, scatter, left / scatter, len(left) - len(values))


def _scatter(left: Floats, fitted: int) -> float:
    """From the median of what a fit leaves.
    It may bring one difference less than it has values to nothing, so as many do not count."""
    sizes = np.sort(np.abs(left))[fitted - 1 :]
    return max(LEAST_SCATTER, MAD_TO_SIGMA * float(np.median(sizes)))


def _errors(jacobian: Floats, left: Floats, scatter: float) -> Floats:
    count, fitted = jacobian.shape
    sizes = np.linalg.norm(jacobian, axis=0)
    if not sizes.all() or np.linalg.cond(jacobian / sizes) > ILL_CONDITIONED:
        return np.full(fitted, np.inf)
    far = left / SOFT
    pull, slope = left / np.sqrt(1.0 + far**2), (1.0 + far**2) ** -1.5
    mean = float(np.mean(slope))
    few = scatter * (1.0 + fitted / count * float(np.var(slope)) / mean**2) / mean
    inverse = np.linalg.pinv(jacobian.T @ jacobian)
    leverage = np.einsum("ij,jk,ik->i", jacobian, inverse, jacobian)
    alone = pull / (1.0 - np.minimum(leverage, FULL_LEVERAGE))
    spread = max(float(np.sum(pull**2)) / (count - fitted), (LEAST_ERROR / scatter) ** 2)
    alike = spread * inverse
    each = inverse @ (jacobian.T * alone**2) @ jacobian @ inverse
    errors: Floats = few * np.sqrt(np.maximum(np.diag(alike), np.diag(each)))
    return errors
