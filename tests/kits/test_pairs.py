"""The largest displacement of a pair against an independent scan with the proof's own assessor."""

from dataclasses import replace

import numpy as np
import pytest

from keelwatt.boat.facts import Facts
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Leg, Load, Outing
from keelwatt.kits import DEMANDS, NEVER, candidates
from keelwatt.kits.pairs import pair_tables
from keelwatt.proof import Assessment, Assessor
from oracle.cheap_water import CheapAssessor
from oracle.one_of_each import (
    BATTERY,
    CATALOG,
    MOTOR,
    OUTING,
    with_craft,
    with_leg,
    with_limits,
)
from oracle.random_cases import Case, random_case

MISS = 2e-4
"""W_max may lie below the truth by what ``SAFE_SIDE`` adds to the resistance, as a share."""


def kit_of(case: Case, bank: int, drive: int) -> Kit:
    """The kit of a bank's and a drive's row, with whatever wiring comes first."""
    table = case.table
    kit = table.kit(bank, drive, 0, None)
    craft = case.outing.craft
    box = next(b for b in craft.compartments if b.name == kit.compartment)
    mount = next(m for m in craft.mounts if m.name == kit.mount)
    return replace(kit, run_m=case.facts.run_m(box, mount))


def ballasted(case: Case, kit: Kit, displacement_g: int) -> Assessment:
    """The kit with ballast on the centreline and midship that brings the boat to a displacement."""
    own_g = case.assessor.assess(kit).totals.displacement_g
    ballast = Load(name="ballast", mass_kg=(displacement_g - own_g) / 1000, x_m=0, y_m=0, z_m=0)
    outing = case.outing.model_copy(update={"aboard": (*case.outing.aboard, ballast)})
    assessment = CheapAssessor(outing, case.catalog).assess(kit)
    assert assessment.totals.displacement_g == displacement_g
    return assessment


def holds_at(case: Case, kit: Kit, displacement_g: int, demand: str) -> bool:
    limits = ballasted(case, kit, displacement_g).limits
    return {limit.name: limit.holds for limit in limits}[demand]


def scanned(case: Case) -> dict[str, int]:
    """How many W_max of a case lay inside the range, by demand; all checked."""
    table = case.table
    pairs = pair_tables(case.facts, table.banks, table.drives, table.pairs.cap_g)
    inside = dict.fromkeys(DEMANDS, 0)
    if table.wiring.empty:
        return inside
    banks = table.banks.drop_duplicates("type").index
    drives = table.drives.drop_duplicates("type").index
    for b, d in np.argwhere(pairs.matched):
        kit = kit_of(case, int(banks[b]), int(drives[d]))
        own_g = case.assessor.assess(kit).totals.displacement_g
        for demand in DEMANDS:
            if demand == "top_speed" and case.outing.limits.top_speed_m_s is None:
                continue
            w_max = int(pairs.w_max_g[demand][b, d])
            if own_g <= w_max < pairs.cap_g:
                inside[demand] += 1
                assert holds_at(case, kit, w_max, demand)
                assert not holds_at(case, kit, round(w_max * (1 + MISS)) + 2, demand)
            elif w_max == pairs.cap_g >= own_g:
                assert holds_at(case, kit, w_max, demand)
            elif w_max == NEVER:
                assert not holds_at(case, kit, round(own_g * (1 + MISS)) + 2, demand)
    return inside


def with_day(case: Case, leg: Leg, top_speed_m_s: float | None = None) -> Case:
    """The case with one leg, no devices, and another top speed."""
    limits = case.outing.limits.model_copy(update={"top_speed_m_s": top_speed_m_s})
    update = {"legs": (leg,), "devices": (), "limits": limits}
    return replace(case, outing=case.outing.model_copy(update=update))


def strained(case: Case) -> tuple[Case, ...]:
    """The case as it is, and with a day its last pair just manages half way to the heaviest kit.

    Once the leg and the top speed are as fast as it can, once the leg is as long.
    """
    table, pairs = case.table, case.table.pairs
    if table.wiring.empty or not pairs.matched.any():
        return (case,)
    b, d = np.argwhere(pairs.matched)[-1]
    kit = kit_of(
        case,
        int(np.flatnonzero(table.banks["type"] == b)[0]),
        int(np.flatnonzero(table.drives["type"] == d)[0]),
    )
    own_g = case.assessor.assess(kit).totals.displacement_g
    halfway_g = (own_g + pairs.cap_g) // 2
    reached = Assessor.speed_reached_m_s(
        case.assessor,
        kit,
        case.assessor.chosen(kit),
        halfway_g,
        headwind_m_s=0.0,
        current_m_s=0.0,
    )
    fast = with_day(case, Leg(name="fast", speed_m_s=reached, duration_h=0.1), reached)
    brief = Leg(name="long", speed_m_s=0.8 * reached, duration_h=1.0)
    hours = ballasted(with_day(case, brief), kit, halfway_g).hours_at_limit
    return case, fast, with_day(case, brief.model_copy(update={"duration_h": hours}))


def test_w_max_is_where_the_proof_begins_to_refuse() -> None:
    inside = dict.fromkeys(DEMANDS, 0)
    for seed in range(15):
        for case in strained(random_case(seed)):
            for demand, count in scanned(case).items():
                inside[demand] += count
    assert all(count >= 5 for count in inside.values()), inside


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 500))
def test_w_max_is_where_the_proof_begins_to_refuse_at_length(seed: int) -> None:
    for case in strained(random_case(seed)):
        scanned(case)


def test_w_max_on_true_water() -> None:
    """The chopper at 1.35 m/s on the wave integral itself, for about as long as the bank lasts."""
    heavy = BATTERY.model_copy(update={"id": "heavy", "mass_kg": 60.0})
    catalog = replace(CATALOG, batteries=(BATTERY, heavy))
    outing = with_leg(speed_m_s=1.35, headwind_m_s=0.0, duration_h=9.3)
    facts = Facts(outing)
    table = candidates(facts, catalog)
    kit = table.kit(0, 1, 0, None)
    assert kit.controller == "controller"
    pairs = pair_tables(facts, table.banks, table.drives, table.pairs.cap_g)
    w_max = int(pairs.w_max_g["hours"][0, 1])
    own_g = Assessor(outing, catalog).assess(kit).totals.displacement_g
    assert own_g <= w_max < pairs.cap_g

    def hours_hold(displacement_g: int) -> bool:
        ballast = Load(name="b", mass_kg=(displacement_g - own_g) / 1000, x_m=0, y_m=0, z_m=0)
        loaded = outing.model_copy(update={"aboard": (*outing.aboard, ballast)})
        limits = Assessor(loaded, catalog).assess(kit).limits
        return {limit.name: limit.holds for limit in limits}["hours"]

    assert hours_hold(w_max)
    assert not hours_hold(w_max + 20)


def test_voltages_that_differ_are_no_pair() -> None:
    battery = BATTERY.model_copy(update={"id": "b24", "system_v": 24, "voltage_v": 24.0})
    motor = MOTOR.model_copy(update={"id": "m24", "system_v": 24})
    catalog = replace(CATALOG, batteries=(BATTERY, battery), motors=(MOTOR, motor), controllers=())
    pairs = candidates(Facts(OUTING), catalog).pairs
    assert pairs.matched.tolist() == [[True, False], [False, True]]
    for demand in DEMANDS:
        assert pairs.w_max_g[demand][0, 1] == pairs.w_max_g[demand][1, 0] == pairs.cap_g
        assert np.isnan(pairs.lightest[demand][0, 1])


def test_two_in_series_make_a_pair_with_a_motor_of_twice_the_voltage() -> None:
    battery = BATTERY.model_copy(update={"max_series": 2, "max_parallel": 2})
    motor = MOTOR.model_copy(update={"system_v": 24})
    catalog = replace(CATALOG, batteries=(battery,), motors=(motor,), controllers=())
    (box,) = OUTING.craft.compartments
    roomy = with_craft(compartments=(box.model_copy(update={"length_m": 1.4}),))
    table = candidates(Facts(roomy), catalog)
    assert table.banks[["series", "parallel"]].to_numpy().tolist() == [[2, 1], [2, 2]]
    assert table.banks["system_v"].tolist() == [24, 24]
    assert table.banks["mass_g"].tolist() == [40000, 80000]
    assert table.banks["continuous_a"].tolist() == [60.0, 120.0]
    assert table.banks["short_circuit_a"].tolist() == [2000.0, 4000.0]
    assert table.pairs.matched.all()


def served(outing: Outing) -> dict[str, int]:
    pairs = candidates(Facts(outing), replace(CATALOG, controllers=())).pairs
    return {demand: int(pairs.w_max_g[demand][0, 0]) for demand in DEMANDS}


def test_no_top_speed_wished_is_no_demand() -> None:
    pairs = candidates(Facts(OUTING), replace(CATALOG, controllers=())).pairs
    assert served(OUTING)["top_speed"] == pairs.cap_g
    assert served(with_limits(top_speed_m_s=2.9))["top_speed"] == NEVER


@pytest.mark.parametrize(("hours", "enough"), [(9.52, True), (9.53, False)])
def test_hours_to_the_last(hours: float, enough: bool) -> None:
    """40 Ah at 4.2 A last 9.5238 h, whatever the displacement: the boat holds its place."""
    w_max = served(with_leg(duration_h=hours))["hours"]
    assert (w_max != NEVER) is enough
