"""Quantities back into text, in units a user chose."""

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from math import ceil, floor, log10

from keelwatt.units.numerals import clean
from keelwatt.units.quantities import A_NUMBER, EXAMPLES, Kind, kind_of, quantity, to_si

DIGITS = 6
"""Significant digits of what is not rounded to a step."""

SIGNS = frozenset("'\"′″’”°º")
"""Units that stand close to their number."""

IN_US: Mapping[str, str] = {
    "m": "ft", "cm": "in", "mm": "in", "kg": "lb", "km/h": "mph", "m/s": "mph", "km": "mi",
    "degC": "degF",
}  # fmt: skip
"""The unit somebody in the United States would use in place of a metric one."""

_QUOTED = re.compile(rf'(?<!temperature_spread = )(?<! or )"(-?[0-9.]+ ({"|".join(IN_US)}))"')
"""A quantity in a file; a spread of temperatures is a difference and stays in degC."""


def count_of(value: float, unit: str, kind: Kind) -> float:
    """How many of the unit a value is, kept as the tool keeps that kind."""
    zero = to_si(0.0, unit, kind)
    return (value - zero) / (to_si(1.0, unit, kind) - zero)


def in_us_units(offered: str, kind: Kind) -> str:
    """A metric quantity, rounded off in the unit used in the United States; any other as it is.

    >>> in_us_units("4.6 m", "length"), in_us_units("4.5 km/h", "speed")
    ('15 ft', '2.8 mph')
    """
    units = spelled_units(offered)
    if not units or units[0] not in IN_US:
        return offered
    unit = IN_US[units[0]]
    count = count_of(quantity(offered, kind), unit, kind)
    return f"{count:.1f} {unit}" if 0 < abs(count) < 10 else f"{count:.0f} {unit}"


def us_quantities(text: str) -> str:
    """An outing's text, the metric quantities in it rounded off in units of the United States.

    >>> us_quantities('lift = "25 kg" # "2 m" is far')
    'lift = "55 lb" # "6.6 ft" is far'
    """

    def converted(found: re.Match[str]) -> str:
        kind = kind_of(found[2])
        return f'"{in_us_units(found[1], kind)}"' if kind else found[0]

    return _QUOTED.sub(converted, text)


def spelled_units(text: str) -> tuple[str, ...]:
    """The units as they are spelled in a quantity, none where it is a plain number.

    >>> spelled_units("6 h 30 min"), spelled_units("0.2")
    (('h', 'min'), ())
    """
    _, *pieces = A_NUMBER.split(clean(text))
    return tuple(unit for unit in (piece.strip() for piece in pieces[1::2]) if unit)


def written_quantity(
    value: float,
    kind: Kind,
    units: Sequence[str] = (),
    *,
    step: float | None = None,
    up: bool = False,
    further: int = 0,
) -> str:
    """The text for ``value``, kept as the tool keeps that kind, in these units.
    With a ``step``, in the same measure, the value goes up or down to a whole number of the decimal
    steps of the smallest unit that come nearest to it, and ``further`` steps beyond.

    >>> written_quantity(1.378, "duration", ["h"], step=1 / 60)
    '1 h 22 min'
    >>> written_quantity(8.1, "mass", ["lb"], step=0.1, up=True)
    '17.9 lb'
    """
    units = units or spelled_units(EXAMPLES[kind].split('"')[1])
    if kind == "duration" and len(units) == 1 and to_si(1.0, units[0], kind) == 1.0:
        short = step is None and abs(value - round(value, 2)) < 1e-9
        units = units if short else (units[0], "min")
    size = to_si(1.0, units[-1], kind) - to_si(0.0, units[-1], kind)
    count = Decimal(count_of(value, units[-1], kind))
    if step is None:
        last = floor(log10(abs(count))) + 1 - DIGITS if count else 0
    else:
        last = floor(log10(2 * step / size))
    grid = Decimal(10) ** last
    number = float(count / grid)
    slack = 1e-9 * max(1.0, abs(number))
    if step is None:
        whole = round(number)
    else:
        whole = ceil(number - slack) + further if up else floor(number + slack) - further
    sizes = [to_si(1.0, unit, kind) / size for unit in units] if len(units) > 1 else [1.0]
    return _joined(whole * grid, units, sizes)


def _joined(count: Decimal, units: Sequence[str], sizes: Sequence[float]) -> str:
    """``count`` of the last unit spread over them all, those with none of it left out."""
    left = abs(count)
    texts: list[str] = []
    ratios = [round(larger / smaller) for larger, smaller in pairwise(sizes)]
    for place, unit in enumerate(units):
        worth = 1
        for ratio in ratios[place:]:
            worth *= ratio
        whole = left // worth if place + 1 < len(units) else left
        left -= whole * worth
        if whole or (not texts and place + 1 == len(units)):
            texts.append(f"{_plain(whole)}{'' if unit in SIGNS else ' '}{unit}")
    return ("-" if count < 0 else "") + " ".join(texts)


def _plain(number: Decimal) -> str:
    """Without exponent and without zeros at the end."""
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
