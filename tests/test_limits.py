"""What a limit says of the room under it."""

import pytest

from keelwatt.files.kit import ROUNDING
from keelwatt.limits import OVERS, TIGHT_SHARE, Sense, narrowest
from keelwatt.proof import RULES, WISHES, Limit


@pytest.mark.parametrize(
    ("sense", "needs", "has", "room", "judged"),
    [
        ("at most", 20.0, 15.0, 5.0, (True, False)),
        ("at most", 20.0, 20.0, 0.0, (True, True)),
        ("at most", 20.0, 20.1, -0.1, (False, True)),
        ("at most", 20.0, 19.81, 0.19, (True, True)),
        ("at most", 20.0, 19.79, 0.21, (True, False)),
        ("at most", 100.0, 99.0, 1.0, (True, True)),
        ("at least", 5.0, 9.5, 4.5, (True, False)),
        ("at least", 5.0, 5.0, 0.0, (True, True)),
        ("at least", 5.0, 4.9, -0.1, (False, True)),
        ("at least", 0.0, -1e-6, -1e-6, (False, True)),
        ("at least", 0.0, 0.3, 0.3, (True, False)),
        ("equal", 12.0, 12.0, 0.0, (True, False)),
        ("equal", 12.0, 24.0, -12.0, (False, False)),
        ("equal", 24.0, 12.0, -12.0, (False, False)),
    ],
)
def test_room(
    sense: Sense, needs: float, has: float, room: float, judged: tuple[bool, bool]
) -> None:
    """``judged``: whether it holds, whether it is tight."""
    limit = Limit("hours", sense, needs, has, "h")
    assert limit.room == pytest.approx(room)
    assert (limit.holds, limit.tight) == judged


def test_the_last_digits_of_a_float_break_nothing() -> None:
    assert Limit("protection", "at least", 1.1 * 50, 55.0, "A").holds
    assert not Limit("protection", "at least", 55.0, 55.0 * (1 - 3 * ROUNDING), "A").holds
    assert Limit("trim", "at most", 1.5, 1.5 * (1 + ROUNDING / 2), "deg").holds


def test_tight_is_a_share_of_the_bound() -> None:
    assert Limit("hours", "at least", 200.0, 200.0 * (1 + TIGHT_SHARE / 2), "h").tight
    assert not Limit("hours", "at least", 200.0, 200.0 * (1 + 2 * TIGHT_SHARE), "h").tight


def test_wishes_and_rules_are_told_apart_and_share_no_name() -> None:
    assert set(WISHES).isdisjoint(RULES)
    assert Limit("budget", "at most", 1.0, 0.0, "money").kind == "wish"
    assert Limit("payload", "at most", 1.0, 0.0, "kg").kind == "rule"


def test_of_one_name_the_narrowest_stays_in_the_order_of_wishes_then_rules() -> None:
    wide = Limit("leg_speed", "at least", 1.0, 1.5, "m/s")
    narrow = Limit("leg_speed", "at least", 2.0, 2.1, "m/s")
    plate = Limit("payload", "at most", 100.0, 90.0, "kg")
    assert narrowest((plate, wide, narrow)) == (narrow, plate)
    assert narrowest((narrow, wide, plate)) == (narrow, plate)
    as_narrow = Limit("leg_speed", "at least", 4.0, 4.2, "m/s")
    assert as_narrow.relative_room == narrow.relative_room
    assert narrowest((narrow, as_narrow)) == (narrow,)


def test_a_stretch_runs_over_what_a_buyer_would_ask_for_unless_told() -> None:
    """Hours from one to a long day's, half the speed to twice, from the least reserve to all."""
    spans = {name: declared.span for name, declared in OVERS.items() if declared.span}
    assert spans == {"hours": (1.0, 12.0), "speed": (0.5, 2.0), "reserve": (0.1, 1.0)}
