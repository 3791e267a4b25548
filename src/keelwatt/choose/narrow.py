"""The best kit of a catalog too large for whole tables: narrow by bounds, prove on what is left."""

from collections.abc import Callable

from keelwatt.boat.facts import Facts
from keelwatt.choose.best import Choice, best
from keelwatt.choose.solver import SolverName
from keelwatt.choose.space import Space
from keelwatt.choose.sums import Measure
from keelwatt.files.catalog.reader import Catalog
from keelwatt.kits import Couples, Table, candidates, light_of

FEW_COUPLES = 400_000
"""So many couples of bank and drive types are put into whole tables."""

FIRST_COUPLES = 100
"""How many couples the first tables hold at the least."""

GROWTH = 8


def best_of_catalog(
    facts: Facts,
    catalog: Catalog,
    by: Measure,
    *,
    solver: SolverName = "highs",
    seconds: float | None = None,
    few_couples: int = FEW_COUPLES,
    stricter: Callable[[Table], Table] | None = None,
) -> tuple[Table, Choice, bool]:
    """The table, the best kit in it, and whether the table is of the whole catalog.

    No kit comes to less than the floor of its couple of bank and drive. Tables are made of the
    couples whose floor does not pass a level; a kit found there is the best of the whole catalog
    if it does not pass the level itself, else its value is the next level. Equals stay in, so the
    answer is the same as from whole tables. ``stricter`` makes every table's demands harder, never
    easier: a floor stays one.
    """

    def chosen(table: Table) -> tuple[Table, Choice]:
        table = stricter(table) if stricter else table
        return table, best(Space(table), by, solver=solver, seconds=seconds)

    light = light_of(facts, catalog)
    if light.couples <= few_couples:
        return *chosen(candidates(facts, catalog, light=light)), True
    couples = Couples(light, by)
    count = FIRST_COUPLES
    found, level = couples.cheapest(count)
    while True:
        shortlist = couples.shortlist(found)
        table, choice = chosen(candidates(facts, catalog, shortlist, light=light))
        value = choice.measures[by] if choice.measures else None
        if choice.status == "unproved" or level >= couples.highest:
            return table, choice, False
        if value is None:
            count = GROWTH * max(count, found.floor.size)
            found, level = couples.cheapest(count)
        elif value <= level:
            return table, choice, False
        else:
            found, level = couples.up_to(value), value
