"""A pulse-width control (chopper): its power from the bank, and the heat of a closed box."""

from keelwatt.physics.real import Real

BOX_W_M2_K = 5.5
"""Heat a closed control box gives off (from memory)."""

MOST_CONTROL_C = 65.0
"""Warmest a control may stand where a catalog is silent (from memory)."""


SMALL_BOX_M = 0.20, 0.15, 0.08
"""Length, width and height of a common control box (from memory)."""


def box_area_m2(*, length_m: Real, width_m: Real, height_m: Real) -> Real:
    """Outer area of a box: common practice.

    >>> f"{box_area_m2(length_m=0.20, width_m=0.15, height_m=0.08):.3f}"
    '0.116'
    """
    return 2 * (length_m * width_m + width_m * height_m + height_m * length_m)


def box_rise_k(*, power_w: Real, efficiency: Real, area_m2: Real) -> Real:
    """Temperature of a chopper's closed box above the air: ``P (1 - efficiency) / (5.5 A)``.
    Steady heat through still air, 5.5 W/(m2 K) from memory; ``power_w`` is drawn from the bank.

    >>> f"{box_rise_k(power_w=200.0, efficiency=0.95, area_m2=0.09):.1f}"
    '20.2'
    """
    return power_w * (1 - efficiency) / (BOX_W_M2_K * area_m2)
