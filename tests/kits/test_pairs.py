"""The largest displacement of a pair against an independent scan with the proof's own assessor."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.block import Block
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.choose.sums import COLUMN
from keelwatt.explain.amounts import amounts
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Leg, Load, Outing, read_outing
from keelwatt.kits import DEMANDS, NEVER, Found, Types
from keelwatt.kits.least import NEVER as NEVER_CENTS
from keelwatt.kits.pairs import COARSE_G, lightest_g, reached
from keelwatt.proof import Assessment, Assessor
from keelwatt.proof.ways import Way
from oracle.cheap_water import CheapAssessor
from oracle.enumeration import sound_kits
from oracle.ledger import every_couple, some_kit, w_max_g, whole_table
from oracle.one_of_each import (
    BATTERY,
    CABLE,
    CATALOG,
    MOTOR,
    OUTING,
    with_craft,
    with_leg,
    with_limits,
)
from oracle.random_cases import Case, random_case

ROOT = Path(__file__).parents[2]

MISS = 2e-4
"""W_max may lie below the truth by what ``SAFE_SIDE`` adds to the resistance, as a share."""


def ballasted(case: Case, kit: Kit, displacement_g: int) -> Assessment:
    """The kit with ballast on the centreline and midship that brings the boat to a displacement."""
    own_g = case.assessor.assess(kit).totals.displacement_g
    ballast = Load(name="ballast", mass_kg=(displacement_g - own_g) / 1000, x_m=0, y_m=0, z_m=0)
    towed = {"towed_displacement_kg": case.load_case.towed_kg}
    outing = case.outing.model_copy(
        update={
            "aboard": (*case.outing.aboard, ballast),
            "craft": case.outing.craft.model_copy(update=towed),
        }
    )
    assessment = CheapAssessor(outing, case.catalog).assess(kit)
    assert assessment.totals.displacement_g == displacement_g
    return assessment


def holds_at(case: Case, kit: Kit, displacement_g: int, demand: str) -> bool:
    limits = ballasted(case, kit, displacement_g).limits
    return {limit.name: limit.holds for limit in limits}[demand]


def heaviest_wiring_g(case: Case) -> int:
    return case.search.types.least_wiring.heaviest_g


def scanned(case: Case) -> dict[str, int]:
    """How many W_max of a case lay inside the range, by demand; all checked."""
    search, inside = case.search, dict.fromkeys(DEMANDS, 0)
    if not whole_table(search).run.size:
        return inside
    couples = every_couple(search)
    w_max_of = w_max_g(search, couples)
    heaviest_g = lightest_g(search.types, couples.bank, couples.drive) + heaviest_wiring_g(case)
    for row, (b, d) in enumerate(zip(couples.bank.tolist(), couples.drive.tolist(), strict=True)):
        kit = some_kit(search, b, d)
        own_g = case.assessor.assess(kit).totals.displacement_g
        for demand in DEMANDS:
            if demand == "top_speed" and case.outing.limits.top_speed_m_s is None:
                continue
            w_max = int(w_max_of[demand][row])
            heavy_g = int(heaviest_g[row])
            if own_g <= w_max < heavy_g:
                inside[demand] += 1
                assert holds_at(case, kit, w_max, demand)
                assert not holds_at(case, kit, round(w_max * (1 + MISS)) + 2, demand)
            elif w_max == search.types.cap_g:
                assert holds_at(case, kit, heavy_g, demand)
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
    couples = every_couple(case.search)
    if not (couples.bank.size and whole_table(case.search).run.size):
        return (case,)
    kit = some_kit(case.search, int(couples.bank[-1]), int(couples.drive[-1]))
    own_g = case.assessor.assess(kit).totals.displacement_g
    light_g = lightest_g(case.search.types, couples.bank[-1:], couples.drive[-1:])
    halfway_g = (own_g + int(light_g[0]) + heaviest_wiring_g(case)) // 2
    still = case.assessor.run(kit, case.assessor.chosen(kit), halfway_g, Way(0.0, 0.0, 0.0))
    reached = Assessor.speed_reached_m_s(case.assessor, still)
    fast = with_day(case, Leg(name="fast", speed_m_s=reached, duration_h=0.1), reached)
    brief = Leg(name="long", speed_m_s=0.8 * reached, duration_h=1.0)
    hours = ballasted(with_day(case, brief), kit, halfway_g).hours_at_limit
    return case, fast, with_day(case, brief.model_copy(update={"duration_h": hours}))


SEEDS = (0, 1, 4, 5, 6)
"""Quick cases, in which every demand decides somewhere; the others are in the sweep."""
FAILED = 494


def test_w_max_is_where_the_proof_begins_to_refuse() -> None:
    inside = dict.fromkeys(DEMANDS, 0)
    for seed in SEEDS:
        for case in strained(random_case(seed)):
            for demand, count in scanned(case).items():
                inside[demand] += count
    assert all(count >= 2 for count in inside.values()), inside


def test_w_max_of_a_seed_that_once_failed() -> None:
    for case in strained(random_case(FAILED)):
        scanned(case)


@pytest.mark.slow
@pytest.mark.parametrize("seed", sorted({*range(25), *range(100, 500)} - {*SEEDS, FAILED}))
def test_w_max_is_where_the_proof_begins_to_refuse_at_length(seed: int) -> None:
    for case in strained(random_case(seed)):
        scanned(case)


def test_w_max_on_true_water() -> None:
    """The chopper at 1.35 m/s on the wave integral itself, for about as long as the bank lasts."""
    heavy = BATTERY.model_copy(update={"id": "heavy", "mass_kg": 60.0})
    rope = CABLE.model_copy(update={"id": "rope", "mass_kg_m": 10.0})
    catalog = replace(CATALOG, batteries=(BATTERY, heavy), cables=(CABLE, rope))
    outing = with_leg(speed_m_s=1.35, headwind_m_s=0.0, duration_h=9.3)
    load_case = LoadCase(outing)
    search = Search(load_case, catalog)
    kit = some_kit(search, 0, 1)
    assert kit.controller == "controller"
    couple = Found(np.array([0]), np.array([1]), np.array([0]))
    w_max = int(w_max_g(search, couple)["hours"][0])
    own_g = Assessor(outing, catalog).assess(kit).totals.displacement_g
    assert own_g <= w_max < search.types.cap_g

    def hours_hold(displacement_g: int) -> bool:
        ballast = Load(name="b", mass_kg=(displacement_g - own_g) / 1000, x_m=0, y_m=0, z_m=0)
        loaded = outing.model_copy(update={"aboard": (*outing.aboard, ballast)})
        limits = Assessor(loaded, catalog).assess(kit).limits
        return {limit.name: limit.holds for limit in limits}["hours"]

    assert hours_hold(w_max)
    assert not hours_hold(w_max + 20)


def test_the_waters_tables_go_as_far_as_any_motor_drives_a_boat() -> None:
    """The proof tells how far: the motor turning without load on the bank when fresh."""
    for case in map(random_case, range(6)):
        types, proof = case.search.types, case.assessor
        offered = {types.motors[number].id for number in types.drive_types[:, 0].tolist()}
        for kit in sound_kits(case.outing, case.catalog):
            if kit.motor in offered:
                fastest_m_s = proof.drive(kit, proof.chosen(kit), types.cap_g).fastest_m_s
                heaviest_kg = types.cap_g / 1000.0
                assert types.displacements.reaches(heaviest_kg, fastest_m_s), (case.seed, kit)


def test_voltages_that_differ_are_no_couple() -> None:
    battery = BATTERY.model_copy(update={"id": "b24", "system_v": 24, "voltage_v": 24.0})
    motor = MOTOR.model_copy(update={"id": "m24", "system_v": 24})
    catalog = replace(CATALOG, batteries=(BATTERY, battery), motors=(MOTOR, motor), controllers=())
    couples = Search(LoadCase(OUTING), catalog).contenders.worth_keeping(Question("cost"))
    assert set(zip(couples.bank.tolist(), couples.drive.tolist(), strict=True)) == {(0, 0), (1, 1)}


def test_two_in_series_make_a_couple_with_a_motor_of_twice_the_voltage() -> None:
    battery = BATTERY.model_copy(update={"max_series": 2, "max_parallel": 2})
    motor = MOTOR.model_copy(update={"system_v": 24})
    catalog = replace(CATALOG, batteries=(battery,), motors=(motor,), controllers=())
    (box,) = OUTING.craft.compartments
    roomy = with_craft(compartments=(box.model_copy(update={"length_m": 1.4}),))
    search = Search(LoadCase(roomy), catalog)
    types = search.types
    assert types.bank_types[:, 1:3].tolist() == [[2, 1], [2, 2]]
    assert types.bank["system_v"].tolist() == [24, 24]
    assert types.bank["mass_g"].tolist() == [40000, 80000]
    assert types.bank["continuous_a"].tolist() == [60.0, 120.0]
    assert types.bank["short_circuit_a"].tolist() == [2000.0, 4000.0]
    assert every_couple(search).drive.tolist() == [0, 0]


def served(outing: Outing) -> dict[str, int]:
    search = Search(LoadCase(outing), replace(CATALOG, controllers=()))
    w_max_of = w_max_g(search, every_couple(search))
    return {demand: int(w_max_of[demand][0]) for demand in DEMANDS}


def test_no_top_speed_wished_is_no_demand() -> None:
    cap_g = Types(LoadCase(OUTING), replace(CATALOG, controllers=())).cap_g
    assert served(OUTING)["top_speed"] == cap_g
    assert served(with_limits(top_speed_m_s=2.9))["top_speed"] == NEVER


@pytest.mark.parametrize(("hours", "enough"), [(9.52, True), (9.53, False)])
def test_hours_to_the_last(hours: float, enough: bool) -> None:
    """40 Ah at 4.2 A last 9.5238 h, whatever the displacement: the boat holds its place."""
    w_max = served(with_leg(duration_h=hours))["hours"]
    assert (w_max != NEVER) is enough


@pytest.mark.parametrize("seed", range(12))
def test_what_couples_may_weigh_is_known_of_every_narrower_range(seed: int) -> None:
    """Asked in any order, of ranges within, beyond and beside those asked before, the answer is
    that of a search that was never asked."""
    case, r = random_case(seed), np.random.default_rng(seed)
    couples = every_couple(case.search)[:200]
    bare_g = lightest_g(case.search.types, couples.bank, couples.drive)
    reused = Search(case.load_case, case.catalog).contenders
    for _ in range(6):
        low_g = bare_g + r.integers(0, 4000, bare_g.size)
        high_g = low_g + r.integers(0, 30_000, bare_g.size)
        fresh = Search(case.load_case, case.catalog).contenders.pairs(couples, low_g, high_g)
        again = reused.pairs(couples, low_g, high_g)
        for demand, most_g in fresh.w_max_g.items():
            assert again.w_max_g[demand].tolist() == most_g.tolist()


@pytest.mark.parametrize("seed", range(12))
def test_what_nothing_charges_in_time_is_in_no_kit_by_any_measure(seed: int) -> None:
    case = random_case(seed)
    ground, banks = case.search.contenders.ground, case.search.types.bank
    in_time = ground.charger_cents(6.0) < NEVER_CENTS
    for measure, column in COLUMN.items():
        adds = ground.of_banks(measure, 6.0, charger=True)
        assert ((adds < NEVER_CENTS) == in_time).all()
        assert (adds >= banks[column]).all()
    assert (ground.of_banks("mass", 6.0, charger=True)[in_time] == banks["mass_g"][in_time]).all()


@pytest.mark.parametrize("seed", range(16))
def test_no_couple_is_said_to_reach_less_than_its_kits_do(seed: int) -> None:
    search = random_case(seed).search
    couples, block = every_couple(search), Block.of(whole_table(search), search.names)
    kits = np.arange(block.bank.size)
    top_m_s, share = (np.full(couples.bank.size, -1.0) for _ in range(2))
    np.maximum.at(top_m_s, block.couple, amounts(block, "top_speed", kits))
    np.maximum.at(share, block.couple, amounts(block, "leg_speed", kits))
    pairs = search.types, couples.bank, couples.drive
    for asked in (0.5, 1.5, 2.5, 3.5):
        assert reached(*pairs, 0.0, asked)[top_m_s > asked].all()
    for asked in (0.3, 0.7, 1.0):
        assert reached(*pairs, asked, 0.0)[share > asked].all()
    assert reached(*pairs, 0.0, 0.0).all()


def test_a_top_speed_far_above_the_legs_is_judged_by_its_own_waves() -> None:
    """Choppers on a slow day, whose waves nothing else asks for up to there."""
    outing = read_outing(ROOT / "examples" / "reservoir-sampling" / "outing.toml")
    slow = [leg.model_copy(update={"speed_m_s": 0.3 * leg.speed_m_s}) for leg in outing.legs]
    limits = outing.limits.model_copy(update={"top_speed_m_s": None})
    day = outing.model_copy(update={"legs": tuple(slow), "limits": limits})
    types = Types(LoadCase(day), read_catalog(shipped_catalog()))
    bank, drive = np.nonzero(
        (types.bank["system_v"][:, None] == types.drive["system_v"]) & types.drive["chopper"]
    )
    light_g = lightest_g(types, bank, drive) // COARSE_G * COARSE_G
    boats = types.day.running(bank, drive, np.maximum(light_g, types.case.bare_g))
    kept = {asked: reached(types, bank, drive, 0.0, asked) for asked in np.arange(0.8, 2.4, 0.05)}
    for asked, good in kept.items():
        assert good.tolist() == boats.in_calm(np.array([asked])).feasible.tolist()
    assert 0 < sum(good.mean() for good in kept.values()) < len(kept)
