"""Text with units becomes SI floats here, and nowhere else.
Durations become hours, capacities ampere-hours, temperatures degrees Celsius, shares fractions,
money cents, and cable sizes square millimetres."""

from keelwatt.units.numerals import (
    UnitError,
    clean,
    currency_signs,
    did_you_mean,
    money_cents,
    number,
)
from keelwatt.units.quantities import (
    EXAMPLES,
    FACTORS,
    SPELLINGS,
    Kind,
    kind_of,
    quantity,
    split_header,
    symbol,
    to_si,
)
from keelwatt.units.sizes import cable_area_mm2, sold_by_area

__all__ = [
    "EXAMPLES", "FACTORS", "SPELLINGS", "Kind", "UnitError", "cable_area_mm2", "clean",
    "currency_signs", "did_you_mean", "kind_of", "money_cents", "number", "quantity",
    "sold_by_area", "split_header", "symbol", "to_si",
]  # fmt: skip
