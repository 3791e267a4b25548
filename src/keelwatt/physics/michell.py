"""Michell's thin-ship integral for the parametric hull, in numbers without dimension.
Here ``kl`` is the wave number g / V**2 times waterline length, and ``tl`` draft over length."""

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from keelwatt.physics.real import Floats, Ints

Complex = NDArray[np.complex128]

SHALLOW = 0.005
"""Draft over length from which on a tolerance holds."""

_FIRST_INTERVALS = 64
_CHEBYSHEV_POINTS = 21
_MOST_DOUBLINGS = 10
_WIDEST_PHASE = 1.0
"""Two rules that both step over the waves between bow and stern may agree by chance: k L times the
step in u must be no more before their agreement counts."""

_MANY_WAVES = 40.0
"""From this k L on, a Froude number of 0.16, the waves' beat along the hull is taken out first."""

_EVEN_STEP, _FARTHEST = 0.15, 6.2

_SPEEDS_AT_ONCE = 32
"""So many speeds make a rule that is kept: a longer ladder of them begins with the same."""


def resistance_share(
    *, froude: Floats, draft: Floats, form: tuple[int, int], tolerance: float
) -> Floats:
    """Wave resistance over rho g L B**2.
    For slender hulls in deep, calm water, hollows and all; sinkage, trim, breaking waves and the
    boundary layer are left out.
    ``froude``: array (n,). ``draft``: array (m,), over length. ``form``: exponents p and q, at
    least 2. ``tolerance``: of the wave coefficient: a share of itself, or of 0.001 where it is
    less; holds from a draft of ``SHALLOW`` on. Returns array (n, m).
    ArithmeticError: if the integral does not settle.
    Source: J. H. Michell, Philosophical Magazine 45 (1898) 106: ``4 rho g**2 / (pi V**2) * integral
    (I**2 + J**2) lambda**2 / sqrt(lambda**2 - 1)``, with lambda = cosh u by the trapezoid rule,
    which converges exponentially on an even analytic integrand (Trefethen and Weideman, SIAM Review
    56 (2014) 385).

    >>> share = resistance_share(froude=np.array([0.4]), draft=np.array([0.02]), form=(2, 4),
    ...                          tolerance=1e-6)
    >>> share.shape
    (1, 1)
    """
    found = np.empty((froude.size, draft.size))
    slow = froude**-2 >= _MANY_WAVES
    for part in (np.flatnonzero(slow), np.flatnonzero(~slow)):
        for start in range(0, part.size, _SPEEDS_AT_ONCE):
            some = part[start : start + _SPEEDS_AT_ONCE]
            speeds = froude[some].tobytes()
            rule = _descent(speeds, form[0]) if slow[some[0]] else _rule(speeds, form, tolerance)
            for column, t in enumerate(draft.tolist()):
                depth = rule.weight * (t * _down(form[1], t * rule.sink)) ** 2
                found[some, column] = np.add.reduceat(depth, rule.starts).real
    return found


@dataclass(frozen=True)
class _Rule:
    """The integral at each speed as a sum over nodes: of the draft only the depth's part is left.
    ``sink``, ``weight``: k L lambda**2 and the factor of the depth's square at every node, speed
    after speed; ``starts``: where each speed's nodes begin.
    """

    sink: Floats
    weight: Floats
    starts: Ints


@lru_cache(maxsize=128)
def _descent(froude: bytes, p: int) -> _Rule:
    """Where many waves lie along the hull: what bow, stern and midship make each, and together.
    The square of the length's part is a smooth term and two that turn with k L lambda and half of
    it, the latter only where an odd p has a corner amidships. The smooth one is summed in even
    steps; from 1 on, those that turn die away along lambda = 1 + i s**2 / kappa, where Gauss and
    Hermite's nodes take them (steepest descent).
    """
    kl = np.frombuffer(froude)[:, None] ** -2
    u = np.arange(0.0, _FARTHEST, _EVEN_STEP)
    spread = np.cosh(u)
    ends, corner = _ends_and_corner(p, 0.5 * kl * spread)
    even = np.where(u > 0.0, _EVEN_STEP, _EVEN_STEP / 2)
    sinks, weights = [kl * spread**2], [even * spread**2 * (np.abs(ends) ** 2 / 2 + corner.real**2)]
    for share in (1.0, 0.5)[: 1 + p % 2]:
        kappa = share * kl
        s2, hermite = _hermite()
        spread = 1 + 1j * s2 / kappa
        ends, corner = _ends_and_corner(p, 0.5 * kl * spread)
        turned = -(ends**2) / 2 if share == 1.0 else -2j * ends * corner
        slope = np.exp(1j * kappa) * (1 + 1j) / np.sqrt(kappa * (1 + 0.5j * s2 / kappa))
        sinks.append(kl * spread**2)
        weights.append(hermite * slope * spread**2 * turned)
    sink, weight = (np.concatenate(parts, axis=1) for parts in (sinks, weights))
    starts = np.arange(kl.size) * sink.shape[1]
    return _Rule(sink.ravel(), (4 * p**2 / np.pi * kl * weight).ravel(), starts)


def _ends_and_corner(p: int, a: Floats | Complex) -> tuple[Complex, Complex]:
    """P and Im Q of ``integral over 0..1 of s**(p-1) exp(i a s) = P exp(i a) + Q``."""
    over: Complex = np.asarray(1 / (1j * a), dtype=np.complex128)
    ends, rest = over, -over
    for m in range(1, p):
        ends, rest = (1 - m * ends) * over, -m * rest * over
    return ends, rest * (-1j if p % 2 else 0.0)


@cache
def _hermite() -> tuple[Floats, Floats]:
    """Squares of the sixteen nodes of Gauss and Hermite, the positive half, and their weights."""
    nodes, weights = np.polynomial.hermite.hermgauss(16)
    return nodes[8:] ** 2, weights[8:]


@lru_cache(maxsize=128)
def _rule(froude: bytes, form: tuple[int, int], tolerance: float) -> _Rule:
    """By halving the step at each speed.
    The integrand falls as lambda**-4 once k T lambda**2 is large, latest for a shallow hull: that
    one tells when a speed has settled, so that one draft's answer never depends on others asked.
    """
    kl = np.frombuffer(froude) ** -2
    least = 1e-3 * np.pi * 6**2 * SHALLOW / kl**2  # a wave coefficient of 0.001 at L/B = 6
    reach = np.arccosh(2 * tolerance**-0.25 * np.sqrt(np.maximum(1.0, 200 / kl)))
    rows, intervals = np.arange(kl.size), _FIRST_INTERVALS
    nodes = [_nodes(rows, kl, reach, np.arange(intervals + 1) / intervals, form[0])]
    nodes[0][2][:: intervals + 1] /= 2  # the rule's end, where u is 0
    total = _shallow_sum(nodes[0], rows, form)
    coarse = total * reach / intervals
    step = np.empty(kl.size)
    for _ in range(_MOST_DOUBLINGS):
        if not rows.size:
            return _assembled(nodes, step * kl / np.pi)
        midway = (np.arange(intervals) + 0.5) / intervals
        intervals *= 2
        nodes.append(_nodes(rows, kl, reach, midway, form[0]))
        total += _shallow_sum(nodes[-1], rows, form)
        fine = total * reach[rows] / intervals
        close = np.abs(fine - coarse) <= tolerance * np.maximum(fine, least[rows])
        close &= reach[rows] / intervals * kl[rows] <= _WIDEST_PHASE
        step[rows[close]] = reach[rows[close]] / intervals
        rows, total, coarse = rows[~close], total[~close], fine[~close]
    raise ArithmeticError("the wave integral did not settle")


def _nodes(
    rows: Ints, kl: Floats, reach: Floats, shares: Floats, p: int
) -> tuple[Ints, Floats, Floats]:
    """(speed, sink, the length's square) at shares of each speed's reach of u, lambda = cosh u."""
    spread = np.cosh(reach[rows, None] * shares)
    number = kl[rows, None]
    along = (spread * _along(p, 0.5 * number * spread)) ** 2
    return np.repeat(rows, shares.size), (number * spread**2).ravel(), along.ravel()


def _shallow_sum(nodes: tuple[Ints, Floats, Floats], rows: Ints, form: tuple[int, int]) -> Floats:
    """The integrand at the shallowest draft, summed over the nodes of each of these speeds."""
    _, sink, along = nodes
    values = along * (SHALLOW * _down(form[1], SHALLOW * sink)) ** 2
    return np.asarray(values.reshape(rows.size, -1).sum(axis=1))


def _assembled(nodes: list[tuple[Ints, Floats, Floats]], factor: Floats) -> _Rule:
    rows, sink, along = (np.concatenate(parts) for parts in zip(*nodes, strict=True))
    order = np.argsort(rows, kind="stable")
    rows = rows[order]
    starts = np.searchsorted(rows, np.arange(factor.size))
    return _Rule(sink[order], along[order] * factor[rows], starts)


def _along(p: int, a: Floats) -> Floats:
    """``2 p * integral over 0..1 of s**(p-1) sin(a s)``: the hull's length against a wave."""
    value = np.empty_like(a)
    small = a < p + 2
    x, w = _gauss()
    value[small] = np.sin(np.multiply.outer(a[small], x)) @ (w * x ** (p - 1))
    big = a[~small]
    inverse, sine, cosine = 1 / big, np.sin(big), np.cos(big)
    s, c = (1 - cosine) * inverse, sine * inverse
    for n in range(1, p):
        s, c = (n * c - cosine) * inverse, (sine - n * s) * inverse
    value[~small] = s
    return 2 * p * value


def _down(q: int, b: Floats) -> Floats:
    """``integral over 0..1 of (1 - s**q) exp(-b s)``: the hull's depth against a wave."""
    value = np.empty_like(b)
    small = np.abs(b) < q
    value[small] = chebyshev.chebval(2 * b[small] / q - 1, _down_below(q))
    big = b[~small]
    inverse, end = 1 / big, np.exp(-big)
    tail = whole = (1 - end) * inverse
    for n in range(1, q + 1):
        tail = (n * tail - end) * inverse
    value[~small] = whole - tail
    return value


@cache
def _down_below(q: int) -> Floats:
    """Chebyshev coefficients of :func:`_down` for b in 0..q, to a part in 1e13."""
    x, w = _gauss()
    at = chebyshev.chebpts1(_CHEBYSHEV_POINTS)
    b = 0.5 * q * (at + 1)
    integral = np.exp(np.multiply.outer(-b, x)) @ (w * (1 - x**q))
    series = chebyshev.chebfit(at, integral, _CHEBYSHEV_POINTS - 1)
    return np.asarray(chebyshev.chebtrim(series, 1e-13 * np.abs(series).max()))


@cache
def _gauss() -> tuple[Floats, Floats]:
    """Sixteen Gauss nodes and weights on 0..1."""
    nodes, weights = np.polynomial.legendre.leggauss(16)
    return 0.5 * (nodes + 1), 0.5 * weights
