"""Wiring sets against every combination of the shelf, and their floors against the sets."""

from itertools import product

import numpy as np
import pytest

from keelwatt.boat.arrays import Ints
from keelwatt.kits import Found, Ground, Pairs, table_of
from keelwatt.kits.ground import MEASURES
from keelwatt.kits.left_out import wanted
from keelwatt.kits.types import Types
from keelwatt.kits.wiring import WIRING_RULES, Zone
from oracle.random_cases import random_case

SEEDS = range(6)


def enumerated(types: Types, zone: Zone, lifted: str) -> list[tuple[int, ...]]:
    """(price, mass, cable, fuse, connector) of each set no other beats; of equals, the first."""
    wirings, shelf = types.wirings, types.shelf
    fit, join = wirings.fit(zone, lifted), wirings.by_number[zone[4]]
    sums = shelf.cable_sums(wirings.run_m(zone), join), shelf.fuse_sums(join), shelf.plug_sums
    high = wirings.levels[zone[1]].high
    guards = wirings.guards(lifted, fit.cables, fit.fuses, high=high)
    joins = wirings.joins(lifted, fit.cables, fit.plugs)
    found = [
        (
            *(sum(int(of[at][row]) for of, row in zip(sums, rows, strict=True)) for at in (0, 1)),
            *rows,
        )
        for (c, cable), (f, fuse), (p, plug) in product(
            *(tuple(enumerate(rows.tolist())) for rows in fit.rows)
        )
        if guards[c, f] and joins[c, p]
        for rows in [(cable, fuse, plug)]
    ]
    front: list[tuple[int, ...]] = []
    for each in sorted(found):
        if not front or each[1] < front[-1][1]:
            front.append(each)
    return sorted(front, key=lambda each: each[2:])


@pytest.mark.parametrize("lifted", ["", *WIRING_RULES])
def test_sets_are_those_of_every_combination_that_none_beats(lifted: str) -> None:
    told = 0
    for seed in SEEDS:
        types = random_case(seed).search.types
        for zone in wanted(types)[:20]:
            sets = types.wirings.sets(zone, lifted)
            expected = enumerated(types, zone, lifted)
            assert sets[:, [3, 5]].tolist() == [list(each[:2]) for each in expected]
            ids = [part.id for part in types.shelf.cables]
            rows = [ids[each[2]] for each in expected]
            assert [types.catalog.cables[row].id for row in sets[:, 0].tolist()] == rows
            told += len(sets)
    assert told


def test_no_bank_takes_more_to_join_than_the_most() -> None:
    for seed in SEEDS:
        types = random_case(seed).search.types
        most = types.least_wiring.most_join
        for number in np.unique(types.joins.of(*np.nonzero(types.fits))).tolist():
            join = types.joins[number]
            assert (join.series, join.parallel) <= (most.series, most.parallel)
            assert join.lead_m <= most.lead_m
            assert join.link_m <= most.link_m


@pytest.mark.parametrize("lifted", ["", *WIRING_RULES])
@pytest.mark.parametrize(("measure", "column"), [("cost", 3), ("season", 4), ("mass", 5)])
def test_no_set_comes_to_less_than_its_floor(lifted: str, measure: str, column: int) -> None:
    met = joined = 0
    for seed in SEEDS:
        types = random_case(seed).search.types
        bank, drive = np.nonzero(types.bank["system_v"][:, None] == types.drive["system_v"])
        ground = Ground(types)
        every = Found(bank, drive, np.zeros_like(bank))
        unruled = ground.freely.with_wiring(measure, ground.bank_class[bank], drive)
        floors = ground.without(lifted, measure, Found(bank, drive, unruled))
        if not lifted:
            assert (floors == ground.with_wiring(measure, ground.bank_class[bank], drive)).all()
        floors -= types.drive[MEASURES[measure]][drive]
        table = table_of(
            types, every, lambda pairs, low, high: Pairs(*few(pairs), low, high, {}), lifted
        )
        of_set = table.wiring[("price_cents", "season_units", "mass_g")[column - 3]][table.kits[2]]
        assert (floors[table.kits[3]] <= of_set).all()
        met += int((floors[table.kits[3]] == of_set).sum())
        joined += int((types.bank["units"][bank[table.kits[3]]] > 1).sum())
    assert met
    assert joined


def few(pairs: Found) -> tuple[Ints, Ints]:
    return pairs.bank, pairs.drive
