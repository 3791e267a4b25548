"""Cable sizes as they are printed on the jacket."""

import math
import re
from functools import lru_cache

from keelwatt.units.numerals import UnitError, clean, number

_GAUGE = re.compile(
    r"(?:AWG\s*|#\s*)?(?:(?P<aught>[1-4])/0|(?P<zeros>0{1,4})|(?P<gauge>[0-9]{1,2}))"
    r"(?:\s*(?:AWG|gauge|ga))?",
    re.IGNORECASE,
)
MOST_MM2 = 1000
"""No cable sold is thicker."""

_METRIC = re.compile(
    r"(?P<area>[0-9.,]*[0-9][0-9.,]*)\s*(?:mm\s*(?:2|²|\^2)|sq\.?\s*mm|mm\s*sq)", re.IGNORECASE
)
_MONTH = "(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
_DATE = re.compile(
    rf"[0-9]{{1,4}}[-/. ]{_MONTH}(?:[-/. ,]+[0-9]{{2,4}})?"
    rf"|{_MONTH}[-/. ]+[0-9]{{1,4}}"
    r"|[0-9]{4}[-/.][0-9]{1,2}[-/.][0-9]{1,2}(?:[T ].*)?"
    r"|[0-9]{1,2}[-/.][0-9]{1,2}[-/.][0-9]{2,4}(?: .*)?"
    r"|[0-9]{1,2}/[0-9]{2,4}",
    re.IGNORECASE,
)


@lru_cache(maxsize=1024)
def cable_area_mm2(text: str) -> float:
    """The copper area of a cable size, "6 AWG", "2/0" or "16 mm2".
    American gauges by ASTM B258: d = 0.127 mm * 92 ** ((36 - n) / 39), 1/0 being n = 0.

    >>> round(cable_area_mm2("6 AWG"), 2), cable_area_mm2("16 mm²")
    (13.3, 16.0)
    """
    written = clean(text)
    if not written:
        raise UnitError("is empty", 'write "6 AWG" or "16 mm2"')
    if metric := _METRIC.fullmatch(written):
        area_mm2 = number(metric["area"])
        if not 0 < area_mm2 <= MOST_MM2:
            what = "is beyond 1000 mm2" if area_mm2 else "has no copper in it"
            raise UnitError(what, 'write a size such as "16 mm2"')
        return area_mm2
    gauge = _GAUGE.fullmatch(written)
    if gauge and written != gauge["gauge"]:  # a bare number may be either
        return _gauge_area_mm2(gauge)
    if _DATE.fullmatch(written):
        what = "is a date: a spreadsheet has turned a size such as 1/0 into one"
        remedy = 'format the column as text and write the size again, such as "1/0 AWG"'
        raise UnitError(what, remedy)
    if re.fullmatch(r"[0-9.,]+", written):
        raise UnitError("is a size with no unit", f'write "{written} AWG" or "{written} mm2"')
    raise UnitError("is not a cable size", 'write "6 AWG", "1/0 AWG" or "16 mm2"')


def sold_by_area(text: str) -> bool:
    """Whether a cable size is an area in mm2, not an American gauge.

    >>> sold_by_area("16 mm2"), sold_by_area("6 AWG")
    (True, False)
    """
    return _METRIC.fullmatch(clean(text)) is not None


def _gauge_area_mm2(match: re.Match[str]) -> float:
    if match["gauge"]:
        gauge = int(match["gauge"])
    else:
        gauge = 1 - (int(match["aught"]) if match["aught"] else len(match["zeros"]))
    if gauge > 40:
        raise UnitError("is not a gauge that is made", 'write a size from "40 AWG" to "4/0 AWG"')
    diameter_mm = 0.127 * 92 ** ((36 - gauge) / 39)
    return float(math.pi / 4 * diameter_mm**2)
