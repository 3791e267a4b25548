"""The steps of a pick from the shipped catalog, timed: ``pytest -n 0 -m benchmark``."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from benchmarks.yardsticks import everything
from keelwatt.boat.facts import Facts
from keelwatt.choose.best import best
from keelwatt.choose.bounds import floor, incumbent, worth_keeping
from keelwatt.choose.program import Program, build
from keelwatt.choose.solver import minimise
from keelwatt.choose.space import Space
from keelwatt.explain.advise import advise, decide
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.outing import Outing, read_outing
from keelwatt.kits import Table, candidates

pytest.importorskip("pytest_benchmark")
pytestmark = pytest.mark.benchmark

OUTING = Path(__file__).parents[2] / "examples" / "reservoir-sampling" / "outing.toml"

Timed = Callable[..., Any]
"""The fixture ``benchmark``: calls a function often enough to time it, and returns its result."""


@pytest.fixture(scope="module")
def outing() -> Outing:
    return read_outing(OUTING)


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return read_catalog(shipped_catalog())


@pytest.fixture(scope="module")
def table(outing: Outing, catalog: Catalog) -> Table:
    return candidates(Facts(outing), catalog)


@pytest.fixture(scope="module")
def program(table: Table) -> Program:
    """With what an incumbent leaves."""
    space = Space(table)
    floors = floor(space, "cost")
    return build(space, worth_keeping(space, "cost", floors, incumbent(space, "cost", floors)))


def test_read(benchmark: Timed) -> None:
    assert benchmark(read_catalog, shipped_catalog()).batteries


def test_physics_tables(benchmark: Timed, outing: Outing, catalog: Catalog) -> None:
    made = benchmark(lambda: candidates(Facts(outing), catalog))
    assert len(made.banks)


def test_incumbent(benchmark: Timed, table: Table) -> None:
    def least() -> int:
        space = Space(table)
        return incumbent(space, "cost", floor(space, "cost"))

    assert benchmark(least) > 0


def test_whole_program_build(benchmark: Timed, table: Table) -> None:
    def whole() -> Program:
        space = Space(table)
        return build(space, everything(space))

    assert benchmark(whole).size


def test_solve(benchmark: Timed, program: Program) -> None:
    assert benchmark(minimise, program, "cost").status == "best"


def test_best(benchmark: Timed, table: Table) -> None:
    assert benchmark(lambda: best(Space(table), "cost")).status == "best"


def test_decide(benchmark: Timed, outing: Outing, catalog: Catalog) -> None:
    assert benchmark(decide, outing, catalog).proof is not None


def test_explain(benchmark: Timed, outing: Outing, catalog: Catalog) -> None:
    assert benchmark(advise, outing, catalog).prices
