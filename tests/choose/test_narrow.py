"""Narrowing a catalog by bounds never changes the answer."""

import numpy as np
import pytest

from keelwatt.choose.best import best
from keelwatt.choose.narrow import best_of_catalog
from keelwatt.choose.space import Space
from keelwatt.choose.sums import Measure
from keelwatt.kits import Couples, candidates, light_of
from keelwatt.kits.couples import Couple
from oracle.random_cases import WIDE, random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")


AT_LENGTH = [pytest.param(seed, marks=pytest.mark.slow) for seed in range(WIDE, WIDE + 120)]


@pytest.mark.parametrize("seed", [*range(120), *AT_LENGTH])
def test_narrowed_and_whole_tables_give_the_same_kit(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("keelwatt.choose.narrow.FIRST_COUPLES", 4)
    case = random_case(seed)
    table = candidates(case.facts, case.catalog)
    monkeypatch.setattr("keelwatt.kits.wiring.FEW_SETS", 0)
    for by in MEASURES:
        whole = best(Space(table), by)
        small, narrowed, is_whole = best_of_catalog(case.facts, case.catalog, by, few_couples=-1)
        assert not is_whole
        assert narrowed.status == whole.status
        assert narrowed.kit == whole.kit
        assert narrowed.measures == whole.measures
        assert best(Space(small), by, bounded=False).kit == whole.kit


@pytest.mark.parametrize("seed", range(40))
def test_the_best_couple_is_among_those_up_to_its_value(seed: int) -> None:
    case = random_case(seed)
    light = light_of(case.facts, case.catalog)
    table = candidates(case.facts, case.catalog)
    for by in MEASURES:
        choice = best(Space(table), by)
        if choice.kit is None or choice.measures is None:
            continue
        couples = Couples(light, by)
        found = couples.up_to(choice.measures[by])
        kit = choice.kit
        couple = ((kit.battery, kit.series, kit.parallel), (kit.motor, kit.controller))
        assert couple in couples.shortlist(found).couples
        assert (found.floor <= choice.measures[by]).all()
        assert (np.diff(found.floor) >= 0).all()


@pytest.mark.parametrize("seed", range(12))
def test_every_kit_that_keeps_the_limits_is_above_its_couples_floor(seed: int) -> None:
    case = random_case(seed)
    table = candidates(case.facts, case.catalog)
    space = Space(table)
    light = light_of(case.facts, case.catalog)
    rows = np.indices((len(table.banks), len(table.drives))).reshape(2, -1)
    kits = space.expand(rows[0], rows[1])
    kits = kits[space.keeps(kits)]
    for by in MEASURES:
        least: dict[Couple, int] = {}
        values = kits.total(space.measures[by]).tolist()
        for bank, drive, value in zip(kits.bank.tolist(), kits.drive.tolist(), values, strict=True):
            b, d = table.banks.iloc[bank], table.drives.iloc[drive]
            couple: Couple = (
                (b["battery"], b["series"], b["parallel"]),
                (d["motor"], d["controller"] or None),
            )
            least[couple] = min(value, least.get(couple, value))
        worth = {
            (m.id, controller.id if controller else None)
            for motor, number in light.drive_types.tolist()
            for m, controller in [
                (light.motors[motor], None if number < 0 else light.controllers[number])
            ]
        }
        couples = Couples(light, by)
        for (bank_type, drive_type), value in least.items():
            if drive_type in worth:
                assert (bank_type, drive_type) in couples.shortlist(couples.up_to(value)).couples
