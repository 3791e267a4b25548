"""Quantities: every factor against pint, every trap refused with a remedy, and round trips."""

import math
import re
from typing import Any, get_args

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.units import (
    EXAMPLES,
    FACTORS,
    Kind,
    UnitError,
    kind_of,
    quantity,
    split_header,
    to_si,
)

KINDS: tuple[Kind, ...] = get_args(Kind)
PINT_BASE = {
    "length": "m",
    "mass": "kg",
    "speed": "m/s",
    "duration": "hour",
    "force": "N",
    "power": "W",
    "energy": "Wh",
    "current": "A",
    "voltage": "V",
    "capacity": "Ah",
    "angle": "rad",
    "temperature": "degC",
    "area": "m**2",
    "mass_per_length": "kg/m",
    "moment": "N*m",
    "share": "",
    "years": "year",
}
PINT_NAME = {
    "in": "inch",
    "nmi": "nautical_mile",
    "st": "stone",
    "t": "metric_ton",
    "kn": "knot",
    "d": "day",
    "min": "minute",
    "h": "hour",
    "kgf": "kilogram_force",
    "N m": "N*m",
    "lbf ft": "lbf*ft",
    "kgf m": "kilogram_force*m",
    "hp": "horsepower",
    "m2": "m**2",
    "cm2": "cm**2",
    "mm2": "mm**2",
    "ft2": "ft**2",
    "in2": "inch**2",
    "m/min": "m/minute",
    "years": "year",
    "months": "month",
    "%": "percent",
    "": "dimensionless",
}
FACTOR_CASES = [(kind, unit) for kind, units in FACTORS.items() for unit in units]


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[Any]:
    return pint.UnitRegistry()


@pytest.mark.parametrize(("kind", "unit"), FACTOR_CASES)
def test_every_factor_is_pints(registry: pint.UnitRegistry[Any], kind: Kind, unit: str) -> None:
    name = PINT_NAME.get(unit, unit)
    if kind == "force" and unit == "lb":
        name = "lbf"
    for value in (1.0, 37.5):
        theirs = registry.Quantity(value, name).to(PINT_BASE[kind] or "dimensionless").magnitude
        assert to_si(value, unit, kind) == pytest.approx(float(theirs), rel=1e-12)


def test_every_kind_has_factors_and_examples_that_can_be_read() -> None:
    assert set(FACTORS) == set(EXAMPLES) == set(KINDS)
    for kind, examples in EXAMPLES.items():
        for example in examples.split(" or "):
            assert math.isfinite(quantity(example.strip('"'), kind))


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("3 mph", "speed", 1.34112),
        ("22 lb", "mass", 9.97903214),
        ("22 lbs", "mass", 9.97903214),
        ("11 st 4 lb", "mass", 158 * 0.45359237),
        ("6 h 30 min", "duration", 6.5),
        ("6 h 30", "duration", 6.5),
        ("12 ft 6", "length", 3.81),
        ("6h30min", "duration", 6.5),
        ("90 min", "duration", 1.5),
        ("1 h 90 s", "duration", 1.025),
        ("12 ft 6 in", "length", 3.81),
        ("12 ft 6 1/2 in", "length", 3.8227),
        ("12' 6\"", "length", 3.81),
        ("12′ 6″", "length", 3.81),
        ("12' 6''", "length", 3.81),
        ("-2 ft 6 in", "length", -0.762),
        ("−0.4 m", "length", -0.4),
        ("207 mm", "length", 0.207),
        ("1 250 mm", "length", 1.25),
        ("1 250 mm", "length", 1.25),
        ("6 NM", "length", 11112),
        (".5 m", "length", 0.5),
        ("4,5 mph", "speed", 2.01168),
        ("5 KM/H", "speed", 5 / 3.6),
        ("5 km per hour", "speed", 5 / 3.6),
        ("5 miles per hour", "speed", 2.2352),
        ("5 kn", "speed", 5 * 1852 / 3600),
        ("5 KN", "speed", 5 * 1852 / 3600),
        ("5 kN", "force", 5000),
        ("120 N·m", "moment", 120),
        ("120Nm", "moment", 120),
        ("100 ft-lb", "moment", 135.58179483314),
        ("100 lbf ft", "moment", 135.58179483314),
        ("55 lb", "force", 244.6521888393275),
        ("55 lbs thrust", "force", 244.6521888393275),
        ("500 mW", "power", 0.5),
        ("2.5e-1 kW", "power", 250),
        ("75.2 F", "temperature", 24),
        ("-5 °C", "temperature", -5),
        ("288.15 K", "temperature", 15),
        ("90 deg", "angle", math.pi / 2),
        ("1.5°", "angle", math.radians(1.5)),
        ("20 %", "share", 0.2),
        ("20%", "share", 0.2),
        ("0.2", "share", 0.2),
        ("16 mm2", "area", 16e-6),
        ("16 mm²", "area", 16e-6),
        ("16 mm^2", "area", 16e-6),
        ("5 sq ft", "area", 5 * 0.3048**2),
        ("5 square feet", "area", 5 * 0.3048**2),
        *((f"30 {word}", "current", 30) for word in ("A", "amp", "amps", "ampere", "amperes")),
        ("100 Ah", "capacity", 100),
        ("2600 mAh", "capacity", 2.6),
        ("0.13 pounds per foot", "mass_per_length", 0.13 * 0.45359237 / 0.3048),
        ("18 months", "years", 1.5),
        ("0", "length", 0),
        ("-0 m", "length", 0),
    ],
)
def test_a_quantity_is_read(text: str, kind: Kind, value: float) -> None:
    assert quantity(text, kind) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("", "speed", "is empty.*3 mph"),
        ("   ", "speed", "is empty"),
        ("fast", "speed", "does not begin with a number.*3 mph"),
        ("about 3 mph", "speed", "does not begin with a number"),
        ("nan mph", "speed", "does not begin with a number"),
        ("inf mph", "speed", "does not begin with a number"),
        ("1_000 W", "power", "without the underscore: 1000"),
        ("1,250 W", "power", "two ways.*1250 if thousands.*1.25 if not"),
        ("1e999 m", "length", "too large"),
        ("1e308 km", "length", "is beyond"),
        ("3", "speed", "has no unit.*3 mph"),
        ("0", "temperature", "has no unit.*degC"),
        ("3 kg", "speed", '"kg" is a mass, not a speed.*3 mph'),
        ("5 kN", "speed", '"kN" is a force, not a speed'),
        ("5 nm", "moment", '"nm" is a length, not a moment'),
        ("5 N m", "force", '"N m" is a moment, not a force'),
        ("30 A", "mass", "is a current, not a mass"),
        ("100 Wh", "capacity", "an energy, not a capacity.*divide the watt-hours"),
        ("3 knotz", "speed", 'not a unit known here.*did you mean "knot"'),
        ("3 furlongs", "length", "not a unit known here.*12 ft 6 in"),
        ("5 M", "length", '"M" is not a unit'),
        ("5 MW", "power", '"MW" is not a unit'),
        ("6:30", "duration", "more than one number.*6 h 30 min"),
        ("5-6 mph", "speed", "more than one number"),
        ("3 mph 2 kn", "speed", "more than one number"),
        ("30 min 6 h", "duration", "larger unit to the smaller.*6 h 30 min"),
        ("6 ft -3 in", "length", "larger unit to the smaller"),
        ("2 ft 3 ft", "length", "larger unit to the smaller"),
        ("1.2.3 m", "length", "not a number"),
        ("٣ mph", "speed", "does not begin with a number"),
    ],
)
def test_a_trap_is_refused_with_a_remedy(text: str, kind: Kind, says: str) -> None:
    with pytest.raises(UnitError, match=f"(?s){says}") as caught:
        quantity(text, kind)
    assert caught.value.what
    assert caught.value.remedy


@pytest.mark.parametrize(
    ("header", "name", "unit"),
    [
        ("mass [kg]", "mass", "kg"),
        (" Mass [lb] ", "mass", "lb"),
        ("mass (lb)", "mass", "lb"),
        ("Upright only", "upright_only", None),
        ("price-per-metre", "price_per_metre", None),
        ("mass[kg]", "mass", "kg"),
        ("mass [kg", "mass_[kg", None),
        ("", "", None),
    ],
)
def test_a_header_is_split(header: str, name: str, unit: str | None) -> None:
    assert split_header(header) == (name, unit)


def test_the_kind_of_a_unit() -> None:
    assert kind_of("lb") == "mass"
    assert kind_of("knots") == "speed"
    assert kind_of("parsec") is None


@given(
    value=st.floats(min_value=-1e6, max_value=1e6).filter(lambda value: abs(value) > 1e-6),
    case=st.sampled_from(FACTOR_CASES),
)
def test_a_value_comes_back_from_its_text(value: float, case: tuple[Kind, str]) -> None:
    kind, unit = case
    try:
        inside = to_si(value, unit, kind)
    except UnitError as error:
        with pytest.raises(UnitError, match=re.escape(error.what)):
            quantity(f"{value!r} {unit}", kind)
    else:
        assert quantity(f"{value!r} {unit}", kind) == inside


@given(first=st.integers(0, 40), second=st.integers(0, 11), unit=st.sampled_from([("ft", "in")]))
def test_feet_and_inches_add_up(first: int, second: int, unit: tuple[str, str]) -> None:
    whole = quantity(f"{first} {unit[0]} {second} {unit[1]}", "length")
    assert whole == pytest.approx((12 * first + second) * 0.0254, rel=1e-12)
