"""The steps of a pick from the shipped catalog, timed: ``pytest -n 0 -m benchmark``."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.program import Program, build
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.choose.solver import minimise
from keelwatt.explain.advise import advise, decide
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.outing import Outing, read_outing
from oracle.ledger import whole_table

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
def search(outing: Outing, catalog: Catalog) -> Search:
    return Search(LoadCase(outing), catalog)


@pytest.fixture(scope="module")
def program(search: Search) -> Program:
    """Of what may be as good as the best."""
    pick = search.best(Question("cost"))
    assert pick is not None
    question = Question("cost", below=pick.value("cost") + 1)
    return build(search.contenders.table(search.contenders.worth_keeping(question)))


def test_read(benchmark: Timed) -> None:
    assert benchmark(read_catalog, shipped_catalog()).batteries


def test_search(benchmark: Timed, outing: Outing, catalog: Catalog) -> None:
    assert benchmark(lambda: Search(LoadCase(outing), catalog).best(Question("cost")))


def test_whole_program_build(benchmark: Timed, search: Search) -> None:
    table = whole_table(search)
    assert benchmark(build, table).size


def test_solve(benchmark: Timed, program: Program) -> None:
    assert benchmark(minimise, program, "cost").status == "best"


def test_decide(benchmark: Timed, outing: Outing, catalog: Catalog) -> None:
    assert benchmark(decide, outing, catalog).proof is not None


def test_explain(benchmark: Timed, outing: Outing, catalog: Catalog) -> None:
    assert benchmark(advise, outing, catalog).prices
