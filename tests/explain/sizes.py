"""A shelf of batteries that differ in size and price alone, and a day the smallest just serves."""

from dataclasses import replace

from oracle.one_of_each import BATTERY, CATALOG, with_leg

SIZES = (100, 125, 160, 210, 280, 400)
BATTERIES = tuple(
    BATTERY.model_copy(
        update={"id": f"ah-{size}", "capacity_ah": float(size), "price_cents": 200 * size}
    )
    for size in SIZES
)
SHELF = replace(CATALOG, batteries=BATTERIES)
HOURS = 9.4
"""40 Ah at 4.2 A last 9.52 h: the smallest battery just does."""

DAY = with_leg(duration_h=HOURS)
FEW = 40
"""Days drawn, where a few will do."""
