"""Amounts and shares as a user writes them on a command line."""

from collections.abc import Callable
from math import degrees

from keelwatt.errors import InputError
from keelwatt.explain.stretch import Over
from keelwatt.files.outing import Outing
from keelwatt.limits import OVERS
from keelwatt.units import UnitError, money_cents, quantity


def bound(outing: Outing, over: Over, option: str, text: str | None) -> float | None:
    """An end of a stretch, in the wish's own unit; None where it is not given.

    Raises
    ------
    InputError
        If the text is no such amount.
    """
    if over == "speed":
        return _read(option, text, lambda words: _speed(outing, words))
    kind = OVERS[over].quantity
    if kind == "money":
        return _read(option, text, lambda words: money_cents(words) / 100)
    value = _read(option, text, lambda words: quantity(words, kind))
    return degrees(value) if value is not None and kind == "angle" else value


def share(option: str, text: str | None) -> float | None:
    """A share such as "2 %"; None where it is not given.

    Raises
    ------
    InputError
        If the text is no share from 0.
    """
    return _read(option, text, _share)


def _read(option: str, text: str | None, reader: Callable[[str], float]) -> float | None:
    if text is None:
        return None
    try:
        return reader(text)
    except UnitError as error:
        raise InputError.at(option, error.what, error.remedy, value=text) from None


def _share(text: str) -> float:
    value = quantity(text, "share")
    if value < 0.0:
        raise UnitError("is below 0", "write 2 % or more")
    return value


def _speed(outing: Outing, text: str) -> float:
    """A share of the wished speeds, or the speed of the fastest leg."""
    if text.strip().endswith("%"):
        return quantity(text, "share")
    fastest = max(leg.speed_m_s for leg in outing.legs)
    if not fastest:
        raise UnitError("is of no use where no leg moves", "stretch another wish")
    return quantity(text, "speed") / fastest
