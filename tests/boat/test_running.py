"""Pairs at any speed, against the day at the wished speeds and the proof's own formulas."""

import numpy as np
import pytest

from keelwatt.boat.arrays import Ints
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import SAFE_SIDE, Displacements
from keelwatt.boat.running import STUCK, Running
from keelwatt.files.outing import Leg
from keelwatt.kits import DEMANDS, Types
from keelwatt.physics.drag import shaft_and_pod_n
from keelwatt.proof.craft import Craft
from oracle.ledger import every_couple
from oracle.one_of_each import CATALOG, OUTING, with_craft
from oracle.random_cases import Case, random_case

SEEDS = range(7000, 7020)


def pairs(case: Case) -> tuple[Ints, Ints, Ints]:
    """Every matched pair of a case, each at three displacements."""
    couples = every_couple(case.search)
    bank, drive = np.repeat(couples.bank, 3), np.repeat(couples.drive, 3)
    span = case.search.types.displacements
    grams = np.linspace(1000 * span.low_kg, 1000 * span.high_kg, 3).astype(np.int64)
    return bank, drive, np.tile(grams, bank.size // 3)


def running(case: Case) -> Running:
    return case.search.types.day.running(*pairs(case))


@pytest.mark.parametrize("seed", SEEDS)
def test_at_the_wished_speeds_it_is_the_day(seed: int) -> None:
    case = random_case(seed)
    run = running(case)
    count = run.water.column.size
    if not count:
        return
    day = case.search.types.day
    has = day.has(*pairs(case))
    met = {name: day.met(name, *pairs(case)) for name in (*DEMANDS, "control_heat")}
    wished = np.repeat(case.load_case.ground_speeds_m_s[:, None], count, axis=1)
    day_h, served_h = run.hours_at(wished)
    assert day_h == pytest.approx(case.load_case.outing_hours)
    assert served_h == pytest.approx(has["hours"], rel=1e-9)
    assert (run.serves(wished) == (met["hours"] & met["leg_speed"] & met["control_heat"])).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_what_steps_settle_at_may_be_worked_out_once(seed: int) -> None:
    case = random_case(seed)
    run = running(case)
    again, wished = run.repeatedly(), case.load_case.ground_speeds_m_s[:, None]
    rows = np.arange(0, run.water.column.size, 2)
    for share in (0.3, 0.8, 1.0, 1.2):
        ground = wished * share * np.ones(rows.shape)
        new, old = again.of(rows).on_legs(ground), run.of(rows).on_legs(ground)
        assert new.battery_a == pytest.approx(old.battery_a, rel=1e-6, abs=1e-9)
        assert (new.feasible == old.feasible).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_the_greatest_speed_is_just_within_reach(seed: int) -> None:
    """A hair more, and a motor is beyond its reach, its harness or its control's heat."""
    case = random_case(seed)
    place_c = case.outing.policy.place_temperature_c
    run, craft = running(case), case.assessor.craft
    speeds, drive = run.legs_reached_m_s(), run.train.drive
    _, _, displacement_g = pairs(case)
    draft_m = np.array([craft.draft_m(g / 1000.0) for g in displacement_g])
    for leg, reached in zip(case.outing.legs, speeds, strict=True):
        wind, stream = np.array([leg.headwind_m_s]), np.array([leg.current_m_s])
        depth_m = leg.depth_m or np.inf
        for share, within in ((1.0, True), (1.0 + 1e-6, False)):
            ground = np.maximum(reached, 0.0) * share
            point = run.at(ground, wind, stream, np.array([depth_m]))
            through = np.maximum(0.0, ground + leg.current_m_s)
            water = [
                craft.water_n(np.array([v]), g / 1000.0, depth_m)[0]
                for v, g in zip(through, displacement_g, strict=True)
            ]
            motor = shaft_and_pod_n(
                speed_m_s=through,
                density_kg_m3=craft.density_kg_m3,
                wet_tube_m=draft_m - (drive.hung_m - drive.shaft_m),
                tube_m=drive.tube_m,
                pod_m=drive.pod_m,
            )
            air = craft.air_n(ground, leg.headwind_m_s)
            thrust = np.array(water) * (1.0 + SAFE_SIDE) + motor + air
            assert point.thrust_n == pytest.approx(thrust, rel=2 * SAFE_SIDE, abs=1e-9)
            moving = reached > 0.0
            able = point.feasible & run.train.cool(point.battery_a, place_c)
            assert (able[moving] == within).all()
            assert not point.feasible[reached == STUCK].any()


def test_the_true_waves_are_met_between_the_rungs() -> None:
    load_case, craft = LoadCase(OUTING), Craft(OUTING)
    displacement_g = np.array([140_000, 200_000, 240_000])
    span = Displacements.between(load_case, load_case.bare_kg, 250.0, 2.5)
    boats = span.resistance(displacement_g)
    for speed in np.linspace(0.05, 2.45, 60):
        found = boats.water_n(np.full(3, speed))
        exact = [craft.water_n(np.array([speed]), g / 1000.0)[0] for g in displacement_g]
        assert found == pytest.approx(np.array(exact), rel=2 * SAFE_SIDE)
        assert (found >= exact).all()


def test_chunks_cover_everything_once() -> None:
    case = random_case(7002)
    bank, drive, displacement_g = pairs(case)
    chunks = case.search.types.day.in_chunks(bank, drive, displacement_g)
    parts = [np.arange(bank.size)[part] for part, _ in chunks]
    assert np.concatenate(parts).tolist() == list(range(bank.size))


def test_air_comes_with_the_water_on_a_leg_and_in_calm() -> None:
    """4.9 N more on the leg at 2 m/s against 2 m/s of wind than at that speed in calm."""
    outing = with_craft(wind_area_m2=0.5)
    leg = Leg(name="out", speed_m_s=2.0, duration_h=1.0, headwind_m_s=2.0)
    outing = outing.model_copy(update={"legs": (leg,)})
    run = Types(LoadCase(outing), CATALOG).day.running(*np.array([[0], [0], [140_000]]))
    against_wind = run.on_legs(np.array([[2.0]])).thrust_n[0]
    in_calm = run.in_calm(np.array([2.0])).thrust_n
    assert against_wind - in_calm == pytest.approx(0.5 * 1.225 * 0.5 * (4.0**2 - 2.0**2))
    craft = Craft(outing)
    exact = craft.water_n(np.array([2.0]), 140.0) + craft.air_n(2.0, 0.0)
    assert in_calm == pytest.approx(exact, rel=2 * SAFE_SIDE)
