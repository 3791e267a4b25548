"""Cable sold by square millimetres, the motor's own lead, contacts, and the way a cable takes."""

from collections.abc import Sequence
from functools import cache

import numpy as np

from keelwatt.physics import cable
from keelwatt.physics.real import Real

CLASS_5_OHM_KM = {
    0.5: (39.0, 40.1), 0.75: (26.0, 26.7), 1.0: (19.5, 20.0), 1.5: (13.3, 13.7),
    2.5: (7.98, 8.21), 4.0: (4.95, 5.09), 6.0: (3.30, 3.39), 10.0: (1.91, 1.95),
    16.0: (1.21, 1.24), 25.0: (0.780, 0.795), 35.0: (0.554, 0.565), 50.0: (0.386, 0.393),
    70.0: (0.272, 0.277), 95.0: (0.206, 0.210), 120.0: (0.161, 0.164), 150.0: (0.129, 0.132),
    185.0: (0.106, 0.108), 240.0: (0.0801, 0.0817),
}  # fmt: skip
"""IEC 60228, Table 3: largest resistance of flexible (class 5) conductors at 20 degC by area [mm2],
plain and tinned copper [ohm/km]."""

OTHER_AREAS = 1.10
"""Resistance of an area the standard does not list, over that of solid copper (from memory)."""

CONTACTS_OHM = 0.003
"""A fuse, a plug and their lugs together (from memory)."""

PLUG_OHM = 0.001
"""Each further plug, both poles and their crimps (from memory)."""

LEAD_M = 1.0
"""The motor's own lead where a catalog is silent (from memory)."""

_AREAS = np.array(list(CLASS_5_OHM_KM))
_OHM_M = np.array(list(CLASS_5_OHM_KM.values())).T / 1000
_LEAD_A = np.array([row[cable.INSULATIONS_C.index(75)] for row in cable.AMPACITY_A.values()])


def copper_factor(*, temperature_c: Real) -> Real:
    """Resistance of copper at a temperature over that at 20 degC (IEC 60028).

    >>> f"{copper_factor(temperature_c=30.0):.4f}"
    '1.0393'
    """
    return 1 + cable.COPPER_PER_K * (temperature_c - 20)


def metric_resistance_ohm_m(
    *, area_mm2: Real, tinned: bool = False, temperature_c: Real = 30.0
) -> Real:
    """Largest resistance of one metre of one flexible conductor sold by its area in mm2.
    An area the standard lists by its table; another by solid copper and 10 % more, and never less
    than the next larger listed one.
    ``area_mm2``: nominal. ``tinned``: of copper tinned against corrosion.
    Source: IEC 60228, Table 3 (class 5); IEC 60028.

    >>> f"{1000 * metric_resistance_ohm_m(area_mm2=4.0, temperature_c=20.0):.2f} milliohm"
    '4.95 milliohm'
    """
    area = np.asarray(area_mm2, dtype=np.float64)
    table = _OHM_M[int(tinned)]
    place = np.searchsorted(_AREAS, area * (1 - 1e-9))
    larger = np.append(table, 0.0)[place]
    listed = np.isclose(np.append(_AREAS, np.inf)[place], area, rtol=1e-9, atol=0.0)
    other = np.maximum(OTHER_AREAS * cable.COPPER_OHM_MM2_M / area, larger)
    resistance: Real = np.where(listed, larger, other) * copper_factor(temperature_c=temperature_c)
    return resistance[()] if isinstance(resistance, np.ndarray) else resistance


@cache
def conductor_ohm_m(*, area_mm2: float, by_area: bool, tinned: bool = False) -> float:
    """Resistance of one metre of one conductor at 30 degC, sold by its area or by its gauge.
    ``by_area``: bool, sold in mm2: the standard's largest resistance, else copper's. ``tinned``:
    bool, of a conductor sold by its area.
    Source: :func:`metric_resistance_ohm_m`, :func:`keelwatt.physics.cable.resistance_ohm_m`.

    >>> f"{1000 * conductor_ohm_m(area_mm2=4.0, by_area=True):.2f} milliohm"
    '5.14 milliohm'
    """
    if by_area:
        return float(metric_resistance_ohm_m(area_mm2=area_mm2, tinned=tinned))
    return float(cable.resistance_ohm_m(area_mm2=area_mm2))


def lead_area_mm2(*, max_current_a: Real) -> Real:
    """Area of a motor's own lead where a catalog is silent: the smallest AWG that carries it.
    Above what 4/0 carries, several side by side.
    Source: From memory; 33 CFR 183.425, Table 5, the column of 75 degC.

    >>> f"{lead_area_mm2(max_current_a=30.0):.2f}"  # 10 AWG
    '5.26'
    """
    size = np.searchsorted(_LEAD_A, np.asarray(max_current_a))
    several = cable.TABLE_MM2[-1] * np.maximum(1.0, np.asarray(max_current_a) / _LEAD_A[-1])
    area: Real = np.where(
        size < cable.TABLE_MM2.size,
        cable.TABLE_MM2[np.minimum(size, cable.TABLE_MM2.size - 1)],
        several,
    )[()]
    return area


def circuit_resistance_ohm(
    *,
    run_m: Real,
    cable_ohm_m: Real,
    lead_m: Real = LEAD_M,
    lead_ohm_m: Real = 0.0,
    contacts_ohm: Real = CONTACTS_OHM,
) -> Real:
    """Resistance between a bank and its motor: both conductors, the motor's lead and contacts.
    ``run_m``: one way. ``cable_ohm_m``: of one conductor. ``lead_m``: one way [m], 1 m from memory.
    ``lead_ohm_m``: of one conductor of the motor's own lead. ``contacts_ohm``: fuse, plug and lugs
    [ohm], 3 milliohm from memory.
    Source: Ohm's law.

    >>> f"{circuit_resistance_ohm(run_m=1.4, cable_ohm_m=0.005, lead_ohm_m=0.003):.3f}"
    '0.023'
    """
    return 2 * (run_m * cable_ohm_m + lead_m * lead_ohm_m) + contacts_ohm


def contacts_ohm(*, plugs: int) -> float:
    """Of a fuse, so many plugs one after the other and their lugs [ohm], from memory.

    >>> contacts_ohm(plugs=2)
    0.004
    """
    return CONTACTS_OHM + (plugs - 1) * PLUG_OHM


def cable_run_m(*, points: Sequence[tuple[float, float, float]], allowance_m: float = 0.0) -> float:
    """Length of a cable from point to point: along, across and up each section, plus an allowance.
    ``points``: sequence of (x, y, z), compartment, control where one stands, mount [m].
    ``allowance_m``: for bends and ends.
    Source: Common practice: a cable follows the hull, not the straight line.

    >>> cable_run_m(points=[(1.0, 0.0, 0.25), (0.0, 0.5, 0.25), (-2.0, 0.0, 0.5)])
    4.25
    """
    sections = np.abs(np.diff(np.asarray(points, dtype=np.float64), axis=0))
    return float(sections.sum()) + allowance_m
