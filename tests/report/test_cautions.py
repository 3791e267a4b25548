"""Cautions that hang on the kit: each at its bound, from common practice."""

from dataclasses import replace

import pytest

from keelwatt.boat.load_case import LoadCase
from keelwatt.files.outing import Box, Outing
from keelwatt.proof import Assessor
from keelwatt.report.cautions import cautions, warnings
from keelwatt.units.shown import US, written_in
from oracle.one_of_each import CATALOG, CHARGER, KIT, OUTING, with_craft, with_leg, with_part
from proof.reckoned import CHOPPED, assess

CHARGED = replace(KIT, charger="charger")


@pytest.mark.parametrize(
    ("chemistry", "parallel", "charger_a", "slow"),
    [
        ("agm", 1, 10.0, False),
        ("agm", 1, 9.9, True),
        ("flooded", 2, 19.9, True),
        ("flooded", 2, 20.0, False),
        ("lfp", 1, 5.0, False),
    ],
)
def test_lead_acid_wants_a_tenth_of_its_capacity(
    chemistry: str, parallel: int, charger_a: float, slow: bool
) -> None:
    """100 Ah a string (common practice)."""
    catalog = replace(
        with_part("batteries", chemistry=chemistry),
        chargers=(CHARGER.model_copy(update={"current_a": charger_a}),),
    )
    kit = replace(CHARGED, parallel=parallel)
    found = cautions(
        LoadCase(OUTING), assess(kit, OUTING, catalog), Assessor(OUTING, catalog).chosen(kit)
    )
    told = " ".join(each.text for each in found)
    assert (f"A {charger_a:g} A charger is slow for {100 * parallel} Ah" in told) is slow


def test_without_a_charger_none_is_slow() -> None:
    chosen = Assessor(OUTING, CATALOG).chosen(KIT)
    found = cautions(LoadCase(OUTING), assess(), chosen)
    assert not any("charger is slow" in each.text for each in found)


@pytest.mark.parametrize(
    ("chemistry", "volts", "series", "advised"),
    [
        ("agm", 12.0, 4, True),
        ("agm", 12.0, 3, False),
        ("lfp", 12.8, 4, True),
        ("nmc", 44.0, 1, False),
        ("nmc", 44.1, 1, True),
    ],
)
def test_above_50_volts_of_charging_a_licensed_person_wires_it(
    chemistry: str, volts: float, series: int, advised: bool
) -> None:
    """57.6, 43.2 and 58.4 V; 3.7 V of other lithium are charged at 4.2: 49.95 and 50.06 V."""
    catalog = with_part("batteries", chemistry=chemistry, voltage_v=volts, max_series=4)
    kit = replace(KIT, series=series)
    found = cautions(
        LoadCase(OUTING), assess(kit, OUTING, catalog), Assessor(OUTING, catalog).chosen(kit)
    )
    told = " ".join(each.text for each in found)
    assert ("have a licensed person wire it" in told) is advised


@pytest.mark.parametrize(
    ("wind_m_s", "told"),
    [
        (4.0, "(24 W) a closed box of 20 cm x 15 cm x 8 cm holds it at 34 degC, 3.70 degC above"),
        (9.1, "(224 W) a closed box of 20 cm x 15 cm x 8 cm holds it at 65 degC, 35.2 degC above"),
    ],
)
def test_a_control_wants_air(wind_m_s: float, told: str) -> None:
    """0.4 * 4.2 A and 0.91 * 17.562 A of 12 V, through 0.9 and 0.95; 0.1 of it over 0.116 m2."""
    outing = with_leg(headwind_m_s=wind_m_s)
    found = {
        each.name: each.text
        for each in cautions(
            LoadCase(outing), assess(CHOPPED, outing), Assessor(outing, CATALOG).chosen(CHOPPED)
        )
    }
    assert told in found["hot control"]
    assert ("take a larger box" in found["hot control"]) is (wind_m_s > 9.0)


def test_the_heat_of_a_control_is_told_in_degrees_as_typed() -> None:
    """34 degC is 93 degF, 3.696 K are 6.65 degF."""
    with written_in(US):
        found = cautions(
            LoadCase(OUTING), assess(CHOPPED), Assessor(OUTING, CATALOG).chosen(CHOPPED)
        )
        told = next(each.text for each in found if each.name == "hot control")
    assert "93 degF, 6.65 degF above the air; it stands 149 degF" in told


def test_no_caution_where_there_is_no_control_or_its_box_is_a_rule() -> None:
    boxed = with_craft(control_box=Box(length_m=0.2, width_m=0.15, height_m=0.08))
    for kit, outing in ((KIT, OUTING), (CHOPPED, boxed)):
        found = cautions(
            LoadCase(outing), assess(kit, outing), Assessor(outing, CATALOG).chosen(kit)
        )
        assert "hot control" not in {each.name for each in found}


def on_legs(outing: Outing, *legs: tuple[float, float | None]) -> str:
    """What is told of legs of a speed and a depth in calm water."""
    calm = {"headwind_m_s": 0.0, "name": "out"}
    made = tuple(
        OUTING.legs[0].model_copy(update={**calm, "speed_m_s": speed, "depth_m": depth})
        for speed, depth in legs
    )
    return " ".join(warnings(LoadCase(outing.model_copy(update={"legs": made}))))


@pytest.mark.parametrize(
    ("length_m", "speed_m_s", "depth_m", "told"),
    [
        (4.0, 0.379 * (9.80665 * 4.0) ** 0.5, None, ""),
        (4.0, 0.381 * (9.80665 * 4.0) ** 0.5, None, "up to a Froude number of 0.38 (yours: 0.38)"),
        (3.5, 1.0, None, "at least 4 times as long as wide (yours: 3.9)"),
        (4.0, 2.09, 0.6, "(yours: 0.38)"),
    ],
)
def test_where_thin_ship_theory_is_not_trusted(
    length_m: float, speed_m_s: float, depth_m: float | None, told: str
) -> None:
    """From 4 times as long as wide, to a Froude number of 0.38; in 0.6 m, 2.09 m/s is 2.40."""
    outing = with_craft(waterline_length_m=length_m)
    found = on_legs(outing, (speed_m_s, depth_m))
    assert told in found
    assert bool(told) == bool(found)


TOWED = with_craft(towed=((1.0, 10.0), (1.5, 25.0)), drag_factor=1.0)


@pytest.mark.parametrize(
    ("speed_m_s", "depth_m", "outside"),
    [
        (0.79, None, True),
        (0.81, None, False),
        (1.94, None, False),
        (1.96, None, True),
        (0.0, None, False),
        (1.9, 0.6, True),
    ],
)
def test_a_towed_line_serves_near_the_speeds_it_was_measured_at(
    speed_m_s: float, depth_m: float | None, outside: bool
) -> None:
    """From 0.8 to 1.3 times, no matter what thin-ship theory says. In 0.6 m, 1.9 m/s is 2.04."""
    found = on_legs(TOWED, (1.2, None), (speed_m_s, depth_m))
    assert ("was towed at 3.6 km/h to 5.4 km/h" in found) is outside
    assert ("'out' lies outside. Tow it at such a speed too" in found) is outside
    assert "thin-ship" not in found


def test_a_leg_in_water_too_shallow_for_its_speed() -> None:
    """In 40 cm a boat of 110 kg goes no faster than 1.677 m/s, 6.037 km/h."""
    assert on_legs(TOWED, (1.67, 0.4)).count("of water this boat") == 0
    found = on_legs(TOWED, (1.72, 0.4))
    assert "In 40 cm of water this boat goes no faster than 6.03 km/h" in found
    assert "'out' asks for 6.2 km/h through the water" in found
