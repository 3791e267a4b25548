"""Whole cents and grams of a kit's sums, by hand."""

import pytest

from keelwatt.files.kit import length_cents, length_g, season_units


@pytest.mark.parametrize(
    ("cents_m", "length_m", "unit_m", "cents"),
    [
        (250.0, 2.01, 1.0, 750),
        (250.0, 2.0, 1.0, 500),
        (100.0, 1.0, 0.3048, 122),  # 4 ft of 30.48 cents
        (0.0, 5.0, 1.0, 0),
    ],
)
def test_cable_costs_its_whole_metres_or_feet(
    cents_m: float, length_m: float, unit_m: float, cents: int
) -> None:
    assert length_cents(cents_m, length_m, unit_m) == cents


def test_cable_weighs_as_long_as_it_is_used() -> None:
    assert length_g(105.0, 2.01) == 211


def test_a_price_is_spread_over_a_life() -> None:
    assert season_units(1000, 4.0) == 2 * season_units(1000, 8.0) == 25_000
