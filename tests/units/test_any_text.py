"""Any text at all is read, or refused in words."""

import math
from collections.abc import Callable
from functools import partial
from typing import get_args

from hypothesis import given
from hypothesis import strategies as st

from keelwatt.units import (
    FACTORS,
    Kind,
    UnitError,
    cable_area_mm2,
    money_cents,
    number,
    quantity,
    split_header,
    to_si,
)

KINDS: tuple[Kind, ...] = get_args(Kind)
FACTOR_CASES = [(kind, unit) for kind, units in FACTORS.items() for unit in units]
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
