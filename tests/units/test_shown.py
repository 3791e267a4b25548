"""Quantities as the reader writes them."""

from collections import Counter

import pytest

from keelwatt.units import cable_area_mm2, quantity, shown
from keelwatt.units.quantities import Kind
from keelwatt.units.shown import METRIC, US, Units

LENGTHS = {("length", "ft"): 3, ("length", "in"): 2, ("length", "m"): 1}
MASSES = {("mass", "lb"): 2, ("mass", "kg"): 1}


@pytest.mark.parametrize(
    ("typed", "units"),
    [
        ({}, METRIC),
        ({("length", "cm"): 3, ("mass", "kg"): 1}, METRIC),
        ({**LENGTHS, **MASSES, ("speed", "mph"): 1}, US),
        (LENGTHS | MASSES, US),
        ({("temperature", "degF"): 1}, Units(temperature="degF")),
        (
            {**LENGTHS, ("mass", "kg"): 1, ("speed", "kn"): 2, ("speed", "km/h"): 1},
            Units(length="ft", speed="kn"),
        ),
        ({("mass", "kg"): 1, ("mass", "lb"): 1}, METRIC),
        (
            {**LENGTHS, **MASSES, ("temperature", "degC"): 1},
            Units("ft", "lb", "mph", "lb", moment="lbf ft"),
        ),
        ({("moment", "lbf ft"): 1}, Units(moment="lbf ft")),
    ],
)
def test_each_kind_is_shown_as_it_was_mostly_typed(
    typed: dict[tuple[Kind, str], int], units: Units
) -> None:
    assert Units.typed(Counter(typed)) == units


@pytest.mark.parametrize("units", [METRIC, US, Units(speed="kn"), Units(speed="m/s")])
@pytest.mark.parametrize("size", [0.1, 0.9, 1.0, 4.57, 13.6, 27.2])
def test_what_is_written_reads_back_as_the_same(units: Units, size: float) -> None:
    with shown.written_in(units):
        assert quantity(shown.speed(size), "speed") == pytest.approx(size, abs=0.03)
        assert quantity(shown.mass(1000 * size), "mass") == pytest.approx(size, abs=0.06)
        assert quantity(shown.run(size), "length") == pytest.approx(size, abs=0.006)
        assert quantity(shown.small(size), "length") == pytest.approx(size, abs=0.006)
        assert quantity(shown.end(size), "length") == pytest.approx(size, abs=0.002)
        assert quantity(shown.force(10 * size), "force") == pytest.approx(10 * size, abs=0.6)
        read = quantity(shown.temperature(size, places=1), "temperature")
        assert read == pytest.approx(size, abs=0.06)


@pytest.mark.parametrize(
    ("system", "mass", "otherwise"),
    [
        ("us", "2.2 lb", US),
        ("metric", "1.0 kg", METRIC),
        ("mixed", "2.2 lb", METRIC),
        (None, "2.2 lb", METRIC),
    ],
)
def test_what_is_asked_for_goes_before_what_was_typed(
    system: str | None, mass: str, otherwise: Units
) -> None:
    with shown.asked(system), shown.written_in(US):
        assert shown.mass(1000) == mass
        assert shown.chosen(METRIC) == otherwise
    assert shown.now() == METRIC


@pytest.mark.parametrize("size", ["16 AWG", "10 AWG", "1 AWG", "1/0 AWG", "4/0 AWG"])
def test_gauges_come_back(size: str) -> None:
    area_mm2 = cable_area_mm2(size)
    assert shown.gauge(area_mm2) == size
    assert shown.wire(size, area_mm2) == f"{size} ({area_mm2:.1f} mm2)"
    assert shown.wire("16 mm2", 16.0) == "16 mm2 (5 AWG)"
