"""Cable by its area, the motor's lead, contacts, runs, fuses above 50 V."""

import numpy as np
import pytest

from keelwatt.physics.cable import ampacity_a, awg_area_mm2
from keelwatt.physics.metric import (
    CLASS_5_OHM_KM,
    cable_run_m,
    circuit_resistance_ohm,
    conductor_ohm_m,
    copper_factor,
    lead_area_mm2,
    metric_resistance_ohm_m,
)
from keelwatt.physics.protection import (
    STANDARD_FUSES_A,
    largest_fuse_at_a,
    licensed_person_advised,
)


def test_drop_of_4_mm2() -> None:
    """4 mm2 plain, 1.4 m one way, 30 A, 30 degC: 0.432 V, computed; by the circuit's parts."""
    cable = metric_resistance_ohm_m(area_mm2=4.0)
    assert f"{2 * 1.4 * 30 * cable:.3f}" == "0.432"
    bare = circuit_resistance_ohm(run_m=1.4, cable_ohm_m=cable, lead_m=0.0, contacts_ohm=0.0)
    assert f"{30 * bare:.3f}" == "0.432"
    whole = circuit_resistance_ohm(run_m=1.4, cable_ohm_m=cable, lead_m=0.5, lead_ohm_m=0.004)
    assert whole - bare == pytest.approx(2 * 0.5 * 0.004 + 0.003)


@pytest.mark.parametrize("tinned", [False, True])
def test_more_copper_never_resists_more(tinned: bool) -> None:
    area = np.sort(np.concatenate([np.linspace(0.3, 300, 20_000), list(CLASS_5_OHM_KM)]))
    resistance = metric_resistance_ohm_m(area_mm2=area, tinned=tinned)
    assert np.all(np.diff(resistance) <= 0)
    assert np.all(resistance > copper_factor(temperature_c=30.0) / 58 / area)


@pytest.mark.parametrize(("area_mm2", "ohm_km"), CLASS_5_OHM_KM.items())
def test_every_row_of_the_standard_is_of_the_same_copper(
    area_mm2: float, ohm_km: tuple[float, float]
) -> None:
    """The standard's largest resistance is 19 to 20 ohm mm2/km of the nominal area throughout, and
    1.8 to 3.1 % more with a coat of tin: a digit wrongly copied stands out."""
    plain, tinned = ohm_km
    assert 19.0 <= plain * area_mm2 <= 20.0
    assert 1.018 <= tinned / plain <= 1.031


def test_an_unlisted_area() -> None:
    """5 mm2: a 58th of an ohm by the area, and 10 % more."""
    at = metric_resistance_ohm_m(area_mm2=5.0, temperature_c=20.0)
    assert at == pytest.approx(1.1 / 58 / 5)


@pytest.mark.parametrize(
    ("current_a", "gauge"), [(10.0, 18), (15.0, 16), (30.0, 10), (40.1, 8), (360.0, -3)]
)
def test_the_motors_own_lead(current_a: float, gauge: int) -> None:
    area = lead_area_mm2(max_current_a=current_a)
    assert area == pytest.approx(awg_area_mm2(gauge=gauge))
    assert ampacity_a(area_mm2=area, insulation_c=75) >= current_a
    assert (
        gauge == 18
        or ampacity_a(area_mm2=awg_area_mm2(gauge=gauge + (1 if gauge < 4 else 2)), insulation_c=75)
        < current_a
    )


def test_above_the_table_leads_lie_side_by_side() -> None:
    """360 A is what 4/0 carries; 540 A take half as much again."""
    area = lead_area_mm2(max_current_a=np.array([30.0, 540.0]))
    assert area == pytest.approx(np.array([1.0, 1.5]) * awg_area_mm2(gauge=np.array([10, -3])))


@pytest.mark.parametrize(
    ("by_area", "tinned", "ohm_km"),
    [(True, False, 4.95), (True, True, 5.09), (False, False, 1000 / 58 / 4)],
)
def test_a_conductor_is_what_it_is_sold_as(by_area: bool, tinned: bool, ohm_km: float) -> None:
    """4 mm2 by IEC 60228 or as plain copper; 30 degC is 3.93 % more."""
    ohm_m = conductor_ohm_m(area_mm2=4.0, by_area=by_area, tinned=tinned)
    assert 1000 * ohm_m == pytest.approx(1.0393 * ohm_km)


def test_a_run_of_4_mm2_and_all_that_is_on_its_way() -> None:
    """1.4 m one way at 30 A: 0.432 V; 1 m of 10 AWG 0.204 V; 3 milliohm 0.09 V."""
    cable_ohm_m = conductor_ohm_m(area_mm2=4.0, by_area=True)
    lead_ohm_m = conductor_ohm_m(area_mm2=5.261, by_area=False)
    whole = circuit_resistance_ohm(run_m=1.4, cable_ohm_m=cable_ohm_m, lead_ohm_m=lead_ohm_m)
    assert f"{30 * whole:.3f}" == "0.727"


def test_a_run_goes_by_its_points() -> None:
    stern, control, locker = (-2.0, 0.0, 0.5), (0.0, 0.5, 0.25), (1.0, 0.0, 0.25)
    both = cable_run_m(points=[locker, control, stern], allowance_m=0.3)
    parts = [cable_run_m(points=p) for p in ([locker, control], [control, stern])]
    assert both == pytest.approx(sum(parts) + 0.3)
    assert both > cable_run_m(points=[locker, stern], allowance_m=0.3)
    assert cable_run_m(points=[locker]) == 0.0


def test_fuses_by_voltage() -> None:
    """95 A of ampacity: half as much again below 50 V, the next standard size from there on."""
    at = {"ampacity_a": 95.0, "over_ampacity": 1.5}
    assert largest_fuse_at_a(bank_voltage_v=49.9, **at) == pytest.approx(142.5)
    assert largest_fuse_at_a(bank_voltage_v=50.0, **at) == 100.0
    with pytest.raises(ValueError, match=r"1 to 1\.5 times"):
        largest_fuse_at_a(bank_voltage_v=50.0, **{**at, "over_ampacity": 1.6})
    assert list(STANDARD_FUSES_A) == sorted(set(STANDARD_FUSES_A))


def test_who_should_wire_it() -> None:
    volts = np.array([14.6, 50.0, 57.6, 58.4])
    assert np.asarray(licensed_person_advised(charging_voltage_v=volts)).tolist() == [
        *(False, False, True, True)
    ]
