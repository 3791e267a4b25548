"""Other ways to the same answer, to measure ours against: each returns the least of a measure."""

from collections.abc import Callable

import numpy as np

from keelwatt.choose.program import Program
from keelwatt.choose.question import NOTHING
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from oracle.ledger import Ledger


def by_enumeration(search: Search, by: Measure) -> int:
    """Every kit of the whole catalog at once."""
    ledger = Ledger.of(search, by)
    return NOTHING if ledger.best is None else ledger.value(ledger.best)


def by_milp(program: Program, by: Measure) -> int:
    """scipy's milp, which is HiGHS with its own settings, to a gap of nothing."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    lengths = [row.variables.size for row in program.rows]
    matrix = csr_array(
        (
            np.concatenate([row.coefficients for row in program.rows]).astype(float),
            np.concatenate([row.variables for row in program.rows]),
            np.cumsum([0, *lengths]),
        ),
        shape=(len(lengths), program.size),
    )
    most = np.array([row.bound for row in program.rows], dtype=float)
    exact = np.array([row.sense == "==" for row in program.rows])
    found = milp(
        program.objectives[by].astype(float),
        integrality=np.ones(program.size),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(matrix, np.where(exact, most, -np.inf), most),
        options={"mip_rel_gap": 0.0},
    )
    return NOTHING if found.x is None else round(found.fun)


def by_cp_sat(program: Program, by: Measure) -> int:
    """OR-Tools CP-SAT on one thread."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    chosen = [model.new_bool_var(f"x{number}") for number in range(program.size)]
    for row in program.rows:
        total = cp_model.LinearExpr.weighted_sum(
            [chosen[number] for number in row.variables.tolist()], row.coefficients.tolist()
        )
        model.add(total == row.bound if row.sense == "==" else total <= row.bound)
    model.minimize(cp_model.LinearExpr.weighted_sum(chosen, program.objectives[by].tolist()))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    return round(solver.objective_value) if status == cp_model.OPTIMAL else NOTHING


SOLVERS: dict[str, Callable[[Program, Measure], int]] = {"milp": by_milp, "cp-sat": by_cp_sat}
