"""Cable and protection against published tables."""

import numpy as np
import pytest

from keelwatt.physics.cable import (
    AMPACITY_A,
    INSULATIONS_C,
    ampacity_a,
    awg_area_mm2,
    resistance_ohm_m,
)
from keelwatt.physics.metric import metric_resistance_ohm_m
from keelwatt.physics.protection import (
    FUSE_WITHIN_M,
    MOST_OVER_AMPACITY,
    SMALLEST_CONDUCTOR_MM2,
    largest_fuse_at_a,
)

FOOT_M = 0.3048
CIRCULAR_MIL_MM2 = np.pi / 4 * 0.0254**2

# 33 CFR 183.425, Table 5, every column as federal.elaws.us reprints it.
TABLE_5 = """
18 10 10 15 20 20 25 25
16 15 15 20 25 25 30 35
14 20 20 25 30 35 40 45
12 25 25 35 40 45 50 55
10 40 40 50 55 60 70 70
8 55 65 70 70 80 90 100
6 80 95 100 100 120 125 135
4 105 125 130 135 160 170 180
3 120 145 150 155 180 195 210
2 140 170 175 180 210 225 240
1 165 195 210 210 245 265 280
0 195 230 245 245 285 305 325
00 225 265 285 285 330 355 370
000 260 310 330 330 385 410 430
0000 300 360 385 385 445 475 510
"""
ROWS = [line.split() for line in TABLE_5.split("\n") if line]


def gauge_number(size: str) -> int:
    return 1 - len(size) if size.startswith("0") else int(size)


@pytest.mark.parametrize("row", ROWS, ids=[row[0] for row in ROWS])
def test_table_5(row: list[str]) -> None:
    area = awg_area_mm2(gauge=gauge_number(row[0]))
    for insulation_c, printed in zip((60, 75, 80, 90, 105, 125, 200), row[1:], strict=True):
        assert f"{ampacity_a(area_mm2=area, insulation_c=insulation_c):.0f}" == printed


def test_table_5_has_no_further_rows_or_columns() -> None:
    assert [gauge_number(row[0]) for row in ROWS] == list(AMPACITY_A)
    assert INSULATIONS_C == (60, 75, 80, 90, 105, 125, 200)


@pytest.mark.parametrize(
    ("insulation_c", "printed"),
    [(60, 0.58), (75, 0.75), (80, 0.78), (90, 0.82), (105, 0.85), (125, 0.89)],
)
def test_engine_space_factors(insulation_c: int, printed: float) -> None:
    """33 CFR 183.425, Table 5, note 1, for 50 degC (from memory).

    The square root gives 0.856 where 0.85 is printed.
    """
    at = {"area_mm2": 13.5, "insulation_c": insulation_c}
    factor = ampacity_a(place_temperature_c=50.0, **at) / ampacity_a(**at)
    assert factor == pytest.approx(printed, abs=0.0065)


@pytest.mark.parametrize(("gauge", "printed"), [(36, "0.1270"), (0, "8.2515"), (-3, "11.6840")])
def test_awg_diameters(gauge: int, printed: str) -> None:
    """ASTM B258: 0.0050 in for 36 AWG and 0.4600 in for 4/0 by definition; 0.32486 in for 1/0."""
    diameter_mm = np.sqrt(4 / np.pi * awg_area_mm2(gauge=gauge))
    assert f"{diameter_mm:.4f}" == printed


def test_abyc_constant_is_copper_at_29_degrees() -> None:
    """K = 10.75 ohm circular mil per foot, ABYC E-11."""
    mil_foot = FOOT_M * resistance_ohm_m(area_mm2=CIRCULAR_MIL_MM2, temperature_c=29.3)
    assert f"{mil_foot:.2f}" == "10.75"


def test_abyc_voltage_drop() -> None:
    """30 A, 12 V, 3 %, 20 ft out and back: 17 917 circular mils, computed from ABYC's formula."""
    mils = 10.75 * 30 * 20 / (0.03 * 12)
    assert f"{mils:.0f}" == "17917"
    run_m = 10 * FOOT_M
    at_formula = resistance_ohm_m(area_mm2=mils * CIRCULAR_MIL_MM2, temperature_c=29.3)
    assert 2 * run_m * at_formula * 30 == pytest.approx(0.36, rel=5e-5)
    drops = [
        30.0 * 2 * run_m * resistance_ohm_m(area_mm2=awg_area_mm2(gauge=gauge)) for gauge in (8, 6)
    ]
    assert drops[0] > 0.36 > drops[1]


def test_protection_rules() -> None:
    """33 CFR 183.455: 7 inches, 150 %; 183.425(e): 16 AWG for a conductor by itself."""
    assert f"{FUSE_WITHIN_M:.3f}" == f"{7 * 0.0254:.3f}"
    assert MOST_OVER_AMPACITY == 1.5
    assert awg_area_mm2(gauge=16) == pytest.approx(SMALLEST_CONDUCTOR_MM2)
    assert f"{SMALLEST_CONDUCTOR_MM2:.2f}" == "1.31"


# IEC 60228, Table 3, class 5: area, largest ohm/km at 20 degC of plain and of tinned wires.
CLASS_5 = """
2.5 7.98 8.21
4 4.95 5.09
6 3.30 3.39
10 1.91 1.95
16 1.21 1.24
25 0.780 0.795
35 0.554 0.565
50 0.386 0.393
70 0.272 0.277
95 0.206 0.210
"""


@pytest.mark.parametrize("row", CLASS_5.split("\n")[1:-1])
def test_class_5_conductors(row: str) -> None:
    area, *printed = row.split()
    for tinned, text in zip((False, True), printed, strict=True):
        at = metric_resistance_ohm_m(area_mm2=float(area), tinned=tinned, temperature_c=20.0)
        digits = len(text.split(".")[1])
        assert f"{1000 * at:.{digits}f}" == text


@pytest.mark.parametrize(
    ("ampacity_a", "printed"), [(95.0, 100.0), (100.0, 100.0), (101.0, 110.0), (22.0, 25.0)]
)
@pytest.mark.parametrize("voltage_v", [50.0, 58.4])
def test_fuses_from_50_volts(ampacity_a: float, printed: float, voltage_v: float) -> None:
    """33 CFR 183.455(c)(2): the ampacity, or the next standard size (NFPA 70, 240.6(A))."""
    at = {"ampacity_a": ampacity_a, "bank_voltage_v": voltage_v}
    assert largest_fuse_at_a(over_ampacity=1.5, **at) == printed
    assert largest_fuse_at_a(over_ampacity=1.0, **at) == ampacity_a


def test_fuses_never_pass_150_percent() -> None:
    """33 CFR 183.455(c)(1) and (2), any ampacity and voltage."""
    ampacity = np.linspace(0.5, 550, 1000)
    for voltage_v in (12.0, 58.4):
        most = largest_fuse_at_a(ampacity_a=ampacity, over_ampacity=1.5, bank_voltage_v=voltage_v)
        assert np.all(most <= 1.5 * ampacity)
        assert np.all(most >= ampacity)
