"""Numbers as people and spreadsheets write them; text becomes a float here or is refused."""

import difflib
import math
import re
from collections.abc import Iterable

_NUMERAL = re.compile(
    r"(?P<sign>[+-]?)(?P<digits>[0-9., ']*[0-9][0-9., ']*)(?P<exp>[eE][+-]?[0-9]+)?"
)
_SIMPLE = re.compile(r"[0-9]{1,12}(?:\.[0-9]{1,12})?")
"""What most cells hold; read as it stands where a point is the decimal mark."""

_ONE_MARK = re.compile(r"(?P<whole>[0-9]*)(?P<mark>[.,]?)(?P<fraction>[0-9]*)")
_GROUPED = re.compile(
    r"(?P<whole>[0-9]{1,3}(?P<group>[., '])[0-9]{3}(?:(?P=group)[0-9]{3})*)"
    r"(?:(?!(?P=group))[.,](?P<fraction>[0-9]*))?"
)
_CURRENCY = re.compile(r"(?:[A-Z]{0,3}[$€£¥₹₩₺]|[A-Z]{3}|kr\.?|zł|Kč)")
_SPACES = dict.fromkeys(map(ord, "\u00a0\u2007\u2009\u202f"), " ") | {0x2212: "-"}
_NO_VALUE = {"nan", "na", "n/a", "none", "null", "inf", "infinity", "#n/a", "-", "?"}


MOST_CENTS = 1e12
"""No amount of money is larger, in any currency."""


class UnitError(ValueError):
    """Text that cannot be read as the number or quantity wanted: what is wrong, and what to do."""

    def __init__(self, what: str, remedy: str) -> None:
        self.what = what
        self.remedy = remedy
        super().__init__(f"{what}; {remedy}")


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """The beginning of a remedy, 'did you mean "speed"? ', or nothing."""
    near = difflib.get_close_matches(word.lower(), known, n=1)
    return f'did you mean "{near[0]}"? ' if near else ""


def clean(text: str) -> str:
    """The text with plain spaces and minus signs and nothing round it."""
    return text.translate(_SPACES).strip()


def number(text: str, *, decimal_comma: bool = False) -> float:
    """The finite number written in ``text``.
    Groups of three are understood where they cannot be mistaken; ``1,250`` can (``1.250`` where
    the comma is the decimal mark), so it is refused with both readings.

    >>> number("1,299.00"), number("4,5"), number("12 500")
    (1299.0, 4.5, 12500.0)
    """
    if not decimal_comma and _SIMPLE.fullmatch(text):
        return float(text)
    written = clean(text)
    if not written:
        raise UnitError("is empty", "write a number")
    if written.lower().lstrip("+-") in _NO_VALUE:
        raise UnitError("is not a number", "write the number itself")
    match = _NUMERAL.fullmatch(written)
    if match is None:
        raise UnitError("is not a number", _hint(written))
    plain = _plain_digits(match["digits"], decimal_comma)
    value = float(f"{match['sign']}{plain}{match['exp'] or ''}")
    if not math.isfinite(value):
        raise UnitError("is too large", "write a number of everyday size")
    return value


def _hint(written: str) -> str:
    if re.fullmatch(r"[+-]?[0-9_.]+", written) and "_" in written:
        return f"write it without the underscore: {written.replace('_', '')}"
    if re.search("[0-9]", written):
        return "write digits and a decimal point, such as 12.5"
    return "write a number, such as 12.5"


def _plain_digits(digits: str, decimal_comma: bool) -> str:
    foreign = "." if decimal_comma else ","
    if one := _ONE_MARK.fullmatch(digits):
        whole, fraction = one["whole"], one["fraction"]
        if one["mark"] == foreign and _could_be_thousands(whole, fraction):
            raise UnitError(
                "can be read in two ways",
                f"write {whole}{fraction} if thousands are meant, "
                f"or {whole}{',' if decimal_comma else '.'}{fraction.rstrip('0') or '0'} if not",
            )
        return f"{whole or '0'}.{fraction or '0'}"
    if grouped := _GROUPED.fullmatch(digits):
        return f"{re.sub('[^0-9]', '', grouped['whole'])}.{grouped['fraction'] or '0'}"
    raise UnitError("is not a number", "write digits and a decimal point, such as 1250.5")


def _could_be_thousands(whole: str, fraction: str) -> bool:
    return 1 <= len(whole) <= 3 and len(fraction) == 3 and not whole.startswith("0")


def currency_signs(text: str) -> tuple[str, ...]:
    return () if _SIMPLE.fullmatch(text) else tuple(_CURRENCY.findall(clean(text)))


def money_cents(text: str, *, decimal_comma: bool = False) -> float:
    """The amount in cents, of which there may be a fraction (a price per metre).
    Money is not written with three decimals, so ``$1,299`` is a thousand and more.

    >>> money_cents("$1,299.00"), money_cents("1.299,00 €"), money_cents("$1,299")
    (129900.0, 129900.0, 129900.0)
    """
    amount = text
    if decimal_comma or not _SIMPLE.fullmatch(text):
        amount = clean(_CURRENCY.sub("", clean(text), count=2))
        foreign = "." if decimal_comma else ","
        one = _ONE_MARK.fullmatch(amount)
        if one and one["mark"] == foreign and _could_be_thousands(one["whole"], one["fraction"]):
            amount = one["whole"] + one["fraction"]
    cents = 100 * number(amount, decimal_comma=decimal_comma)
    if abs(cents) > MOST_CENTS:
        most = f"{MOST_CENTS / 100:,.0f}"
        raise UnitError(f"is beyond {most}", f"write {most} at the most")
    return float(round(cents, 6))
