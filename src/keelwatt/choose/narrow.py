"""The best kit of a catalog too large for whole tables: narrow by bounds, prove on what is left."""

import numpy as np

from keelwatt.candidates import Light, Table, candidates, light_of
from keelwatt.catalog.reader import Catalog
from keelwatt.choose.best import Choice, best
from keelwatt.choose.solver import SolverName
from keelwatt.choose.space import Space
from keelwatt.choose.sums import Ints, Measure
from keelwatt.facts import Facts

FEW_COUPLES = 400_000
"""So many couples of bank and drive types are put into whole tables."""

FIRST_COUPLES = 20_000
"""How many couples of types the first tables hold at the most."""

GROWTH = 8


def best_of_catalog(
    facts: Facts,
    catalog: Catalog,
    by: Measure,
    *,
    solver: SolverName = "highs",
    seconds: float | None = None,
    few_couples: int = FEW_COUPLES,
) -> tuple[Table, Choice, bool]:
    """The table, the best kit in it, and whether the table is of the whole catalog.

    No kit can come to less than the floor of its bank or of its drive. Tables are made of the
    types whose floor does not pass a level; a kit found there is the best of the whole catalog if
    it does not pass the level itself, else its value is the next level. Equals stay in, so the
    answer is the same as from whole tables.
    """
    light = light_of(facts, catalog)
    if light.couples <= few_couples:
        table = candidates(facts, catalog)
        return table, best(Space(table), by, solver=solver, seconds=seconds), True
    floors = light.floors(by)
    size = FIRST_COUPLES
    level = _level(light, floors, size)
    while True:
        whole = level >= _highest(floors)
        table = candidates(facts, catalog, light.shortlist(floors, level))
        choice = best(Space(table), by, solver=solver, seconds=seconds)
        if choice.measures is None:
            if whole or choice.status == "unproved":
                return table, choice, False
            size *= GROWTH
            level = _level(light, floors, size)
        elif choice.measures[by] <= level or choice.status == "unproved":
            return table, choice, False
        else:
            level = choice.measures[by]


def _level(light: Light, floors: tuple[Ints, Ints], size: int) -> int:
    """The highest level that lets in no more than so many couples, or the lowest with any."""
    banks, drives = (np.sort(floor[floor < light.never]) for floor in floors)
    levels = np.unique(np.concatenate([banks, drives]))
    if not (banks.size and drives.size):
        return 0
    couples = np.searchsorted(banks, levels, side="right") * np.searchsorted(
        drives, levels, side="right"
    )
    fitting = levels[(couples > 0) & (couples <= size)]
    return int(fitting[-1]) if fitting.size else int(levels[np.flatnonzero(couples > 0)[0]])


def _highest(floors: tuple[Ints, Ints]) -> int:
    return max((int(floor[floor < Light.never].max(initial=0)) for floor in floors), default=0)
