"""Both solvers on programs whose answers are published or plain."""

import subprocess
import sys

import numpy as np
import numpy.typing as npt
import pytest

from keelwatt.choose import solver as solver_module
from keelwatt.choose.program import Program, Row, Sense
from keelwatt.choose.solver import Outcome, SolverName, minimise
from keelwatt.choose.sums import Measure
from keelwatt.errors import InternalError

Ints = npt.NDArray[np.int64]

SOLVERS: tuple[SolverName, ...] = ("highs", "cbc")

KNAPSACKS = {
    "p01": (165, "23 31 29 44 53 38 63 85 89 82", "92 57 49 68 60 43 67 84 87 72", 309),
    "p02": (26, "12 7 11 8 9", "24 13 23 15 16", 51),
    "p03": (190, "56 59 80 64 75 17", "50 50 64 46 50 5", 150),
    "p04": (50, "31 10 20 19 4 3 6", "70 20 39 37 7 5 10", 107),
    "p05": (104, "25 35 45 5 25 3 2 2", "350 400 450 20 70 8 5 5", 900),
    "p06": (170, "41 50 49 59 55 57 60", "442 525 511 593 546 564 617", 1735),
    "p07": (
        750,
        "70 73 77 80 82 87 90 94 98 106 110 113 115 118 120",
        "135 139 149 150 156 163 173 184 192 201 210 214 221 229 240",
        1458,
    ),
    "p08": (
        6404180,
        "382745 799601 909247 729069 467902 44328 34610 698150 823460 903959 853665 551830 "
        "610856 670702 488960 951111 323046 446298 931161 31385 496951 264724 224916 169684",
        "825594 1677009 1676628 1523970 943972 97426 69666 1296457 1679693 1902996 1844992 "
        "1049289 1252836 1319836 953277 2067538 675367 853655 1826027 65731 901489 577243 466257 "
        "369261",
        13549094,
    ),
}
"""Capacity, weights, profits, greatest profit: KNAPSACK_01, test data for the 0/1 knapsack problem,
J. Burkardt, Florida State University. Weights and profits from memory; they give the published
greatest profits."""


def program_of(rows: tuple[Row, ...], costs: Ints) -> Program:
    return Program(rows, {"cost": costs, "mass": costs, "season": -costs})


def row(coefficients: list[int] | Ints, sense: Sense, bound: int) -> Row:
    values = np.asarray(coefficients, dtype=np.int64)
    return Row("room", np.arange(values.size), values, sense, bound)


def ints(text: str) -> Ints:
    return np.array(text.split(), dtype=np.int64)


@pytest.mark.parametrize("solver", SOLVERS)
@pytest.mark.parametrize("name", KNAPSACKS)
def test_published_knapsacks(name: str, solver: SolverName) -> None:
    capacity, weights, profits, greatest = KNAPSACKS[name]
    program = program_of((row(ints(weights), "<=", capacity),), -ints(profits))
    outcome = minimise(program, "cost", solver=solver)
    assert outcome.status == "best"
    assert outcome.chosen is not None
    assert int(ints(profits)[outcome.chosen].sum()) == greatest
    assert int(ints(weights)[outcome.chosen].sum()) <= capacity


@pytest.mark.parametrize("solver", SOLVERS)
def test_each_measure_has_its_own_objective(solver: SolverName) -> None:
    program = program_of((row([1, 1, 1], "==", 1),), np.array([5, 3, 4]))
    wanted: dict[Measure, int] = {"cost": 1, "season": 0}
    for measure, variable in wanted.items():
        outcome = minimise(program, measure, solver=solver)
        assert outcome.chosen is not None
        assert list(np.flatnonzero(outcome.chosen)) == [variable]


@pytest.mark.parametrize("solver", SOLVERS)
def test_rows_that_contradict_each_other_are_impossible(solver: SolverName) -> None:
    rows = (row([1, 1, 1], "==", 2), row([1, 1, 1], "<=", 1))
    assert minimise(program_of(rows, np.ones(3, dtype=np.int64)), "cost", solver=solver) == Outcome(
        "impossible", None
    )


def hard_program(sense: Sense) -> Program:
    """Rows no solver settles in a moment: a knapsack of many rows, or a split of markets.

    G. Cornuejols and M. Dawande, A class of hard small 0-1 programs, INFORMS Journal on Computing
    11 (1999) 205, is the model of the split.
    """
    r = np.random.default_rng(1)
    size, least = (50, 1) if sense == "==" else (80, 500)
    rows = []
    for _ in range(6):
        weights = r.integers(least, least + 500, size)
        rows.append(row(weights, sense, int(weights.sum() // 2)))
    profits = sum(r.coefficients for r in rows) // 6 + r.integers(0, 200, size)
    return program_of(tuple(rows), -np.asarray(profits, dtype=np.int64))


@pytest.mark.parametrize("solver", SOLVERS)
def test_a_choice_found_in_time_but_not_proved_is_called_unproved(solver: SolverName) -> None:
    program = hard_program("<=")
    outcome = minimise(program, "cost", solver=solver, seconds=0.3)
    assert outcome.status == "unproved"
    assert outcome.chosen is not None
    assert program.holds(outcome.chosen)


@pytest.mark.parametrize("solver", SOLVERS)
def test_nothing_found_in_time_is_not_called_impossible(solver: SolverName) -> None:
    outcome = minimise(hard_program("=="), "cost", solver=solver, seconds=0.3)
    assert (outcome.status, outcome.chosen) == ("unproved", None)


@pytest.mark.parametrize("solver", SOLVERS)
def test_nothing_is_printed(solver: SolverName, capfd: pytest.CaptureFixture[str]) -> None:
    minimise(program_of((row([3, 4, 5], "<=", 8),), np.array([-3, -4, -5])), "cost", solver=solver)
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("solver", SOLVERS)
def test_nothing_is_printed_even_when_the_process_ends(solver: SolverName) -> None:
    """A banner may wait in a buffer that only the end of the process empties."""
    script = f"""
import numpy as np
from keelwatt.choose.program import Program, Row
from keelwatt.choose.solver import minimise
each = np.arange(1)
rows = (Row("room", np.arange(3), np.array([3, 4, 5]), "<=", 8),)
minimise(Program(rows, {{"cost": np.array([-3, -4, -5])}}), "cost",
         solver={solver!r})
"""
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True)
    assert (done.stdout, done.stderr) == (b"", b"")


def test_an_answer_that_breaks_a_row_is_cut_off(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first answer is one a loose tolerance might let through: 4 + 5 is not within 8."""
    program = program_of((row([3, 4, 5], "<=", 8),), np.array([-3, -4, -5]))
    true_solve = solver_module._solve
    seen: list[Program] = []

    def solve(
        asked: Program, measure: Measure, solver: SolverName, seconds: float | None
    ) -> Outcome:
        seen.append(asked)
        if len(seen) == 1:
            return Outcome("best", np.array([False, True, True]))
        return true_solve(asked, measure, solver, seconds)

    monkeypatch.setattr(solver_module, "_solve", solve)
    outcome = minimise(program, "cost")
    assert outcome.status == "best"
    assert outcome.chosen is not None
    assert outcome.chosen.tolist() == [True, False, True]
    cut = seen[1].rows[-1]
    assert not cut.holds(np.array([False, True, True]))
    assert cut.holds(np.array([True, False, True]))
    assert cut.holds(np.array([False, False, True]))


def test_answers_that_keep_breaking_rows_are_never_returned(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    program = program_of((row([3, 4, 5], "<=", 8),), np.array([-3, -4, -5]))

    def solve(*_: object) -> Outcome:
        return Outcome("best", np.array([True, True, True]))

    monkeypatch.setattr(solver_module, "_solve", solve)
    with pytest.raises(InternalError, match="break their own rows"):
        minimise(program, "cost")
