"""Peukert's law, the cold and a tired cell's volts against what others print or compute."""

import numpy as np
import pytest

from keelwatt.physics.bank import bank_voltage_v, cold_factor
from keelwatt.physics.battery import PEUKERT
from physics.laws import hours_to_empty
from published.cells import (
    CELL_V,
    RATES_H,
    VOLTS,
    VOLTS_LATE,
    kept_at_a_rate,
    kept_boxed,
    kept_in_the_cold,
)


@pytest.mark.parametrize(
    ("chemistry", "least", "most"),
    [("flooded", 1.2, 1.6), ("gel", 1.1, 1.25), ("agm", 1.05, 1.15), ("lfp", 1.0, 1.05)],
)
def test_exponents_within_the_ranges_commonly_printed(
    chemistry: str, least: float, most: float
) -> None:
    """In the same words in many places, their origin unnamed; lfp from memory."""
    assert least < PEUKERT[chemistry] < most


def test_a_battery_of_the_textbooks() -> None:
    """100 Ah at 20 h, exponent 1.2, 10 A: 8.7 h (from memory)."""
    hours = hours_to_empty(current_a=10.0, capacity_ah=100.0, rated_h=20.0, peukert=1.2)
    assert f"{hours:.1f}" == "8.7"


# github.com/ReaganCuthbert/DC-Battery-Testing, its chart of factors for batteries rated at 77 degF
# (station batteries), degF and factor, from the coldest it has to 77.
STATION_FACTORS = """
40 1.3
45 1.250
50 1.190
55 1.150
60 1.110
65 1.080
66 1.072
67 1.064
68 1.056
69 1.048
70 1.040
71 1.034
72 1.029
73 1.023
74 1.017
75 1.011
76 1.006
77 1
"""


@pytest.mark.parametrize("line", STATION_FACTORS.split("\n")[1:-1])
def test_cold_lead_acid_against_a_second_table(line: str) -> None:
    """To the last digit, straight between our temperatures; it has none below 40 degF."""
    fahrenheit, printed = (float(cell) for cell in line.split())
    ours = 1 / cold_factor(chemistry="flooded", temperature_c=(fahrenheit - 32) / 1.8)
    assert ours == pytest.approx(printed, abs=0.00051)


@pytest.mark.parametrize("temperature_c", [10, 0, -10])
def test_cold_nmc_is_on_the_safe_side(temperature_c: int) -> None:
    """Of every set and rate, by 9 to 34 %."""
    ours = cold_factor(chemistry="nmc", temperature_c=float(temperature_c))
    ratios = ours / kept_in_the_cold("nmc", temperature_c)
    assert np.all(ratios < 1.0)
    assert np.all(ratios > 0.65)


def test_cold_lfp_is_on_the_safe_side_where_it_is_drawn_slowly() -> None:
    """A cell that stays as cold as it began; faster at 0 degC and below we promise too much."""
    ten, zero, ten_below = (
        cold_factor(chemistry="lfp", temperature_c=float(at)) / kept_in_the_cold("lfp", at)[0]
        for at in (10, 0, -10)
    )
    assert np.all(ten < 1.01)
    assert np.all(zero[:2] < 1.0)
    assert zero[2] > 1.4
    assert ten_below[0] < 1.0 < ten_below[1]


@pytest.mark.parametrize("temperature_c", [10, 0, -10])
def test_cold_lfp_is_on_the_safe_side_where_it_warms_itself(temperature_c: int) -> None:
    ours = cold_factor(chemistry="lfp", temperature_c=float(temperature_c))
    assert np.all(ours < kept_boxed(temperature_c))


@pytest.mark.parametrize(("chemistry", "most_over"), [("lfp", 1.01), ("nmc", 1.0)])
def test_exponents_against_simulated_cells(chemistry: str, most_over: float) -> None:
    """From C/20 to C/2 no more is promised than the poorest set gives, lfp by 1 % but for it."""
    slower = RATES_H[0] / np.array(RATES_H)
    ours = slower ** (1 - PEUKERT[chemistry])
    assert np.all(ours <= most_over * kept_at_a_rate(chemistry))


@pytest.mark.parametrize(("chemistry", "drawn_late"), [("lfp", 0.995), ("nmc", 0.94)])
def test_low_volts_hold_to_four_fifths_drawn(chemistry: str, drawn_late: float) -> None:
    """To nine tenths drawn too for lfp; nmc falls 6 % below."""
    nominal_v = CELL_V[chemistry]
    low_v = bank_voltage_v(chemistry=chemistry, nominal_voltage_v=nominal_v, state="low")
    assert min(VOLTS[chemistry]) > 0.99 * low_v
    assert min(VOLTS_LATE[chemistry]) > drawn_late * low_v
