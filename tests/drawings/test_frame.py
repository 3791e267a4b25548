"""Round ticks that hold what is drawn, and numbers that keep clear of each other."""

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.drawings.frame import BOTTOM, MOST_MARKED, TOP, Frame, axis
from keelwatt.drawings.svg import text_width

AMOUNTS = st.lists(
    st.floats(-1e7, 1e7, allow_nan=False).map(lambda x: round(x, 3)), min_size=1, max_size=8
)


@given(AMOUNTS, st.booleans())
def test_ticks_are_even_round_and_hold_everything(amounts: list[float], from_zero: bool) -> None:
    made = axis("kg", amounts, from_zero=from_zero)
    slack = 1e-6 * max(1.0, *map(abs, amounts))
    assert made.low <= min(amounts) + slack
    assert max(amounts) - slack <= made.high
    if from_zero:
        assert made.low <= 0.0 <= made.high
    assert 2 <= len(made.ticks) <= 11
    step = made.ticks[1] - made.ticks[0]
    for tick, after in zip(made.ticks, made.ticks[1:], strict=False):
        assert after - tick == pytest.approx(step, rel=1e-6)
    assert float(f"{step:.1e}") == pytest.approx(step, rel=1e-6)
    assert len(set(made.labels)) == len(made.labels)


@pytest.mark.parametrize(
    ("amounts", "labels"),
    [
        ([0.0], ("0.0", "0.2")),
        ([0.4], ("0.0", "0.1", "0.2", "0.3", "0.4")),
        ([48.3, 80.0], ("0", "20", "40", "60", "80")),
        (
            [1234567.0],
            (
                "0",
                "200,000",
                "400,000",
                "600,000",
                "800,000",
                "1,000,000",
                "1,200,000",
                "1,400,000",
            ),
        ),
    ],
)
def test_labels_have_the_decimals_that_tell_them_apart(
    amounts: list[float], labels: tuple[str, ...]
) -> None:
    assert axis("x", amounts).labels == labels


@given(
    st.lists(st.tuples(st.floats(0, 10), st.floats(0, 10)), min_size=1, max_size=2 * MOST_MARKED)
)
def test_numbers_are_all_there_and_never_cover_each_other(
    places: list[tuple[float, float]],
) -> None:
    frame = Frame(axis("x", [10.0]), axis("y", [10.0]))
    drawn = str(frame.numbers(places))
    found = re.findall(r"<text x=\"([\d.]+)\" y=\"([\d.]+)\"[^>]*>([^<]+)</text>", drawn)
    boxes = [(float(x), float(y) - 3.5, text_width(sign, 10.0)) for x, y, sign in found]
    for n, (x, y, width) in enumerate(boxes):
        assert width / 2 <= x <= frame.width - width / 2
        assert TOP <= y <= frame.height - BOTTOM
        for other_x, other_y, other_width in boxes[n + 1 :]:
            apart = abs(x - other_x) >= (width + other_width) / 2 or abs(y - other_y) >= 12.0
            assert apart
    if all("…" not in sign for _, _, sign in found):
        told = sorted(int(number) for _, _, sign in found for number in sign.split())
        assert told == list(range(1, min(len(places), MOST_MARKED) + 1))


@pytest.mark.parametrize("dearest", [9_000_000.0, 800_000.0])
def test_level_labels_leave_each_other_room_and_stay_inside(dearest: float) -> None:
    frame = Frame(axis("a very dear kit", [dearest / 9, dearest]), axis("y", [1.0]))
    drawn = str(frame.axes())
    level = re.findall(
        r"<text x=\"([\d.]+)\" y=\"[\d.]+\" text-anchor=\"middle\"[^>]*>([^<]+)<", drawn
    )
    assert len(level) >= 2
    for (x, label), (next_x, next_label) in pairwise(level):
        room = (text_width(label, 10.0) + text_width(next_label, 10.0)) / 2
        assert float(next_x) - float(x) >= room
    x, label = level[-1]
    assert float(x) + text_width(label, 10.0) / 2 <= frame.width
