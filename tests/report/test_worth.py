"""What a part buys, in words."""

from types import SimpleNamespace
from typing import Any

import pytest

from keelwatt.explain.worth import Bought
from keelwatt.report.worth import _bought


@pytest.mark.parametrize(
    ("hours", "cents", "told"),
    [
        (5.5, 1, "buys 30 min more on the water for 0.01 crowns"),
        (5.5, 0, "buys 30 min more on the water at the same price"),
        (5.5, -1, "buys 30 min more on the water and saves 0.01 crowns"),
        (5.0, 250, "costs 2.50 crowns"),
        (5.0, 0, "costs nothing"),
        (5.0, -250, "saves 2.50 crowns"),
        (4.0, 250, "costs 2.50 crowns; 1 h less on the water"),
        (4.0, -250, "saves 2.50 crowns; 1 h less on the water"),
    ],
)
def test_hours_are_bought_and_money_is_spent_or_saved(hours: float, cents: int, told: str) -> None:
    pair: Any = SimpleNamespace(
        without=SimpleNamespace(hours=5.0, top_speed_m_s=1.0),
        with_it=SimpleNamespace(hours=hours, top_speed_m_s=1.0),
        buys=Bought(cents, 0, 0.0, hours - 5.0, 0.0),
    )
    result: Any = SimpleNamespace(advice=SimpleNamespace(outing=SimpleNamespace(currency="crowns")))
    assert _bought(result, pair) == told
