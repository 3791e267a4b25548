"""The best kit of a space: quick incumbent, then the program proves, then equals are told apart."""

from dataclasses import dataclass

import numpy as np

from keelwatt.choose.bounds import equals, floor, incumbent, worth_keeping
from keelwatt.choose.program import build
from keelwatt.choose.solver import SolverName, Status, minimise
from keelwatt.choose.space import NOTHING, THEN, Keep, Space
from keelwatt.choose.sums import Ints, Measure
from keelwatt.errors import InternalError
from keelwatt.files.kit import Kit


@dataclass(frozen=True)
class Choice:
    """The chosen kit with its whole-number measures, or why there is none."""

    status: Status
    kit: Kit | None = None
    measures: dict[Measure, int] | None = None
    program_size: int = 0


def best(
    space: Space,
    by: Measure,
    *,
    solver: SolverName = "highs",
    seconds: float | None = None,
    bounded: bool = True,
) -> Choice:
    """The kit least in ``by``, then in its second measure, then first in the catalog's order.

    ``bounded`` lets the incumbent thin the program out; the answer is the same without.
    """
    floors = floor(space, by)
    known = incumbent(space, by, floors) if bounded else NOTHING
    program = build(space, _keep(space, by, floors, known, bounded))
    first = minimise(program, by, solver=solver, seconds=seconds)
    if first.chosen is None:
        if first.status == "impossible" and known < NOTHING:
            raise InternalError(f"the program has no answer, but a kit at {known} is known")
        return Choice(first.status, program_size=program.size)
    if first.status == "unproved":
        return _choice(space, program.picked(first.chosen), "unproved", program.size)
    least = int(program.objectives[by][first.chosen].sum())
    if bounded and least != known:
        raise InternalError(f"the program proved {least} best, but a kit at {known} is known")
    small = build(space, _keep(space, by, floors, least, bounded))
    small = small.with_rows(small.at_most(by, least))
    second = minimise(small, THEN[by], solver=solver, seconds=seconds)
    if second.chosen is None:
        if second.status == "unproved":
            return _choice(space, program.picked(first.chosen), "unproved", program.size)
        raise InternalError("the best kit is gone when sought a second time")
    found = _choice(space, small.picked(second.chosen), second.status, program.size)
    if found.measures is None or second.status == "unproved":
        return found
    same = equals(space, floors, {m: found.measures[m] for m in (by, THEN[by])}, by)
    if not same.bank.size:
        raise InternalError("the tables do not hold the kit that the program chose")
    front = int(np.lexsort((same.wiring, same.drive, same.bank))[0])
    rows = int(same.bank[front]), int(same.drive[front]), int(same.wiring[front])
    return _choice(space, rows, "best", program.size)


def _keep(space: Space, by: Measure, floors: Ints, known: int, bounded: bool) -> Keep:
    if bounded:
        return worth_keeping(space, by, floors, known)
    t = space.table
    banks, drives, wiring = (
        np.ones(len(frame), dtype=bool) for frame in (t.banks, t.drives, t.wiring)
    )
    return banks, drives, wiring


def _choice(space: Space, rows: tuple[int, int, int], status: Status, size: int) -> Choice:
    bank, drive, wiring = rows
    charger = int(space.charger_rows[bank])
    kit = space.table.kit(bank, drive, wiring, None if charger < 0 else charger)
    measures = {
        measure: sum(int(of[row]) for of, row in zip(parts, rows, strict=True))
        for measure, parts in space.measures.items()
    }
    return Choice(status, kit, measures, size)
