"""Other solvers, given the same programs, find the same least measure."""

import pytest

from benchmarks.yardsticks import SOLVERS
from keelwatt.choose.program import build
from keelwatt.choose.question import NOTHING
from keelwatt.choose.search import Search
from keelwatt.explain import advise
from oracle.cheap_water import CheapLoadCase
from oracle.ledger import whole_table
from oracle.random_cases import random_case
from oracle.test_program_oracle import MEASURES, Choices

SEEDS = range(300, 312)


def test_a_pick_takes_every_step_that_is_timed() -> None:
    pytest.importorskip("resource")
    from benchmarks.measure import STEPS, stopwatch

    case = random_case(7003)
    with stopwatch() as seconds:
        advise.decide(case.outing, case.catalog)
    assert set(seconds) == {step for step, _, _ in STEPS}


@pytest.mark.slow
def test_other_solvers_find_the_same_least() -> None:
    pytest.importorskip("ortools")
    found = 0
    for seed in SEEDS:
        case, by = random_case(seed), MEASURES[seed % 3]
        table = whole_table(Search(CheapLoadCase(case.outing), case.catalog))
        program, least = build(table), Choices(table).least(by)
        for solver in SOLVERS.values() if program.size else ():
            assert solver(program, by) == (least[0] if least else NOTHING)
        found += least is not None
    assert found > 4
