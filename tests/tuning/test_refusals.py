"""How unsure a drag factor may be, and what a meter may show, to the last digit."""

from types import SimpleNamespace
from typing import Any

import pytest

from keelwatt.errors import InputError
from keelwatt.files.kit import Kit
from keelwatt.files.log import LogRow, TripLog
from keelwatt.proof import Assessor
from keelwatt.tuning import refusals
from keelwatt.tuning.refusals import check_fit, check_kit, doubts
from tuning.made_logs import CHOPPER, STEPPED, example, shipped


def fit(value: float, error: float, *, trips_only: bool = False) -> Any:
    drag = SimpleNamespace(value=value, error=error)
    return SimpleNamespace(drag_factor=drag, trips_only=trips_only, values=None)


@pytest.fixture
def forward() -> Any:
    """As much of a forward model as the words of a refusal need."""
    readings = SimpleNamespace(running=[True], full_throttle=False, lacking=lambda: ())
    return SimpleNamespace(readings=readings, water_speed_m_s=lambda _: Speeds())


class Speeds:
    def __getitem__(self, _: object) -> Any:
        return SimpleNamespace(max=lambda: 2.0)


@pytest.mark.parametrize(
    ("fitted", "refused"),
    [
        (fit(2.0, 0.2999), False),
        (fit(2.0, 0.3001), True),
        (fit(2.0, 0.9999, trips_only=True), False),
        (fit(2.0, 1.0001, trips_only=True), True),
        (fit(0.201, 0.0), False),
        (fit(0.199, 0.0), True),
        (fit(7.999, 0.0), False),
        (fit(8.001, 0.0), True),
    ],
)
def test_an_error_of_15_percent_is_the_most_and_of_trips_50(
    fitted: Any, refused: bool, monkeypatch: pytest.MonkeyPatch, forward: Any
) -> None:
    monkeypatch.setattr(refusals, "_share_of_drag", lambda *_: 1.0)
    if refused:
        with pytest.raises(InputError):
            check_fit("log.csv", fitted, forward)
    else:
        check_fit("log.csv", fitted, forward)


@pytest.mark.parametrize(("drag", "says"), [(0.1, "far less than"), (9.0, "far more than")])
def test_a_drag_beyond_belief_is_told_by_the_current(drag: float, says: str, forward: Any) -> None:
    with pytest.raises(InputError) as caught:
        check_fit("log.csv", fit(drag, 0.0), forward)
    assert says in caught.value.problems[0].what


@pytest.mark.parametrize(
    ("kit", "says"), [(CHOPPER, "write throttle, a share of full"), (STEPPED, "write 0 to 5")]
)
def test_a_step_a_kit_has_not_is_told_what_to_write(kit: Kit, says: str) -> None:
    row = LogRow(speed_m_s=1.0, current_a=5.0, step=6)
    chosen = Assessor(example(), shipped()).chosen(kit)
    with pytest.raises(InputError) as caught:
        check_kit(TripLog("log.csv", {2: row}), kit, chosen, 40.0)
    assert says in caught.value.problems[0].remedy


@pytest.mark.parametrize(("share", "says"), [(0.499, "too slow"), (0.501, "scatters too much")])
def test_a_log_is_slow_where_drag_moves_its_current_by_less_than_half(
    share: float, says: str, monkeypatch: pytest.MonkeyPatch, forward: Any
) -> None:
    monkeypatch.setattr(refusals, "_share_of_drag", lambda *_: share)
    with pytest.raises(InputError) as caught:
        check_fit("log.csv", fit(1.0, 1.0), forward)
    assert says in caught.value.problems[0].what


def test_doubts_begin_at_a_half_and_at_three() -> None:
    doubtful = [bool(list(doubts("log.csv", fit(v, 0.0)))) for v in (0.49, 0.51, 2.99, 3.01)]
    assert doubtful == [True, False, False, True]


@pytest.mark.parametrize(
    ("given", "refused"),
    [
        ({"voltage_v": 9.01}, False),
        ({"voltage_v": 8.99}, True),
        ({"voltage_v": 16.19}, False),
        ({"voltage_v": 16.21}, True),
        ({"current_a": 79.9}, False),
        ({"current_a": 80.1}, True),
    ],
)
def test_what_a_meter_can_show_on_a_12_v_kit_of_40_a(
    given: dict[str, float], refused: bool
) -> None:
    chosen = Assessor(example(), shipped()).chosen(CHOPPER)
    assert chosen.battery.voltage_v * CHOPPER.series == 12.0
    row = LogRow(speed_m_s=1.0, current_a=5.0).model_copy(update=given)
    log = TripLog("log.csv", {2: row})
    if refused:
        with pytest.raises(InputError):
            check_kit(log, CHOPPER, chosen, 40.0)
    else:
        check_kit(log, CHOPPER, chosen, 40.0)
