"""Batteries: properties and edges."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics.battery import (
    LEAD_ACID,
    PEUKERT,
    charge_used_ah,
    device_current_a,
    usable_share,
)
from physics.laws import hours_to_empty

CURRENTS_A = st.floats(0, 300)
HOURS = st.floats(0, 24)
EXPONENTS = st.floats(1, 1.6)
STRING = {"capacity_ah": 100.0, "rated_h": 20.0}


def used_ah(duration_h: float, current_a: float, peukert: float) -> float:
    return float(
        charge_used_ah(duration_h=duration_h, current_a=current_a, peukert=peukert, **STRING)
    )


@given(HOURS, CURRENTS_A, EXPONENTS)
def test_never_less_than_the_plain_charge(hours: float, current: float, peukert: float) -> None:
    assert used_ah(hours, current, peukert) >= hours * current


@given(HOURS, st.floats(0, 5), EXPONENTS)
def test_gentle_use_earns_no_credit(hours: float, current: float, peukert: float) -> None:
    assert used_ah(hours, current, peukert) == hours * current


@given(HOURS, st.floats(0.001, 5), CURRENTS_A, EXPONENTS)
def test_a_longer_or_harder_leg_never_uses_less(
    hours: float, more: float, current: float, peukert: float
) -> None:
    used = used_ah(hours, current, peukert)
    assert used_ah(hours + more, current, peukert) >= used
    assert used_ah(hours, current + more, peukert) >= used


@given(st.floats(0.1, 300), EXPONENTS)
def test_empty_is_when_the_capacity_is_used(current: float, peukert: float) -> None:
    hours = float(hours_to_empty(current_a=current, peukert=peukert, **STRING))
    assert used_ah(hours, current, peukert) == pytest.approx(100.0, rel=1e-12)


def test_without_current_it_lasts_for_ever() -> None:
    assert math.isinf(hours_to_empty(current_a=0.0, peukert=1.2, **STRING))
    hours = hours_to_empty(current_a=np.array([0.0, 5.0]), peukert=1.2, **STRING)
    np.testing.assert_allclose(hours, [np.inf, 20.0])


@pytest.mark.parametrize("chemistry", PEUKERT)
def test_every_chemistry_is_known_everywhere(chemistry: str) -> None:
    everyday, occasional, limit = (
        usable_share(chemistry=chemistry, policy=p) for p in ("everyday", "occasional", "limit")
    )
    assert 0 < everyday < occasional <= limit <= 1


@pytest.mark.parametrize(
    ("chemistry", "shares"),
    [
        *((lead, (0.5, 0.6, 0.8)) for lead in ("flooded", "agm", "gel")),
        ("lfp", (0.9, 1.0, 1.0)),
        ("nmc", (0.8, 0.9, 1.0)),
    ],
)
def test_usable_shares_pinned(chemistry: str, shares: tuple[float, ...]) -> None:
    """Common practice for lead-acid, from memory for lithium."""
    policies = ("everyday", "occasional", "limit")
    assert tuple(usable_share(chemistry=chemistry, policy=p) for p in policies) == shares


def test_lead_acid_names_are_chemistries() -> None:
    assert set(PEUKERT) > LEAD_ACID


def test_unknown_names_are_refused() -> None:
    with pytest.raises(ValueError, match="chemistry is one of"):
        usable_share(chemistry="nickel", policy="everyday")
    with pytest.raises(ValueError, match="discharge is one of"):
        usable_share(chemistry="agm", policy="always")


@given(st.floats(0, 100), st.sampled_from([12.0, 12.8, 25.6]))
def test_a_device_draws_its_power_and_the_converters_loss(power: float, voltage: float) -> None:
    current = device_current_a(power_w=power, bank_voltage_v=voltage)
    assert current * voltage * 0.9 == pytest.approx(power)
