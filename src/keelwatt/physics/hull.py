"""The wall-ended parametric hull: volume, stability, wetted surface, friction and wind.
Half-breadth ``y = B/2 * (1 - |2x/L|**p) * (1 - (z/T)**q)``, x from midship, z down from the
waterline. ``fineness`` is p (the larger, the fuller the ends) and ``fullness`` q (the larger, the
flatter the bottom); p = q = 2 is the Wigley hull, p and q without bound a box. Geometry here is
exact for this hull, upright and level."""

from functools import cache

import numpy as np

from keelwatt.physics.real import Floats, Real
from keelwatt.physics.water import AIR_DENSITY_KG_M3

FORM_FACTOR = 0.15
"""Form drag as a share of flat-plate friction (from memory)."""

LEAST_REYNOLDS = 1e5


def displaced_volume_m3(
    *, length_m: Real, beam_m: Real, draft_m: Real, fineness: Real, fullness: Real
) -> Real:
    """Volume of water the hull displaces.
    Source: Integral of the half-breadth over the centre plane, doubled.

    >>> round(displaced_volume_m3(length_m=9, beam_m=1, draft_m=1, fineness=2, fullness=2), 6)
    4.0
    """
    block = fineness / (fineness + 1) * (fullness / (fullness + 1))
    return length_m * beam_m * draft_m * block


def draft_m(
    *, volume_m3: Real, length_m: Real, beam_m: Real, fineness: Real, fullness: Real
) -> Real:
    """Draft at which the hull displaces a volume.
    Exact for the parametric hull, whose waterline keeps its length and beam at every draft.
    Source: Inverse of :func:`displaced_volume_m3`.

    >>> round(draft_m(volume_m3=4.0, length_m=9, beam_m=1, fineness=2, fullness=2), 6)
    1.0
    """
    return volume_m3 / displaced_volume_m3(
        length_m=length_m, beam_m=beam_m, draft_m=1.0, fineness=fineness, fullness=fullness
    )


def waterplane_longitudinal_m4(*, length_m: Real, beam_m: Real, fineness: Real) -> Real:
    """Second moment of the waterplane about midship, which resists trim.
    Source: ``B L**3 p / (12 (p + 3))``, the integral of 2 y x**2 at the waterline.

    >>> round(waterplane_longitudinal_m4(length_m=4.0, beam_m=0.9, fineness=2), 4)
    1.92
    """
    return beam_m * length_m**3 * fineness / (12 * (fineness + 3))


def waterplane_transverse_m4(*, length_m: Real, beam_m: Real, fineness: Real) -> Real:
    """Second moment of the waterplane about the centreline, which resists heel.
    Source: The integral of 2 y**3 / 3 at the waterline, the cube written out.

    >>> round(waterplane_transverse_m4(length_m=4.0, beam_m=0.9, fineness=2), 4)
    0.1111
    """
    p = fineness
    share = 1 - 3 / (p + 1) + 3 / (2 * p + 1) - 1 / (3 * p + 1)
    return beam_m**3 * length_m / 12 * share


def buoyancy_height_m(*, draft_m: Real, fullness: Real) -> Real:
    """Height of the centre of buoyancy above the keel (KB).
    Source: ``T (q + 3) / (2 (q + 2))``; 5 T / 8 for the Wigley hull.

    >>> buoyancy_height_m(draft_m=0.16, fullness=2)
    0.1
    """
    return draft_m * (fullness + 3) / (2 * (fullness + 2))


def wetted_surface_m2(
    *, length_m: Real, beam_m: Real, draft_m: Real, fineness: Real, fullness: Real
) -> Real:
    """Area of hull below the waterline.
    Gauss quadrature over the centre plane; the curvature of wave and trim is left out.
    Source: ``2 * integral sqrt(1 + y_x**2 + y_z**2) dx dz`` over both sides.

    >>> f"{wetted_surface_m2(length_m=1, beam_m=0.1, draft_m=0.0625, fineness=2, fullness=2):.5f}"
    '0.14879'
    """
    length, beam, draft, p, q = (
        np.asarray(v, dtype=np.float64)[..., None, None]
        for v in (length_m, beam_m, draft_m, fineness, fullness)
    )
    nodes, weights = _gauss()
    share = (nodes + 1) / 2
    x, z = share[:, None], share
    slope_x = beam / length * p * x ** (p - 1) * (1 - z**q)
    slope_z = beam / (2 * draft) * q * z ** (q - 1) * (1 - x**p)
    skin = np.sqrt(1 + slope_x**2 + slope_z**2)
    mean = np.einsum("...ij,i,j->...", skin, weights / 2, weights / 2)
    area: Real = (2 * length * draft)[..., 0, 0] * mean
    return area


def friction_coefficient(*, reynolds: Real) -> Real:
    """Skin friction of a smooth plate in turbulent flow, by the ITTC-1957 line.
    Below a Reynolds number of 1e5, where the line no longer holds, its value there is used.
    Source: ITTC 1957 model-ship correlation line, ``0.075 / (log10(Re) - 2)**2``.

    >>> f"{friction_coefficient(reynolds=1e6):.7f}"
    '0.0046875'
    """
    coefficient: Real = 0.075 / (np.log10(np.maximum(reynolds, LEAST_REYNOLDS)) - 2) ** 2
    return coefficient


def friction_n(
    *,
    speed_m_s: Real,
    length_m: Real,
    wetted_surface_m2: Real,
    density_kg_m3: Real,
    viscosity_m2_s: Real,
    form_factor: Real = FORM_FACTOR,
) -> Real:
    """Viscous resistance of the hull: plate friction and its form drag.
    For a smooth hull in turbulent flow; roughness and fittings belong to the drag factor.
    ``viscosity_m2_s``: kinematic. ``form_factor``: form drag over plate friction [-], 0.15 from
    memory.
    Source: ITTC 7.5-02-02-01: ``0.5 rho S V**2 C_f (1 + k)``.

    >>> r = friction_n(speed_m_s=1.5, length_m=4.5, wetted_surface_m2=2.2,
    ...                density_kg_m3=999.1, viscosity_m2_s=1.1386e-6)
    >>> f"{r:.2f}"
    '9.36'
    """
    coefficient = friction_coefficient(reynolds=speed_m_s * length_m / viscosity_m2_s)
    pressure = 0.5 * density_kg_m3 * speed_m_s**2
    return pressure * wetted_surface_m2 * coefficient * (1 + form_factor)


def air_resistance_n(*, ground_speed_m_s: Real, headwind_m_s: Real, drag_area_m2: Real) -> Real:
    """Resistance of craft and people to the wind they meet.
    A following wind faster than the craft is not credited. Side wind is left out.
    ``headwind_m_s``: over ground, negative from astern. ``drag_area_m2``: drag coefficient times
    frontal area.
    Source: Drag areas: doi 10.1007/s12283-021-00345-2 (cyclist 0.473 m2; upright rower's frontal
    area 0.51 m2).

    >>> float(air_resistance_n(ground_speed_m_s=1.5, headwind_m_s=2.5, drag_area_m2=0.5))
    4.9
    """
    met: Real = np.maximum(0.0, ground_speed_m_s + headwind_m_s)
    return 0.5 * AIR_DENSITY_KG_M3 * drag_area_m2 * met**2


@cache
def _gauss() -> tuple[Floats, Floats]:
    """Forty Gauss nodes and weights on -1..1."""
    nodes, weights = np.polynomial.legendre.leggauss(40)
    return nodes, weights
