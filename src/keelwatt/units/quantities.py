"""Quantities with units: the table of units, and text into floats by it."""

import math
import re
from collections.abc import Mapping
from functools import lru_cache
from itertools import pairwise
from typing import Literal

from keelwatt.units.numerals import UnitError, clean, did_you_mean, number

Kind = Literal[
    "length", "mass", "speed", "duration", "force", "power", "energy", "current", "voltage",
    "capacity", "angle", "temperature", "area", "mass_per_length", "moment", "share", "years",
]  # fmt: skip

_LB_KG = 0.45359237
_G_M_S2 = 9.80665

FACTORS: Mapping[Kind, Mapping[str, float]] = {
    "length": {
        "m": 1, "mm": 1e-3, "cm": 1e-2, "km": 1e3, "in": 0.0254, "ft": 0.3048, "yd": 0.9144,
        "mi": 1609.344, "nmi": 1852,
    },
    "mass": {"kg": 1, "g": 1e-3, "t": 1e3, "lb": _LB_KG, "oz": _LB_KG / 16, "st": 14 * _LB_KG},
    "speed": {
        "m/s": 1, "km/h": 1 / 3.6, "mph": 0.44704, "kn": 1852 / 3600, "ft/s": 0.3048,
        "m/min": 1 / 60,
    },
    "duration": {"h": 1, "min": 1 / 60, "s": 1 / 3600, "d": 24},
    "force": {"N": 1, "kN": 1e3, "lbf": _LB_KG * _G_M_S2, "lb": _LB_KG * _G_M_S2, "kgf": _G_M_S2},
    "power": {"W": 1, "mW": 1e-3, "kW": 1e3, "hp": 550 * 0.3048 * _LB_KG * _G_M_S2},
    "energy": {"Wh": 1, "kWh": 1e3, "J": 1 / 3600, "kJ": 1 / 3.6},
    "current": {"A": 1, "mA": 1e-3},
    "voltage": {"V": 1, "mV": 1e-3},
    "capacity": {"Ah": 1, "mAh": 1e-3},
    "angle": {"rad": 1, "deg": math.pi / 180},
    "temperature": {"degC": 1, "degF": 5 / 9, "K": 1},
    "area": {"m2": 1, "cm2": 1e-4, "mm2": 1e-6, "ft2": 0.3048**2, "in2": 0.0254**2},
    "mass_per_length": {
        "kg/m": 1, "g/m": 1e-3, "kg/km": 1e-3, "lb/ft": _LB_KG / 0.3048,
        "oz/ft": _LB_KG / 16 / 0.3048,
    },
    "moment": {"N m": 1, "lbf ft": 0.3048 * _LB_KG * _G_M_S2, "kgf m": _G_M_S2},
    "share": {"": 1, "%": 1e-2},
    "years": {"years": 1, "months": 1 / 12},
}  # fmt: skip
"""What one of the unit is worth inside; pounds of force may be written lb."""

LARGEST: Mapping[Kind, float] = {
    "length": 1e6, "mass": 1e6, "speed": 1e3, "duration": 1e4, "force": 1e5, "power": 1e6,
    "energy": 1e7, "current": 1e6, "voltage": 1e4, "capacity": 1e5, "angle": 1e3,
    "temperature": 1e4, "area": 1e3, "mass_per_length": 1e3, "moment": 1e6, "share": 1e3,
    "years": 1e3,
}  # fmt: skip
"""Beyond what any small craft has: what is larger, or below the negative of it, is a slip."""

LEAST = 1e-9
"""Nothing that is not 0 is smaller, in the unit kept inside: what divides by it stays finite."""

_ZERO_AT: Mapping[str, float] = {"degF": -160 / 9, "K": -273.15}

_OTHERWISE: Mapping[str, str] = {
    **dict.fromkeys(["meter", "meters", "metre", "metres"], "m"),
    **dict.fromkeys(["inch", "inches", '"', "''", "″", "”"], "in"),
    **dict.fromkeys(["foot", "feet", "'", "′", "’"], "ft"),
    **dict.fromkeys(["mile", "miles"], "mi"),
    **dict.fromkeys(["Nm", "N-m", "newtonmetre", "newtonmetres", "newtonmeters"], "N m"),
    **dict.fromkeys(["lbfft", "lbf-ft", "ftlbf", "ft-lbf", "lbft", "lb-ft", "lbsft"], "lbf ft"),
    **dict.fromkeys(["ftlb", "ft-lb", "ftlbs", "ft-lbs", "footpounds", "poundfeet"], "lbf ft"),
    **dict.fromkeys(["kgfm"], "kgf m"),
    **dict.fromkeys(["nm", "NM"], "nmi"),
    **dict.fromkeys(["kilo", "kilos", "kilogram", "kilograms"], "kg"),
    **dict.fromkeys(["gram", "grams"], "g"),
    **dict.fromkeys(["lbs", "pound", "pounds"], "lb"),
    **dict.fromkeys(["ounce", "ounces"], "oz"),
    **dict.fromkeys(["stone", "stones"], "st"),
    **dict.fromkeys(["kmh", "kph", "kmph"], "km/h"),
    **dict.fromkeys(["mi/h"], "mph"),
    **dict.fromkeys(["kt", "kts", "knot", "knots"], "kn"),
    **dict.fromkeys(["mps"], "m/s"),
    **dict.fromkeys(["hr", "hrs", "hour", "hours"], "h"),
    **dict.fromkeys(["mins", "minute", "minutes"], "min"),
    **dict.fromkeys(["sec", "secs", "second", "seconds"], "s"),
    **dict.fromkeys(["day", "days"], "d"),
    **dict.fromkeys(["newton", "newtons"], "N"),
    **dict.fromkeys(["lbthrust", "lbsthrust"], "lbf"),
    **dict.fromkeys(["watt", "watts"], "W"),
    **dict.fromkeys(["amp", "amps", "ampere", "amperes"], "A"),
    **dict.fromkeys(["volt", "volts"], "V"),
    **dict.fromkeys(["°", "º", "degree", "degrees"], "deg"),
    **dict.fromkeys(["C", "°C", "ºC", "celsius"], "degC"),
    **dict.fromkeys(["F", "°F", "ºF", "fahrenheit"], "degF"),
    **dict.fromkeys(["percent", "pct"], "%"),
    **dict.fromkeys(["year", "yr", "yrs", "y", "a"], "years"),
    **dict.fromkeys(["month"], "months"),
}

_CASE_MATTERS = {"M", "MW", "MA", "MV", "MAh", "MAH"}
"""Capitals that mean something else: nautical miles, or mega in place of milli."""

EXAMPLES: Mapping[Kind, str] = {
    "length": '"1.2 m" or "12 ft 6 in"',
    "mass": '"22 lb" or "10 kg"',
    "speed": '"3 mph" or "5 km/h"',
    "duration": '"6 h 30 min" or "90 min"',
    "force": '"55 lbf" or "245 N"',
    "power": '"10 W" or "0.5 hp"',
    "energy": '"500 Wh"',
    "current": '"30 A"',
    "voltage": '"12 V"',
    "capacity": '"100 Ah"',
    "angle": '"1.5 deg"',
    "temperature": '"15 degC" or "60 degF"',
    "area": '"0.5 m2" or "5 ft2"',
    "mass_per_length": '"0.2 kg/m" or "0.13 lb/ft"',
    "moment": '"120 N m" or "90 lbf ft"',
    "share": '"20 %" or 0.2',
    "years": '"8 years"',
}

SMALLER: Mapping[str, str] = {"ft": "in", "h": "min"}
"""What a number without a unit is in behind one of these: 12 ft 6."""

A_NUMBER = re.compile(
    r"""(?<!\^)(?!(?<=[A-Za-z])2(?![0-9.,]))  # not the 2 of mm2
    ([+-]?(?:[0-9]{1,3}(?:[ ][0-9]{3})+(?![0-9])|[0-9])[0-9.,_]*(?:[eE][+-]?[0-9]+)?
    |[+-]?\.[0-9]+)""",
    re.VERBOSE,
)


_FRACTION = re.compile(r"(?:([0-9]+)[ -])?([0-9]+)/([1-9][0-9]*)")
"""As on a tape measure: 8 1/2 in, 6-7/8 in."""


def _name(kind: Kind) -> str:
    article = "an" if kind[0] in "aeiou" else "a"
    return f"{article} {kind.replace('_', ' ')}"


SPELLINGS: Mapping[str, str] = {
    **_OTHERWISE,
    **{symbol: symbol for units in FACTORS.values() for symbol in units},
}
"""Every way to write a unit, and how the table writes it."""

_FOLDED: Mapping[str, str] = {spelling.lower(): symbol for spelling, symbol in SPELLINGS.items()}


def _symbol(word: str, kind: Kind | None) -> str:
    """The table's symbol for one word, or the word as it stands."""
    if word in SPELLINGS or word in _CASE_MATTERS:
        return SPELLINGS.get(word, word)
    of_kind = {symbol.lower(): symbol for symbol in FACTORS[kind]} if kind else {}
    return of_kind.get(word.lower(), _FOLDED.get(word.lower(), word))


@lru_cache(maxsize=1024)
def _spelled(unit: str, kind: Kind | None = None) -> str:
    """The unit as the table writes it, or as it stands."""
    text = re.sub(r"\s+per\s+", "/", unit.strip())
    text = re.sub(r"[\s^·]", "", text).replace("²", "2")
    if square := re.fullmatch(r"(?:square|sq\.?)([a-z]+)", text, re.IGNORECASE):
        return f"{_symbol(square[1], None)}2"
    if "/" in text:
        text = "/".join(_symbol(word, None) for word in text.split("/"))
    return _symbol(text, kind)


def kind_of(unit: str) -> Kind | None:
    """The kind of quantity measured in ``unit`` (``lb`` is a mass here)."""
    return next((kind for kind, units in FACTORS.items() if _spelled(unit) in units), None)


def symbol(unit: str) -> str:
    """The unit as the table writes it: "pounds" is "lb"."""
    return _spelled(unit)


def to_si(value: float, unit: str, kind: Kind) -> float:
    """``value`` in ``unit`` as the tool keeps that kind.

    >>> to_si(75.2, "F", "temperature")
    24.0
    """
    symbol = _spelled(unit, kind)
    factor = FACTORS[kind].get(symbol)
    if factor is None:
        raise _unknown(unit, kind)
    return _everyday(value * factor + _ZERO_AT.get(symbol, 0.0), kind)


def _everyday(value: float, kind: Kind) -> float:
    """A value kept inside; UnitError where no small craft has so much or so little."""
    if abs(value) > LARGEST[kind]:
        most = f"{LARGEST[kind]:,.0f} {next(iter(FACTORS[kind]))}".strip()
        raise UnitError(f"is beyond {most}", f"write {most} at the most")
    if 0 < abs(value) < LEAST:
        raise UnitError("is too small", "write 0, or a number of everyday size")
    # 207 mm is 0.207 m, not 0.20700000000000002; and nothing is -0.
    return float(f"{value:.14g}") + 0.0


def _unknown(unit: str, kind: Kind) -> UnitError:
    examples = EXAMPLES[kind]
    if not unit.strip():
        return UnitError("has no unit", f"write {examples}")
    other = kind_of(unit)
    if other == "energy" and kind == "capacity":
        return UnitError(
            f'"{unit}" is an energy, not a capacity',
            'divide the watt-hours by the battery\'s voltage and write it as "100 Ah"',
        )
    if other is not None:
        return UnitError(f'"{unit}" is {_name(other)}, not {_name(kind)}', f"write {examples}")
    of_kind = [spelling for spelling, symbol in SPELLINGS.items() if symbol in FACTORS[kind]]
    hint = did_you_mean(unit, of_kind)
    return UnitError(f'"{unit}" is not a unit known here', f"{hint}write {examples}")


def quantity(text: str, kind: Kind) -> float:
    """The quantity written in ``text``, as the tool keeps that kind.
    Larger and smaller units may follow one another; a sign in front holds for all of them.

    >>> quantity("6 h 30 min", "duration"), round(quantity("-12 ft 6 in", "length"), 6)
    (6.5, -3.81)
    >>> quantity("6 h 30", "duration"), round(quantity("12 ft 6", "length"), 6)
    (6.5, 3.81)
    >>> round(quantity("8 1/2 in", "length"), 6)
    0.2159
    """
    if kind == "length" and "/" in text:
        text = _FRACTION.sub(lambda it: f"{int(it[1] or 0) + int(it[2]) / int(it[3]):.9g}", text)
    head, *pieces = A_NUMBER.split(clean(text))
    if head.strip() or not pieces:
        what = "is empty" if not text.strip() else "does not begin with a number"
        raise UnitError(what, f"write {EXAMPLES[kind]}")
    numerals, units = pieces[::2], [unit.strip() for unit in pieces[1::2]]
    if len(units) == 2 and not units[1]:
        units[1] = SMALLER.get(_spelled(units[0], kind), "")
    values = [number(numeral) for numeral in numerals]
    if len(values) == 1:
        if values[0] == 0 and not units[0] and kind != "temperature":
            return 0.0
        return to_si(values[0], units[0], kind)
    if not all(units) or kind not in ("length", "mass", "duration"):
        raise UnitError(
            "holds more than one number", f"write one quantity, such as {EXAMPLES[kind]}"
        )
    worth = [to_si(1.0, unit, kind) for unit in units]
    falling = all(larger > smaller for larger, smaller in pairwise(worth))
    if not falling or any(numeral[0] in "+-" for numeral in numerals[1:]):
        raise UnitError(
            "does not go from the larger unit to the smaller", f"write it as {EXAMPLES[kind]}"
        )
    size = sum(abs(value) * each for value, each in zip(values, worth, strict=True))
    return _everyday(-size if numerals[0].startswith("-") else size, kind)


def split_header(header: str) -> tuple[str, str | None]:
    """A column's name and unit.

    >>> split_header("Upright only"), split_header("mass [lb]")
    (('upright_only', None), ('mass', 'lb'))
    """
    match = re.fullmatch(r"([^\[\](]*?)\s*(?:[\[(]([^\[\]()]*)[\])])?", clean(header))
    name, unit = match.groups() if match else (clean(header), None)
    return re.sub(r"[\s-]+", "_", name.strip().lower()), (unit.strip() if unit else None)
