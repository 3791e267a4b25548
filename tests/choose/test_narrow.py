"""Narrowing a catalog by bounds never changes the answer."""

import pytest

from keelwatt.candidates import candidates, light_of
from keelwatt.choose.best import best
from keelwatt.choose.narrow import best_of_catalog
from keelwatt.choose.space import Space
from keelwatt.choose.sums import Measure
from oracle.random_cases import random_case

MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")


@pytest.mark.parametrize("seed", range(120))
def test_narrowed_and_whole_tables_give_the_same_kit(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("keelwatt.choose.narrow.FIRST_COUPLES", 4)
    case = random_case(seed)
    table = candidates(case.facts, case.catalog)
    for by in MEASURES:
        whole = best(Space(table), by)
        _, narrowed, is_whole = best_of_catalog(case.facts, case.catalog, by, few_couples=-1)
        assert not is_whole
        assert narrowed.status == whole.status
        assert narrowed.kit == whole.kit
        assert narrowed.measures == whole.measures


@pytest.mark.parametrize("seed", range(40))
def test_no_kit_comes_to_less_than_its_floors(seed: int) -> None:
    case = random_case(seed)
    light = light_of(case.facts, case.catalog)
    for by in MEASURES:
        choice = best(Space(candidates(case.facts, case.catalog)), by)
        if choice.kit is None or choice.measures is None:
            continue
        banks, drives = light.floors(by)
        bank = [(light.batteries[b].id, s, p) for b, s, p in light.bank_types.tolist()].index(
            (choice.kit.battery, choice.kit.series, choice.kit.parallel)
        )
        controllers = [controller.id if controller else None for controller in light.controllers]
        names = [
            (light.motors[motor].id, None if number < 0 else controllers[number])
            for motor, number in light.drive_types.tolist()
        ]
        drive = names.index((choice.kit.motor, choice.kit.controller))
        assert banks[bank] <= choice.measures[by]
        assert drives[drive] <= choice.measures[by]
