"""Variance shares against closed forms, on boats whose days follow plain laws."""

from dataclasses import dataclass
from math import exp

import numpy as np
import pytest
from scipy.stats import norm, sobol_indices

from chance.days_apart import CHOPPED, UNDERWAY, boat, only
from keelwatt.boat.arrays import Floats
from keelwatt.chance.odds import Boat, Run
from keelwatt.chance.shares import LEAST_LEFT, Shares, shares
from keelwatt.chance.spreads import Days, Spreads
from oracle.one_of_each import OUTING

BASE = 20_000


@dataclass(frozen=True)
class Plain(Boat):
    """A boat of which a law of drag and capacity, both about 1, says what is left."""

    product: bool = False

    def run(self, days: Days) -> Run:
        drag = np.log(days.drag_factor / self.case.outing.craft.drag_factor)
        capacity = np.log(days.capacity)
        left: Floats = drag * capacity if self.product else 3.0 * drag - 4.0 * capacity
        good = np.ones(left.shape, dtype=bool)
        return Run(left, np.ones(left.shape), good, None, 0.0)


def plain(product: bool) -> Shares:
    outing = only(OUTING, drag=0.05, capacity_spread=0.05)
    of = boat(outing)
    return shares(Plain(of.assessor, of.kit, product), Spreads(outing), 1, BASE)


def test_a_sum_shares_out_by_the_squares() -> None:
    """3 and 4 of one spread: 9 and 16 of 25."""
    found = plain(product=False)
    told: dict[str, float] = {each.unknown: each.share for each in found.shares}
    for unknown, true in (("capacity", 0.64), ("drag", 0.36)):
        (error,) = [e.standard_error for e in found.shares if e.unknown == unknown]
        assert abs(told[unknown] - true) < 4 * error < 0.06
    assert found.shares[0].unknown == "capacity"
    for each in found.shares:
        if each.unknown in ("wind", "stream", "temperature", "length"):
            assert (each.share, each.standard_error) == (0.0, 0.0)
    assert found.together == pytest.approx(0.0, abs=0.04)
    assert found.spread == pytest.approx(0.05 * 5.0, rel=0.02)


def test_a_product_is_all_in_the_two_together() -> None:
    found = plain(product=True)
    assert found.together == pytest.approx(1.0, abs=0.06)


@pytest.mark.usefixtures("sure_thrust")
def test_only_one_unknown_is_all_of_it() -> None:
    found = shares(boat(only(UNDERWAY, drag=0.1)), Spreads(only(UNDERWAY, drag=0.1)), 1)
    assert found.shares[0].unknown == "drag"
    assert found.shares[0].share == pytest.approx(1.0, abs=0.06)
    assert found.shares[1].share == 0.0


def test_two_unknowns_against_the_lognormal_closed_form() -> None:
    """Used over capacity, hours and capacity lognormal: the share of hours by itself.

    The product XY with variances of logarithm a, b: X alone makes e^b (e^a - 1) / (e^(a+b) - 1)
    of the variance times e^0, with a for the one and b for the other.
    """
    outing = only(UNDERWAY, length_spread=0.3, capacity_spread=0.2)
    found = shares(boat(outing, CHOPPED), Spreads(outing), 1, BASE)
    told = {str(each.unknown): (each.share, each.standard_error) for each in found.shares}
    a, b = 0.3**2, 0.2**2
    whole = exp(a + b) - 1.0
    for unknown, true in (("length", (exp(a) - 1.0) / whole), ("capacity", (exp(b) - 1.0) / whole)):
        share, error = told[unknown]
        assert abs(share - true) < 4 * error < 0.08


def test_shares_are_those_of_another_implementation() -> None:
    """A leg without wind or stream, so that every unknown is one number, all else as by default."""
    (leg,) = UNDERWAY.legs
    calm = leg.model_copy(update={"headwind_m_s": 0.0})
    outing = UNDERWAY.model_copy(update={"legs": (calm,)})
    of, spreads = boat(outing, CHOPPED), Spreads(outing)

    def left(numbers: Floats) -> Floats:
        return np.maximum(of.run(spreads.days(numbers.T)).left_share, LEAST_LEFT)

    random = np.random.default_rng(11)
    other = sobol_indices(func=left, n=2**13, dists=[norm()] * spreads.width, rng=random)
    found = shares(of, spreads, 1, BASE)
    for each in found.shares:
        theirs = other.first_order[spreads.columns[each.unknown]].sum()
        assert each.share == pytest.approx(theirs, abs=4 * each.standard_error + 0.01)
        assert each.standard_error < 0.02
    assert sum(each.share > 0.02 for each in found.shares) >= 4


@pytest.mark.usefixtures("sure_thrust")
def test_nothing_uncertain_shares_out_nothing() -> None:
    outing = only(UNDERWAY)
    found = shares(boat(outing), Spreads(outing), 1, 100)
    assert {each.share for each in found.shares} == {0.0}
    assert (found.together, found.spread) == (0.0, 0.0)


def test_standard_errors_hold_at_about_their_rate() -> None:
    """100 seeds: two standard errors hold the true share about 95 times."""
    outing = only(OUTING, drag=0.05, capacity_spread=0.05)
    of = boat(outing)
    law, spreads = Plain(of.assessor, of.kit), Spreads(outing)
    held = 0
    for seed in range(100):
        (drag,) = [s for s in shares(law, spreads, seed, 500).shares if s.unknown == "drag"]
        held += abs(drag.share - 0.36) <= 2 * drag.standard_error
    assert 88 <= held <= 100
