"""Batteries: Peukert's law by its formula and by draining, and values of common practice."""

import numpy as np
import pytest
from scipy.integrate import quad

from keelwatt.physics.battery import (
    PEUKERT,
    charge_used_ah,
    usable_share,
)
from physics.laws import hours_to_empty


@pytest.mark.parametrize(
    ("capacity_ah", "rated_h", "peukert", "current_a", "printed"),
    [
        (100.0, 20.0, 1.2, 10.0, "8.7055"),
        (100.0, 20.0, 1.25, 25.0, "2.67496"),
        (120.0, 10.0, 1.15, 30.0, "3.48633"),
    ],
)
def test_hours_to_empty(
    capacity_ah: float, rated_h: float, peukert: float, current_a: float, printed: str
) -> None:
    """t = H (C / (I H))**k, computed."""
    hours = hours_to_empty(
        current_a=current_a, capacity_ah=capacity_ah, rated_h=rated_h, peukert=peukert
    )
    digits = len(printed.split(".")[1])
    assert f"{hours:.{digits}f}" == printed
    by_the_law = rated_h * (capacity_ah / (current_a * rated_h)) ** peukert
    assert hours == pytest.approx(by_the_law, rel=1e-12)


def test_the_short_form_holds_for_a_one_hour_rating_alone() -> None:
    """The often printed t = C / I**k."""
    short = 100.0 / 10.0**1.2
    one_hour = hours_to_empty(current_a=10.0, capacity_ah=100.0, rated_h=1.0, peukert=1.2)
    assert one_hour == pytest.approx(10.0)  # below the rated 100 A nothing is credited
    above = hours_to_empty(current_a=200.0, capacity_ah=100.0, rated_h=1.0, peukert=1.2)
    assert above == pytest.approx((100.0 / 200.0) ** 1.2)
    twenty = hours_to_empty(current_a=10.0, capacity_ah=100.0, rated_h=20.0, peukert=1.2)
    assert twenty != pytest.approx(short, rel=0.1)


def test_charge_used_by_draining_a_string() -> None:
    """The rated capacity drained by the hour, a second way: the share of life used adds up."""
    capacity_ah, rated_h, peukert = 80.0, 20.0, 1.15

    def life_per_hour(hour: float) -> float:
        hours = rated_h * float((capacity_ah / ((6.0 + 9.0 * hour) * rated_h)) ** peukert)
        return 1 / hours

    drained, _ = quad(life_per_hour, 0, 3)
    middle_h = (np.arange(3000) + 0.5) / 1000
    used = charge_used_ah(
        duration_h=1e-3,
        current_a=6.0 + 9.0 * middle_h,
        capacity_ah=capacity_ah,
        rated_h=rated_h,
        peukert=peukert,
    )
    assert np.sum(used) == pytest.approx(drained * capacity_ah, rel=1e-6)


@pytest.mark.parametrize(
    ("chemistry", "low", "high"),
    [("flooded", 1.2, 1.6), ("gel", 1.1, 1.25), ("agm", 1.05, 1.15), ("lfp", 1.00, 1.05)],
)
def test_default_exponents_lie_in_common_ranges(chemistry: str, low: float, high: float) -> None:
    """From memory: what sellers of batteries commonly print."""
    assert low <= PEUKERT[chemistry] <= high


def test_what_100_ah_give() -> None:
    """Common practice: 100 Ah of AGM give 50 to 60 Ah kindly, 80 at most; 80 Ah of lfp give 80."""
    agm = [100 * usable_share(chemistry="agm", policy=p) for p in ("everyday", "occasional")]
    assert agm == [50.0, 60.0]
    assert 100 * usable_share(chemistry="agm", policy="limit") == 80.0
    assert 80 * usable_share(chemistry="lfp", policy="occasional") == 80.0
    assert 80 * usable_share(chemistry="lfp", policy="limit") == 80.0
