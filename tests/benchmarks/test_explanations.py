"""What explaining costs, against one solve: ``pytest -n 0 -m slow tests/benchmarks``.

Processor time, the least of a few runs, so that other work on the machine counts little.
"""

from collections.abc import Callable
from functools import cache
from pathlib import Path
from time import process_time

import pytest

from keelwatt.boat.facts import Facts
from keelwatt.choose.best import best
from keelwatt.choose.space import Space
from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import Advice
from keelwatt.explain.ledger import Ledger
from keelwatt.explain.prices import prices
from keelwatt.explain.rules import rule_prices
from keelwatt.explain.stretch import stretch
from keelwatt.explain.tradeoff import best_kits, tradeoff
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.outing import read_outing
from keelwatt.kits import Table, candidates

EXAMPLES = Path(__file__).parents[2] / "examples"
POSSIBLE = ["reservoir-sampling", "harbour-dinghy", "bird-count-canoe", "bird-count-canoe-owned"]
MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")

MOST_SOLVES = 6
"""The full explanation takes at most so many times one solve."""

MOST_SECONDS, OR_SOLVES = 2.0, 40
"""The staircase over 1 to 12 h, and the front, each: so long, or so many solves' worth."""

RUNS = 5

pytestmark = pytest.mark.slow


def seconds(work: Callable[[], object]) -> float:
    def once() -> float:
        start = process_time()
        work()
        return process_time() - start

    return min(once() for _ in range(RUNS))


@cache
def table_of(name: str) -> Table:
    catalog = read_catalog(shipped_catalog())
    return candidates(Facts(read_outing(EXAMPLES / name / "outing.toml")), catalog)


def fresh(name: str, by: Measure) -> Advice:
    table = table_of(name)
    return Advice("best", table.facts.outing, table.catalog, by, "highs", table)


@cache
def solve_s(name: str, by: Measure) -> float:
    return seconds(lambda: best(Space(table_of(name)), by))


@pytest.mark.parametrize("by", MEASURES)
@pytest.mark.parametrize("name", POSSIBLE)
def test_the_full_explanation_is_a_few_solves_worth(name: str, by: Measure) -> None:
    def explained() -> None:
        ledger = Ledger.of(table_of(name), by)
        assert prices(ledger)
        assert rule_prices(ledger)

    ratio = seconds(explained) / solve_s(name, by)
    print(f"{name} by {by}: {ratio:.1f} solves")
    assert ratio <= MOST_SOLVES


@pytest.mark.parametrize("name", POSSIBLE)
def test_the_staircase_and_the_front_are_quick(name: str) -> None:
    def climbed() -> None:
        assert stretch(fresh(name, "cost"), "hours", 1.0, 12.0).climbs

    def traded() -> None:
        advice = fresh(name, "cost")
        assert tradeoff(advice).points
        assert best_kits(advice, 10)

    for work in (climbed, traded):
        taken = seconds(work)
        print(f"{name}, {work.__name__}: {taken:.3f} s, {taken / solve_s(name, 'cost'):.1f} solves")
        assert taken <= max(MOST_SECONDS, OR_SOLVES * solve_s(name, "cost"))
