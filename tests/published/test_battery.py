"""Peukert's law against what is commonly printed of it."""

import pytest

from keelwatt.physics.battery import PEUKERT, hours_to_empty


@pytest.mark.parametrize(
    ("chemistry", "least", "most"),
    [("flooded", 1.2, 1.6), ("gel", 1.1, 1.25), ("agm", 1.05, 1.15), ("lfp", 1.0, 1.05)],
)
def test_exponents_within_the_ranges_commonly_printed(
    chemistry: str, least: float, most: float
) -> None:
    """In the same words in many places, their origin unnamed; lfp from memory."""
    assert least < PEUKERT[chemistry] < most


def test_a_battery_of_the_textbooks() -> None:
    """100 Ah at 20 h, exponent 1.2, 10 A: 8.7 h (from memory)."""
    hours = hours_to_empty(current_a=10.0, capacity_ah=100.0, rated_h=20.0, peukert=1.2)
    assert f"{hours:.1f}" == "8.7"
