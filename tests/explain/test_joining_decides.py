"""Two batteries in parallel against one of the same capacity: what joins them decides."""

from dataclasses import replace

from keelwatt.explain.why import why
from keelwatt.files.catalog.reader import Catalog
from oracle.one_of_each import BATTERY, CATALOG, OUTING

WIDE = OUTING.craft.compartments[0].model_copy(update={"width_m": 0.5})
ROOM = OUTING.model_copy(
    update={"craft": OUTING.craft.model_copy(update={"compartments": (WIDE,)})}
)
JOINING_CENTS = 2 * 1000 + 2 * 2 * 250
"""Two fuses more, and two metres more of red and of black: half of 30 and 34 cm, 10 and 15 cm make
0.57 m for each string, 1.14 m on top of the run's 2 m. The bars have no price here."""


def shelf(half_cents: int) -> Catalog:
    """One of 100 Ah for 200.00, and halves of it that may stand side by side."""
    half = BATTERY.model_copy(
        update={
            "id": "half",
            "capacity_ah": 50.0,
            "continuous_a": 30.0,
            "mass_kg": 10.0,
            "max_parallel": 2,
            "price_cents": half_cents,
            "short_circuit_a": 1000.0,
        }
    )
    return replace(CATALOG, batteries=(BATTERY, half), controllers=())


def test_one_battery_wins_though_two_halves_are_cheaper_by_themselves() -> None:
    """Twice 90.00 is less than 200.00, but not with 30.00 for what joins them."""
    day = ROOM.model_copy(update={"legs": (ROOM.legs[0].model_copy(update={"duration_h": 8.0}),)})
    result = why(day, shelf(9000), "half")
    assert result.best is not None and result.rival is not None
    assert (result.best.kit.battery, result.best.cost_cents) == ("battery", 33500)
    assert (result.rival.kit.battery, result.rival.kit.parallel) == ("half", 2)
    assert result.rival.cost_cents == 2 * 9000 + 13500 + JOINING_CENTS
    assert result.dearer == 2 * 9000 + JOINING_CENTS - 20000


def test_the_break_even_price_is_told_and_is_one() -> None:
    """A half wins while two of it and 30.00 are less than 200.00: at 84.99, not at 85.00.

    At 85.00 both cost the same, and the joined ones weigh more.
    """
    day = ROOM.model_copy(update={"legs": (ROOM.legs[0].model_copy(update={"duration_h": 8.0}),)})
    result = why(day, shelf(9000), "half")
    assert result.wins_at_cents == (20000 - JOINING_CENTS) // 2 - 1 == 8499
    for cents, kept in ((8499, "half"), (8500, "battery")):
        best = why(day, shelf(cents), "half").best
        assert best is not None
        assert best.kit.battery == kept
