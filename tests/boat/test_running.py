"""Pairs at any speed, against the day at the wished speeds and the proof's own formulas."""

import numpy as np
import pytest

from keelwatt.boat.day import Ints, ratio_of
from keelwatt.boat.drag import SAFE_SIDE, Drag
from keelwatt.boat.facts import Facts
from keelwatt.boat.running import STUCK, Running, in_chunks
from oracle.one_of_each import OUTING
from oracle.random_cases import Case, random_case

SEEDS = range(7000, 7020)


def pairs(case: Case) -> tuple[Ints, Ints, Ints]:
    """Every matched pair of a case, each at three displacements."""
    table = case.table
    bank, drive = (np.repeat(index, 3) for index in np.nonzero(table.pairs.matched))
    drag = table.pairs.day.drag
    grams = np.linspace(1000 * drag.low_kg, 1000 * drag.high_kg, 3).astype(np.int64)
    return bank, drive, np.tile(grams, bank.size // 3)


def running(case: Case) -> Running:
    return Running.of(case.table.pairs.day, *pairs(case))


@pytest.mark.parametrize("seed", SEEDS)
def test_at_the_wished_speeds_it_is_the_day(seed: int) -> None:
    case = random_case(seed)
    run = running(case)
    if not run.every.size:
        return
    met, how = case.table.pairs.day.meets(*pairs(case))
    wished = np.repeat(case.facts.ground_speeds_m_s[:, None], run.every.size, axis=1)
    day_h, served_h = run.hours_at(wished)
    assert day_h == pytest.approx(case.facts.outing_hours)
    assert served_h == pytest.approx(how["hours"], rel=1e-9)
    assert (run.serves(wished, run.every) == (met["hours"] & met["leg_speed"])).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_the_greatest_speed_is_just_within_reach(seed: int) -> None:
    """A hair more and some motor turns no faster, or its current is beyond the harness."""
    case = random_case(seed)
    run, day = running(case), case.table.pairs.day
    bank = {k: v[run.bank_type] for k, v in day.bank.items()}
    drive = {k: v[run.drive_type] for k, v in day.drive.items()}
    speeds = run.legs_reached_m_s()
    _, _, displacement_g = pairs(case)
    for leg, reached in zip(case.outing.legs, speeds, strict=True):
        for share, within in ((1.0, True), (1.0 + 1e-6, False)):
            ground = np.maximum(reached, 0.0) * share
            through = np.maximum(0.0, ground + leg.current_m_s)
            water = [
                case.facts.water_resistance_n(np.array([v]), g / 1000.0)[0] * (1.0 + SAFE_SIDE)
                for v, g in zip(through, displacement_g, strict=True)
            ]
            thrust = np.array(water) + case.facts.air_n(ground, leg.headwind_m_s)
            good, _ = day.reaches(bank, drive, *ratio_of(drive, thrust, through))
            moving = reached > 0.0
            assert (good[moving] == within).all()
            assert not good[reached == STUCK].any()


def test_the_true_waves_are_met_between_the_rungs() -> None:
    facts = Facts(OUTING)
    displacement_g = np.array([140_000, 200_000, 240_000])
    waters = Drag.of(facts, facts.bare_kg, 250.0, 2.5).waters(displacement_g)
    for speed in np.linspace(0.05, 2.45, 60):
        found = waters.resistance_n(np.full(3, speed), np.arange(3))
        exact = facts.water_resistance_n(np.array([speed]), displacement_g / 1000.0)[0]
        assert found == pytest.approx(exact, rel=2 * SAFE_SIDE)
        assert (found >= exact).all()


def test_chunks_cover_everything_once() -> None:
    case = random_case(7002)
    bank, drive, displacement_g = pairs(case)
    parts = [np.arange(bank.size)[part] for part, _ in in_chunks(
        case.table.pairs.day, bank, drive, displacement_g
    )]  # fmt: skip
    assert np.concatenate(parts).tolist() == list(range(bank.size))
