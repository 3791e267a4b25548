"""What is asked of every drive at the least, against the day each couple runs as fast as it can."""

import numpy as np
import pytest

from keelwatt.boat.arrays import Floats, Ints
from keelwatt.kits.needs import Needs
from oracle.ledger import every_couple
from oracle.random_cases import WIDE, random_case

ROUNDING = 1.0 + 1e-9
TOO_WEAK = 7295


def charge_ah(seed: int) -> tuple[Floats, Floats, Ints]:
    """(the least asked, what is used at the speeds that are left, legs that are slowed)."""
    types = random_case(seed).search.types
    couples = every_couple(random_case(seed).search)
    bank, drive = couples.bank, couples.drive
    lightest_g = np.full(bank.shape, round(1000 * types.displacements.low_kg))
    running = types.day.running(bank, drive, lightest_g)
    wanted = types.case.ground_speeds_m_s[:, None]
    reached = running.legs_reached_m_s()
    able = (reached > 0.0).all(axis=0)
    speeds = np.minimum(wanted, np.maximum(reached, 1e-9))
    used_ah = running.used_ah(running.on_legs(speeds).battery_a, types.case.legs.hours_at(speeds))
    ah, wh = Needs(types).asked()
    by_wh = types.drive["chopper"][drive]
    asked_ah = np.where(by_wh, wh[drive] / running.train.bank.voltage_v, ah[drive])
    return asked_ah[able], used_ah[able], (reached < wanted)[:, able].sum(axis=0)


@pytest.mark.parametrize("seed", [*range(7000, 7030), *range(WIDE, WIDE + 20), TOO_WEAK])
def test_no_couple_takes_less_than_its_drive_is_asked_for(seed: int) -> None:
    asked_ah, used_ah, _ = charge_ah(seed)
    assert (asked_ah <= used_ah * ROUNDING).all()


def test_some_are_too_weak_for_a_leg() -> None:
    assert sum(int((charge_ah(seed)[2] > 0).sum()) for seed in range(7000, 7030)) > 15


def speeds_m_s(seed: int) -> tuple[Floats, Floats]:
    """(what each couple reaches, what its drive is said not to pass)."""
    types = random_case(seed).search.types
    couples = every_couple(random_case(seed).search)
    lightest_g = np.full(couples.bank.shape, round(1000 * types.displacements.low_kg))
    reached_m_s = types.day.running(couples.bank, couples.drive, lightest_g).reached_m_s()
    return reached_m_s, Needs(types).top_m_s[couples.drive]


@pytest.mark.parametrize("seed", [*range(7000, 7030), *range(WIDE, WIDE + 20), TOO_WEAK])
def test_no_couple_is_faster_than_its_drive(seed: int) -> None:
    reached_m_s, top_m_s = speeds_m_s(seed)
    assert (reached_m_s <= top_m_s).all()


def test_many_drives_are_about_as_fast_as_is_said() -> None:
    some = [speeds_m_s(seed) for seed in range(7000, 7030)]
    reached_m_s, top_m_s = (np.concatenate(each) for each in zip(*some, strict=True))
    assert (top_m_s < 1.02 * reached_m_s).mean() > 0.5
