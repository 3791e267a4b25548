"""Named hull shapes with a waterplane of its own, and where thin-ship theory may be trusted.
The third exponent, ``waterplane_fineness`` (p_w, at least the fineness p), describes the waterplane
alone: real small craft carry full waterplanes over fine, rockered ends. The second moments of
``hull`` take it in place of p; p serves volume, waves and wetted surface."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from keelwatt.physics.real import Real, Truth

LEAST_SLENDERNESS = 4.0
"""Waterline length over beam from which thin-ship theory is trusted (common practice)."""

MOST_TRUSTED_FROUDE = 0.38
"""Froude number up to which thin-ship theory is trusted: an owner's log shows power 20 to 40 %
above it from 0.38 to 0.42."""


class HullShape(NamedTuple):
    """Exponents p, q and p_w; ``drag_factor`` covers roughness, fittings, openings and rudder."""

    fineness: int
    fullness: int
    waterplane_fineness: int
    drag_factor: float


HULL_SHAPES: Mapping[str, HullShape] = MappingProxyType(
    {
        "slender": HullShape(2, 3, 2, 1.1),
        "canoe": HullShape(2, 4, 3, 1.15),
        "sit-on-top": HullShape(2, 6, 4, 1.3),
        "flat-bottomed": HullShape(2, 8, 4, 1.2),
    }
)
"""Exponents and drag factors from memory; a measured water trial replaces them."""


def midship_area_m2(*, beam_m: Real, draft_m: Real, fullness: Real) -> Real:
    """Area of the midship section under water; exact for the parametric hull.
    The integral of the half-breadth over the draft, doubled: common practice.

    >>> midship_area_m2(beam_m=0.8, draft_m=0.125, fullness=4)
    0.08
    """
    return beam_m * draft_m * fullness / (fullness + 1)


def within_thin_ship_theory(*, length_m: Real, beam_m: Real, froude: Real) -> Truth:
    """Whether thin-ship theory is trusted: length over beam from 4, Froude number to 0.38.
    Common practice; the Froude number by an owner's log.

    >>> bool(within_thin_ship_theory(length_m=4.5, beam_m=0.8, froude=0.40))
    False
    """
    slender = np.asarray(length_m) >= LEAST_SLENDERNESS * np.asarray(beam_m)
    return slender & (np.asarray(froude) <= MOST_TRUSTED_FROUDE)
