"""Quantities written in a user's units read back as what they were, or to the safe side of it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.units import Kind, quantity
from keelwatt.units.writing import spelled_units, written_quantity

UNITS: list[tuple[Kind, tuple[str, ...]]] = [
    ("duration", ("h",)),
    ("duration", ("min",)),
    ("duration", ("h", "min")),
    ("duration", ("hours", "minutes", "s")),
    ("length", ("ft", "in")),
    ("length", ("m",)),
    ("length", ("nmi",)),
    ("length", ("'", '"')),
    ("mass", ("lb", "oz")),
    ("mass", ("kg",)),
    ("mass", ("g",)),
    ("speed", ("mph",)),
    ("speed", ("knots",)),
    ("angle", ("deg",)),
    ("angle", ("rad",)),
    ("share", ("%",)),
    ("power", ("hp",)),
    ("area", ("ft2",)),
    ("temperature", ("degF",)),
    ("temperature", ("degC",)),
]
measures = st.sampled_from(UNITS)
values = st.floats(1e-3, 900)


@given(measures, values)
def test_six_digits_come_back(measure: tuple[Kind, tuple[str, ...]], value: float) -> None:
    kind, units = measure
    text = written_quantity(value, kind, units)
    off = value + 300 if kind == "temperature" else value
    assert quantity(text, kind) == pytest.approx(value, abs=6e-6 * off)


@given(measures, values, st.sampled_from([1.0, 0.1, 1 / 60, 0.003]), st.integers(0, 5))
def test_steps_go_to_the_side_they_are_told(
    measure: tuple[Kind, tuple[str, ...]], value: float, step: float, further: int
) -> None:
    kind, units = measure
    slack = 1e-8 * value + 1e-8
    up = quantity(written_quantity(value, kind, units, step=step, up=True, further=further), kind)
    down = quantity(written_quantity(value, kind, units, step=step, further=further), kind)
    assert value - slack <= up <= value + (further + 1) * 2 * step + slack
    assert value + slack >= down >= value - (further + 1) * 2 * step - slack
    if further:
        assert down < value < up


@given(measures, st.floats(-900, -1e-2))
def test_signs_come_back(measure: tuple[Kind, tuple[str, ...]], value: float) -> None:
    kind, units = measure
    text = written_quantity(value, kind, units)
    assert quantity(text, kind) == pytest.approx(value, abs=6e-6 * (abs(value) + 300))


@pytest.mark.parametrize(
    ("value", "kind", "units", "text"),
    [
        (1.25, "duration", ["h"], "1.25 h"),
        (1.378, "duration", ["h"], "1 h 22.68 min"),
        (1.378, "duration", ["min"], "82.68 min"),
        (2.0, "duration", ["h", "min"], "2 h"),
        (0.5, "duration", ["h", "min"], "30 min"),
        (3.81, "length", ["ft", "in"], "12 ft 6 in"),
        (0.0, "length", ["ft", "in"], "0 in"),
        (-1.2192, "length", ["'", '"'], "-4'"),
        (0.25, "share", [], "25 %"),
        (5.0, "speed", ["m/s"], "5 m/s"),
        (6.5, "duration", [], "6 h 30 min"),
        (12345678.9, "power", ["W"], "12345700 W"),
    ],
)
def test_as_people_write(value: float, kind: Kind, units: list[str], text: str) -> None:
    assert written_quantity(value, kind, units) == text


@pytest.mark.parametrize(
    ("text", "units"),
    [
        ("6 h 30 min", ("h", "min")),
        ("12 ft 6 in", ("ft", "in")),
        ("3mph", ("mph",)),
        ("0.5 m2", ("m2",)),
        ("20%", ("%",)),
        ("0.2", ()),
    ],
)
def test_units_as_they_are_spelled(text: str, units: tuple[str, ...]) -> None:
    assert spelled_units(text) == units
