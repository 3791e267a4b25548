"""Wiring sets against every combination of the shelf, and their floors against the sets."""

from itertools import product

import numpy as np
import pytest
from oracle.random_cases import random_case

from keelwatt.kits.left_out import wanted
from keelwatt.kits.types import Types
from keelwatt.kits.wiring import WIRING_RULES, Zone

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


@pytest.mark.parametrize("lifted", ["", *WIRING_RULES])
@pytest.mark.parametrize(("measure", "column"), [("cost", 3), ("season", 4), ("mass", 5)])
def test_no_set_comes_to_less_than_its_floor(lifted: str, measure: str, column: int) -> None:
    met = 0
    for seed in SEEDS:
        types = random_case(seed).search.types
        wiring, bank = types.least_wiring, types.bank
        least = wiring.least(measure, types.harnesses, lifted)
        classes = wiring.faults_a.size + 1
        fault = bank["fresh"] * classes + wiring.fault_class(bank["short_circuit_a"])
        levels, first = np.unique(bank["level"], return_index=True)
        for zone in wanted(types):
            row = int(first[np.searchsorted(levels, zone[1])])
            of_level = fault[bank["level"] == bank["level"][row]]
            sets = types.wirings.sets(zone, lifted)
            if sets.size:
                floor = int(least[of_level, zone[0]].max())
                assert floor <= sets[:, column].min()
                met += floor == sets[:, column].min()
    assert met
