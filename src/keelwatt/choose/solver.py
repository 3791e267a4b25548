"""The only room that knows PuLP."""

import io
from contextlib import redirect_stdout
from dataclasses import dataclass
from math import isfinite
from typing import Literal

import numpy as np
import pulp

from keelwatt.boat.arrays import Bools
from keelwatt.choose.program import Program, Row
from keelwatt.choose.sums import Measure
from keelwatt.errors import InternalError

SolverName = Literal["highs", "cbc"]
Status = Literal["best", "impossible", "unproved"]

SAME = 0.5
"""Objectives are whole numbers: a gap below this proves."""

MOST_CUTS = 20
"""Answers within a solver's tolerance but not exact that may be cut off before giving up."""


@dataclass(frozen=True)
class Outcome:
    """What a solve found; ``chosen`` has one entry a variable, None where nothing is known.

    ``bound``: no choice comes to less, as far as the solver got; None where it does not tell.
    """

    status: Status
    chosen: Bools | None
    bound: float | None = None


def minimise(
    program: Program,
    measure: Measure,
    *,
    solver: SolverName = "highs",
    seconds: float | None = None,
) -> Outcome:
    """The choice least in one measure. Every row is checked again in whole numbers.

    Raises
    ------
    InternalError
        If the solver's answers keep failing that check.
    """
    for _ in range(MOST_CUTS):
        outcome = _solve(program, measure, solver, seconds)
        if outcome.chosen is None or program.holds(outcome.chosen):
            return outcome
        program = program.with_rows(program.other_than(outcome.chosen))
    raise InternalError(f"{solver} keeps returning choices that break their own rows")


def _solve(
    program: Program, measure: Measure, solver: SolverName, seconds: float | None
) -> Outcome:
    model = pulp.LpProblem("keelwatt", pulp.LpMinimize)
    variables = [model.add_variable(f"x{i}", cat=pulp.LpBinary) for i in range(program.size)]
    costs = program.objectives[measure].tolist()
    model.setObjective(pulp.LpAffineExpression(zip(variables, costs, strict=True)))
    for number, row in enumerate(program.rows):
        model.addConstraint(_constraint(row, variables), f"{row.name}_{number}")
    with redirect_stdout(io.StringIO()):
        model.solve(_tool(solver, seconds))
    if model.sol_status == pulp.LpSolutionInfeasible:
        return Outcome("impossible", None)
    values = np.array([v.varValue or 0.0 for v in variables])
    chosen = values > SAME
    if model.sol_status == pulp.LpSolutionOptimal:
        return Outcome("best", chosen, float(sum(costs[i] for i in np.flatnonzero(chosen))))
    feasible = model.sol_status == pulp.LpSolutionIntegerFeasible
    kept = chosen if feasible and program.holds(chosen) else None
    return Outcome("unproved", kept, _bound(model) if solver == "highs" else None)


def _bound(model: pulp.LpProblem) -> float | None:
    """What HiGHS proved by the time it was stopped."""
    bound = float(model.solverModel.getInfo().mip_dual_bound)
    return bound if isfinite(bound) else None


def _constraint(row: Row, variables: list[pulp.LpVariable]) -> pulp.LpConstraint:
    terms = zip((variables[i] for i in row.variables), row.coefficients.tolist(), strict=True)
    sense = pulp.LpConstraintEQ if row.sense == "==" else pulp.LpConstraintLE
    return pulp.LpConstraint(pulp.LpAffineExpression(terms), sense, rhs=row.bound)


def _tool(solver: SolverName, seconds: float | None) -> pulp.LpSolver:
    """HiGHS with one thread and no presolve: on programs this small either costs ten solves."""
    if solver == "cbc":
        bundled = pulp.PULP_CBC_CMD.pulp_cbc_path
        return pulp.COIN_CMD(
            msg=False, gapRel=0.0, gapAbs=SAME, timeLimit=seconds, threads=1, path=bundled
        )
    return pulp.HiGHS(
        msg=False,
        gapRel=0.0,
        gapAbs=SAME,
        threads=1,
        timeLimit=seconds,
        presolve="off",
        mip_feasibility_tolerance=1e-9,
        primal_feasibility_tolerance=1e-9,
    )
