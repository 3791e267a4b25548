"""What explaining costs, against the choice itself: ``pytest -n 0 -m slow tests/benchmarks``.

Processor time, the least of a few runs, so that other work on the machine counts little.
"""

from collections.abc import Callable
from functools import cache
from pathlib import Path
from time import process_time

import pytest

from keelwatt.choose.sums import Measure
from keelwatt.explain.advise import Advice, decide, explained
from keelwatt.explain.stretch import stretch
from keelwatt.explain.tradeoff import best_kits, tradeoff
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.outing import Outing, read_outing

EXAMPLES = Path(__file__).parents[2] / "examples"
POSSIBLE = ["reservoir-sampling", "harbour-dinghy", "bird-count-canoe", "bird-count-canoe-owned"]
MEASURES: tuple[Measure, ...] = ("cost", "mass", "season")

MOST_CHOICES = 9
"""Whatever is asked takes at most so many times the choice itself, a part of a plain pick."""

RUNS = 5

pytestmark = pytest.mark.slow


def seconds(work: Callable[[], object]) -> float:
    def once() -> float:
        start = process_time()
        work()
        return process_time() - start

    return min(once() for _ in range(RUNS))


@cache
def outing_of(name: str) -> Outing:
    return read_outing(EXAMPLES / name / "outing.toml")


@cache
def shipped() -> Catalog:
    return read_catalog(shipped_catalog())


def fresh(name: str, by: Measure) -> Advice:
    return decide(outing_of(name), shipped(), by=by)


@cache
def decide_s(name: str, by: Measure) -> float:
    return seconds(lambda: fresh(name, by))


@pytest.mark.parametrize("by", MEASURES)
@pytest.mark.parametrize("name", POSSIBLE)
def test_the_full_explanation_takes_a_few_times_the_choice(name: str, by: Measure) -> None:
    ratio = seconds(lambda: explained(fresh(name, by))) / decide_s(name, by)
    print(f"{name} by {by}: {ratio:.1f} choices")
    assert ratio <= MOST_CHOICES


@pytest.mark.parametrize("name", POSSIBLE)
def test_the_staircase_and_the_front_are_quick(name: str) -> None:
    def climbed() -> None:
        assert stretch(fresh(name, "cost"), "hours", 1.0, 12.0).climbs

    def traded() -> None:
        advice = fresh(name, "cost")
        assert tradeoff(advice).points
        assert best_kits(advice, 10)

    for work in (climbed, traded):
        ratio = seconds(work) / decide_s(name, "cost")
        print(f"{name}, {work.__name__}: {ratio:.1f} choices")
        assert ratio <= MOST_CHOICES
