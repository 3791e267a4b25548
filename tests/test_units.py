"""Units: every factor against pint, every trap refused with a remedy, and round trips."""

import math
from collections.abc import Callable
from functools import partial
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
    cable_area_mm2,
    currency_signs,
    kind_of,
    money_cents,
    number,
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
        ("6h30min", "duration", 6.5),
        ("90 min", "duration", 1.5),
        ("1 h 90 s", "duration", 1.025),
        ("12 ft 6 in", "length", 3.81),
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
        ("1e308 km", "length", "too large"),
        ("3", "speed", "has no unit.*3 mph"),
        ("0", "temperature", "has no unit.*degC"),
        ("3 kg", "speed", '"kg" is a mass, not a speed.*3 mph'),
        ("5 kN", "speed", '"kN" is a force, not a speed'),
        ("30 A", "mass", "is a current, not a mass"),
        ("100 Wh", "capacity", "an energy, not a capacity.*divide the watt-hours"),
        ("3 knotz", "speed", 'not a unit known here.*did you mean "knot"'),
        ("3 furlongs", "length", "not a unit known here.*12 ft 6 in"),
        ("5 M", "length", '"M" is not a unit'),
        ("5 MW", "power", '"MW" is not a unit'),
        ("6:30", "duration", "more than one number.*6 h 30 min"),
        ("6 h 30", "duration", "more than one number.*6 h 30 min"),
        ("5-6 mph", "speed", "more than one number"),
        ("3 mph 2 kn", "speed", "more than one number"),
        ("12 ft 6 1/2 in", "length", "more than one number"),
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
    ("text", "decimal_comma", "value"),
    [
        ("12", False, 12),
        ("+12.5", False, 12.5),
        ("12.", False, 12),
        ("4,5", False, 4.5),
        ("0,125", False, 0.125),
        ("12,3456", False, 12.3456),
        ("1.250", False, 1.25),
        ("1,250", True, 1.25),
        ("1,299.00", False, 1299),
        ("1.299,00", False, 1299),
        ("1,250,000", False, 1250000),
        ("1.250.000", True, 1250000),
        ("12 500", False, 12500),
        ("12'500.5", False, 12500.5),
        ("1E+03", False, 1000),
    ],
)
def test_a_number_is_read(text: str, decimal_comma: bool, value: float) -> None:
    assert number(text, decimal_comma=decimal_comma) == value


@pytest.mark.parametrize(
    ("text", "decimal_comma", "says"),
    [
        ("", False, "is empty"),
        ("1,250", False, "1250 if thousands are meant, or 1.25 if not"),
        ("1.250", True, "1250 if thousands are meant, or 1,25 if not"),
        ("1,000", False, "1000 if thousands are meant, or 1.0 if not"),
        ("NaN", False, "not a number"),
        ("-inf", False, "not a number"),
        ("None", False, "not a number"),
        ("NA", False, "not a number"),
        ("#N/A", False, "not a number"),
        ("1_000", False, "without the underscore: 1000"),
        ("0x10", False, "not a number"),
        ("1.2.3", False, "not a number"),
        ("1,2,3", False, "not a number"),
        ("12 5", False, "not a number"),
        ("1e400", False, "too large"),
        ("twelve", False, "not a number"),
        ("12 kg", False, "digits"),
    ],
)
def test_what_is_no_number_is_refused(text: str, decimal_comma: bool, says: str) -> None:
    with pytest.raises(UnitError, match=says) as caught:
        number(text, decimal_comma=decimal_comma)
    assert caught.value.remedy


@pytest.mark.parametrize(
    ("text", "decimal_comma", "cents"),
    [
        ("98", False, 9800),
        ("98.00", False, 9800),
        ("$1,299.00", False, 129900),
        ("1.299,00 €", False, 129900),
        ("1.299 €", True, 129900),
        ("$1,299", False, 129900),
        ("US$ 12", False, 1200),
        ("USD 1 299", False, 129900),
        ("1 299,50 zł", False, 129950),
        ("12,5", False, 1250),
        ("19.99", False, 1999),
        ("0.125", False, 12.5),
    ],
)
def test_money_is_read_in_cents(text: str, decimal_comma: bool, cents: float) -> None:
    assert money_cents(text, decimal_comma=decimal_comma) == cents


def test_currency_signs_are_found() -> None:
    assert currency_signs("$1,299.00") == ("$",)
    assert currency_signs("12 EUR") == ("EUR",)
    assert currency_signs("12") == ()


@pytest.mark.parametrize("text", ["", "$", "free", "nan", "1e307", "12 $ or so"])
def test_what_is_no_money_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        money_cents(text)


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


# ASTM B258 nominal diameters, mils: 4/0 460.0, 1/0 324.9, 2 257.6, 6 162.0, 10 101.9, 18 40.3.
@pytest.mark.parametrize(
    ("text", "mils"),
    [
        ("4/0 AWG", "460.0"),
        ("0000", "460.0"),
        ("1/0", "324.9"),
        ("0 AWG", "324.9"),
        ("2 AWG", "257.6"),
        ("6 AWG", "162.0"),
        ("6AWG", "162.0"),
        ("AWG 6", "162.0"),
        ("#6", "162.0"),
        ("6 awg", "162.0"),
        ("10 AWG", "101.9"),
        ("18 AWG", "40.3"),
    ],
)
def test_a_gauge_has_its_published_diameter(text: str, mils: str) -> None:
    diameter_mm = math.sqrt(4 * cable_area_mm2(text) / math.pi)
    assert f"{diameter_mm / 0.0254:.1f}" == mils


@pytest.mark.parametrize("text", ["16 mm2", "16 mm²", "16mm^2", "16 sq mm", "16,0 mm2", "16 MM2"])
def test_a_metric_size_is_its_area(text: str) -> None:
    assert cable_area_mm2(text) == 16


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is empty.*6 AWG"),
        ("6", "6 AWG.*6 mm2"),
        ("36526", "no unit"),
        ("01-Jan", "date.*as text"),
        ("1-Jan", "date.*as text"),
        ("Jan-00", "date.*as text"),
        ("January 2000", "date.*as text"),
        ("1-Jan-2000", "date.*as text"),
        ("2000-01-01", "date.*as text"),
        ("2000-01-01 00:00:00", "date.*as text"),
        ("1/1/2000", "date.*as text"),
        ("01.01.2000", "date.*as text"),
        ("01/00", "date.*as text"),
        ("0 mm2", "no copper"),
        ("41 AWG", "not a gauge that is made"),
        ("5/0", "not a cable size"),
        ("thick", "not a cable size.*6 AWG"),
        ("-6 AWG", "not a cable size"),
    ],
)
def test_what_is_no_size_is_refused(text: str, says: str) -> None:
    with pytest.raises(UnitError, match=says) as caught:
        cable_area_mm2(text)
    assert caught.value.remedy


@given(
    value=st.floats(min_value=-1e6, max_value=1e6).filter(lambda value: abs(value) > 1e-6),
    case=st.sampled_from(FACTOR_CASES),
)
def test_a_value_comes_back_from_its_text(value: float, case: tuple[Kind, str]) -> None:
    kind, unit = case
    assert quantity(f"{value!r} {unit}", kind) == to_si(value, unit, kind)


@given(first=st.integers(0, 40), second=st.integers(0, 11), unit=st.sampled_from([("ft", "in")]))
def test_feet_and_inches_add_up(first: int, second: int, unit: tuple[str, str]) -> None:
    whole = quantity(f"{first} {unit[0]} {second} {unit[1]}", "length")
    assert whole == pytest.approx((12 * first + second) * 0.0254, rel=1e-12)


TEXT = st.one_of(
    st.text(),
    st.text(alphabet="0123456789.,-+eE_'\" %/²°hmkgftinAWlb€$[]JanFeb:"),
    st.builds("{} {}".format, st.floats(), st.sampled_from([unit for _, unit in FACTOR_CASES])),
)


READERS: dict[str, Callable[[str], float]] = {
    "number": number,
    "decimal comma": partial(number, decimal_comma=True),
    "money": money_cents,
    "size": cable_area_mm2,
    **{f"quantity of {kind}": partial(quantity, kind=kind) for kind in KINDS},
    **{f"unit of {kind}": partial(to_si, 1.0, kind=kind) for kind in KINDS},
}


@given(text=TEXT, reader=st.sampled_from(sorted(READERS)))
def test_any_text_is_read_or_refused_in_words(text: str, reader: str) -> None:
    try:
        assert math.isfinite(READERS[reader](text))
    except UnitError as error:
        assert error.what
        assert error.remedy


@given(TEXT)
def test_any_header_is_split(text: str) -> None:
    name, unit = split_header(text)
    assert name == name.lower()
    assert unit is None or unit == unit.strip()
