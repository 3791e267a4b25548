"""Numbers and money: read, or refused with a remedy."""

import pytest

from keelwatt.units import UnitError, currency_signs, money_cents, number


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
        ("150,000", False, "150000 if thousands are meant, or 150.0 if not"),
        ("15,000", False, "15000 if thousands are meant, or 15.0 if not"),
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
