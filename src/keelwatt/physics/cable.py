"""Copper cable: size, resistance, voltage drop, ampacity."""

import numpy as np

from keelwatt.physics.real import Real

COPPER_OHM_MM2_M = 1 / 58
"""Resistivity of annealed copper at 20 degC (IEC 60028)."""

COPPER_PER_K = 0.00393
"""Its rise with temperature (IEC 60028)."""

INSULATIONS_C = (60, 75, 80, 90, 105, 125, 200)

AMPACITY_A = {
    18: (10, 10, 15, 20, 20, 25, 25),
    16: (15, 15, 20, 25, 25, 30, 35),
    14: (20, 20, 25, 30, 35, 40, 45),
    12: (25, 25, 35, 40, 45, 50, 55),
    10: (40, 40, 50, 55, 60, 70, 70),
    8: (55, 65, 70, 70, 80, 90, 100),
    6: (80, 95, 100, 100, 120, 125, 135),
    4: (105, 125, 130, 135, 160, 170, 180),
    3: (120, 145, 150, 155, 180, 195, 210),
    2: (140, 170, 175, 180, 210, 225, 240),
    1: (165, 195, 210, 210, 245, 265, 280),
    0: (195, 230, 245, 245, 285, 305, 325),
    -1: (225, 265, 285, 285, 330, 355, 370),
    -2: (260, 310, 330, 330, 385, 410, 430),
    -3: (300, 360, 385, 385, 445, 475, 510),
}
"""33 CFR 183.425, Table 5 (copper, 30 degC) [A]: AWG number (0 is 1/0, -3 is 4/0) by insulation.

The table binds by law only for inboard petrol boats; here it is good practice."""


def awg_area_mm2(*, gauge: Real) -> Real:
    """Cross-section of a conductor by its American wire gauge number.
    ``gauge``: AWG number; 0 for 1/0, -1 for 2/0, -3 for 4/0.
    Source: ASTM B258: diameter ``0.127 mm * 92**((36 - n) / 39)``.

    >>> f"{awg_area_mm2(gauge=10):.3f}"
    '5.261'
    """
    diameter_mm: Real = 0.127 * np.power(92.0, (36 - np.asarray(gauge)) / 39)
    return np.pi / 4 * diameter_mm**2


_TABLE_A = np.array([(0,) * len(INSULATIONS_C), *AMPACITY_A.values()], dtype=np.float64)
TABLE_MM2 = np.asarray(awg_area_mm2(gauge=np.array(list(AMPACITY_A), dtype=np.float64)))


def resistance_ohm_m(*, area_mm2: Real, temperature_c: Real = 30.0) -> Real:
    """Resistance of one metre of one copper conductor.
    Direct current; stranding, tinning and joints are left out.
    Source: IEC 60028.

    >>> f"{1000 * resistance_ohm_m(area_mm2=10.0, temperature_c=20.0):.3f} milliohm"
    '1.724 milliohm'
    """
    return COPPER_OHM_MM2_M / area_mm2 * (1 + COPPER_PER_K * (temperature_c - 20))


def supply_current_a(*, power_w: Real, supply_voltage_v: Real, resistance_ohm: Real) -> Real:
    """Current a load that holds its power draws through a cable.
    ``power_w``: at the load. ``supply_voltage_v``: at the source, under load. ``resistance_ohm``:
    of both conductors. Above ``V**2 / (4 R)``, the most that any current brings through that cable,
    a current that brings less than asked.
    Source: The smaller root of ``(V - I R) I = P``.

    >>> current = supply_current_a(power_w=110.0, supply_voltage_v=12.0, resistance_ohm=0.1)
    >>> f"{current:.6f}"
    '10.000000'
    """
    root = np.sqrt(np.maximum(0.0, supply_voltage_v**2 - 4 * resistance_ohm * power_w))
    current: Real = 2 * power_w / (supply_voltage_v + root)
    return current


def ampacity_a(*, area_mm2: Real, insulation_c: Real, place_temperature_c: Real = 30.0) -> Real:
    """Current a single copper conductor may carry.
    A cable between two gauges counts as the smaller, an insulation between two columns as the
    lower; above 4/0 and above 200 degC nothing more is credited, nor is a place below 30 degC.
    0 for a cable below 18 AWG, an insulation below 60 degC, or a place as warm as the column.
    Bundling is left out.
    ``insulation_c``: temperature rating. ``place_temperature_c``: air round the cable.
    Source: 33 CFR 183.425, Table 5 (copper, 30 degC). Warm places: ``sqrt((T_r - T_a) / (T_r -
    30))``.

    >>> float(ampacity_a(area_mm2=10.0, insulation_c=105))
    80.0
    """
    size = np.searchsorted(TABLE_MM2, np.asarray(area_mm2) * (1 + 1e-6), side="right")
    column = np.searchsorted(INSULATIONS_C, np.asarray(insulation_c), side="right") - 1
    rated_c = np.asarray(INSULATIONS_C)[np.maximum(column, 0)]
    warmth = np.clip((rated_c - np.asarray(place_temperature_c)) / (rated_c - 30.0), 0.0, 1.0)
    table = _TABLE_A[size, np.maximum(column, 0)]
    ampacity: Real = np.where(column >= 0, table * np.sqrt(warmth), 0.0)[()]
    return ampacity
