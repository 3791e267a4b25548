"""What a staircase over speed leaves out unseen: nothing that serves a day."""

from math import inf

import numpy as np
import pytest

from explain.stretched import with_distances
from keelwatt.choose.block import Block
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.explain.pace import held, may_keep_up, spans
from oracle.cheap_water import CheapLoadCase
from oracle.ledger import whole_table
from oracle.one_of_each import CATALOG, OUTING
from oracle.random_cases import random_case

SHARES = np.linspace(0.5, 2.0, 31)


def check(seed: int) -> int:
    """How many kits serve some share; none of them is left out."""
    case = with_distances(random_case(seed))
    if not any(leg.speed_m_s for leg in case.outing.legs):
        return 0
    search = case.search
    block = Block.of(whole_table(search), search.names)
    kits = np.arange(block.bank.size)[:: max(1, block.bank.size // 400)]
    running = block.day.running(
        block.bank_type[kits], block.drive_type[kits], block.displacement_g[kits]
    )
    if (running.legs.by_distance & (running.legs.ground_m_s == 0.0)).any():
        return 0
    wanted = running.case.ground_speeds_m_s[:, None]
    served = np.array([running.serves(wanted * np.full(kits.size, s)) for s in SHARES])
    for low in (0, 10, 20):
        some = served[low:].any(axis=0)
        assert may_keep_up(running, float(SHARES[low]), float(SHARES[-1]))[some].all(), seed
    return int(served.any(axis=0).sum())


def test_no_kit_that_serves_a_speed_is_passed_over() -> None:
    assert sum(check(seed) for seed in range(8300, 8312)) > 100


def test_pieces_of_a_range_leave_nothing_out_and_add_nothing() -> None:
    """At the fifths of its pieces, cubed."""
    starts, ends = zip(*spans(0.5, 1.5, 5), strict=True)
    assert (*starts, 1.5) == pytest.approx((0.5, 0.508, 0.564, 0.716, 1.012, 1.5))
    assert ends == (*starts[1:], 1.5)


def test_a_kit_that_only_holds_station_does_so_at_any_share_of_no_speed() -> None:
    pick = Search(CheapLoadCase(OUTING), CATALOG).best(Question("cost"))
    assert pick is not None
    assert held(pick) == inf


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8400, 8500))
def test_no_kit_that_serves_a_speed_is_passed_over_at_length(seed: int) -> None:
    check(seed)
