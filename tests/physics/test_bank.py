"""A bank through a day: voltages, cold, motor and devices together, charging, where charge goes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics.bank import (
    COLDEST_TABLED_C,
    State,
    bank_voltage_v,
    charge_shares,
    charge_used_together_ah,
    charging_h,
    cold_factor,
    slow_charger,
)
from keelwatt.physics.battery import PEUKERT, charge_used_ah, usable_share


@pytest.mark.parametrize(
    ("chemistry", "nominal_v", "state", "printed"),
    [
        ("agm", 12.0, "low", "11.6"),
        ("gel", 12.0, "fresh", "12.7"),
        ("flooded", 48.0, "charging", "57.6"),
        ("lfp", 12.8, "low", "12.4"),
        ("lfp", 12.8, "fresh", "13.3"),
        ("lfp", 51.2, "charging", "58.4"),
        ("nmc", 3.7, "low", "3.4"),
        ("nmc", 3.7, "fresh", "4.1"),
        ("nmc", 3.7, "charging", "4.2"),
    ],
)
def test_voltages(chemistry: str, nominal_v: float, state: State, printed: str) -> None:
    """From memory."""
    volts = bank_voltage_v(chemistry=chemistry, nominal_voltage_v=nominal_v, state=state)
    assert f"{volts:.1f}" == printed


@pytest.mark.parametrize("chemistry", PEUKERT)
def test_voltages_rise_from_low_to_charging(chemistry: str) -> None:
    states: tuple[State, ...] = ("low", "nominal", "fresh", "charging")
    volts = [
        float(bank_voltage_v(chemistry=chemistry, nominal_voltage_v=12.0, state=s)) for s in states
    ]
    assert volts == sorted(set(volts))
    assert volts[1] == 12.0


def test_unknown_chemistries_and_states_are_refused() -> None:
    with pytest.raises(ValueError, match="chemistry is one of"):
        bank_voltage_v(chemistry="tin", nominal_voltage_v=12.0, state="fresh")
    with pytest.raises(ValueError, match="state is one of"):
        bank_voltage_v(chemistry="agm", nominal_voltage_v=12.0, state="flat")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="chemistry is one of"):
        cold_factor(chemistry="tin", temperature_c=20.0)
    with pytest.raises(ValueError, match="within -10 to 60"):
        cold_factor(chemistry="agm", temperature_c=-10.1)


@pytest.mark.parametrize(
    ("fahrenheit", "size"),
    [
        *((25, "1.520"), (30, "1.430"), (35, "1.350"), (40, "1.300"), (45, "1.250"), (50, "1.190")),
        *((55, "1.150"), (60, "1.110"), (65, "1.080"), (68, "1.056"), (70, "1.040"), (77, "1.000")),
        *((47.5, "1.220"), (90, "1.000"), (15, "1.700")),
    ],
)
@pytest.mark.parametrize("chemistry", ["flooded", "agm", "gel"])
def test_cell_sizes_in_the_cold(chemistry: str, fahrenheit: float, size: str) -> None:
    """IEEE 485, Table 1 (from memory); between, warmer, and colder by the last slope."""
    factor = cold_factor(chemistry=chemistry, temperature_c=(fahrenheit - 32) / 1.8)
    assert f"{1 / factor:.3f}" == size


def test_the_table_begins_at_25_fahrenheit() -> None:
    assert f"{COLDEST_TABLED_C:.1f}" == "-3.9"


@pytest.mark.parametrize("chemistry", PEUKERT)
def test_warmth_never_harms(chemistry: str) -> None:
    factor = cold_factor(chemistry=chemistry, temperature_c=np.linspace(-10, 60, 701))
    assert np.all(np.diff(factor) >= -1e-15)
    assert np.max(factor) <= 1.0


HOURS = st.lists(st.floats(0, 6), min_size=2, max_size=2).map(np.array)
AMPS = st.lists(st.floats(0, 60), min_size=2, max_size=2).map(np.array)
STRING = {"capacity_ah": 100.0, "rated_h": 20.0, "peukert": 1.2}


@given(HOURS, AMPS, HOURS, AMPS)
def test_drawing_together_never_costs_less(
    leg_h: np.ndarray[tuple[int], np.dtype[np.float64]],
    motor_a: np.ndarray[tuple[int], np.dtype[np.float64]],
    device_h: np.ndarray[tuple[int], np.dtype[np.float64]],
    device_a: np.ndarray[tuple[int], np.dtype[np.float64]],
) -> None:
    """Never less than the plain charge, nor than motor and devices each by itself."""
    used = charge_used_together_ah(
        leg_h=leg_h, motor_a=motor_a, device_h=device_h, device_a=device_a, strings=1, **STRING
    )
    plain = leg_h @ motor_a + device_h @ device_a
    assert used >= plain * (1 - 1e-12) - 1e-9
    motor_alone = np.sum(charge_used_ah(duration_h=leg_h, current_a=motor_a, **STRING))
    assert used >= (motor_alone + device_h @ device_a) * (1 - 1e-12) - 1e-9


def test_a_day_by_hand() -> None:
    """Legs 2 h and 1 h, a device of 3 A for 2 h and one of 1 A for 5 h; two strings."""
    used = charge_used_together_ah(
        leg_h=np.array([2.0, 1.0]),
        motor_a=np.array([20.0, 10.0]),
        device_h=np.array([2.0, 5.0]),
        device_a=np.array([3.0, 1.0]),
        strings=2,
        **STRING,
    )
    mean = (3 * 2 + 1 * 3) / 3
    legs = sum(
        2 * hours * (amps / 2) * (amps / 2 * 20 / 100) ** 0.2
        for hours, amps in ((2.0, 20.0 + mean), (1.0, 10.0 + mean))
    )
    assert used == pytest.approx(legs + 1.0 * 2.0, rel=1e-12)


def test_a_day_without_legs_still_runs_its_devices() -> None:
    none = np.array([])
    used = charge_used_together_ah(
        leg_h=none,
        motor_a=none,
        device_h=np.array([4.0]),
        device_a=np.array([2.0]),
        strings=1,
        **STRING,
    )
    assert used == pytest.approx(8.0)


def test_many_banks_at_once() -> None:
    used = charge_used_together_ah(
        leg_h=np.array([2.0, 1.0]),
        motor_a=np.full((3, 4, 2), 12.0),
        device_h=np.array([5.0]),
        device_a=np.full((4, 1), 1.0),
        strings=np.array([1, 1, 2, 3]),
        capacity_ah=np.array([50.0, 100.0, 50.0, 80.0]),
        rated_h=20.0,
        peukert=np.array([1.3, 1.1, 1.3, 1.03]),
    )
    assert np.shape(used) == (3, 4)
    assert np.all(np.asarray(used)[:, 0] > np.asarray(used)[:, 2])


@pytest.mark.parametrize(("chemistry", "printed"), [("flooded", "13.1"), ("lfp", "7.5")])
def test_charging_back(chemistry: str, printed: str) -> None:
    """32 Ah at 5 A, from memory."""
    assert f"{charging_h(chemistry=chemistry, charge_ah=32.0, charger_a=5.0):.1f}" == printed
    assert charging_h(chemistry=chemistry, charge_ah=0.0, charger_a=5.0) == 0.0


def test_slow_chargers() -> None:
    assert slow_charger(chemistry="gel", charger_a=7.9, capacity_ah=80.0)
    assert not slow_charger(chemistry="gel", charger_a=8.0, capacity_ah=80.0)
    assert not slow_charger(chemistry="lfp", charger_a=1.0, capacity_ah=80.0)


@given(st.floats(1, 500), *[st.floats(0, 1)] * 4)
def test_shares_add_up(rated: float, cold: float, age: float, usable: float, keep: float) -> None:
    shares = charge_shares(
        rated_ah=rated, cold_factor=cold, health=age, usable_share=usable, reserve=keep
    )
    assert min(float(part) for part in shares) >= -1e-12
    assert sum(float(part) for part in shares[1:]) == pytest.approx(rated, rel=1e-12)
    assert shares.left_ah == pytest.approx(rated * cold * age * usable * (1 - keep), abs=1e-9)


def test_what_a_100_ah_agm_leaves_kindly() -> None:
    shares = charge_shares(
        rated_ah=100.0,
        cold_factor=cold_factor(chemistry="agm", temperature_c=25.0),
        health=1.0,
        usable_share=usable_share(chemistry="agm", policy="everyday"),
        reserve=0.0,
    )
    assert shares.left_ah == pytest.approx(50.0)
