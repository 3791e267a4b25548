"""The main job: an outing and a catalog in, the best kit out, checked and explained."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches

import pandas as pd

from keelwatt.candidates import Table, candidates
from keelwatt.catalog.reader import Catalog
from keelwatt.choose.best import best
from keelwatt.choose.solver import SolverName, Status
from keelwatt.choose.space import Space
from keelwatt.choose.sums import Measure
from keelwatt.errors import InputError, InternalError, Problem
from keelwatt.explain import Shut, binding, shut_out
from keelwatt.facts import Facts
from keelwatt.outing import Outing
from keelwatt.prove import Assessor, Proof, prove


@dataclass(frozen=True)
class Advice:
    """What ``pick`` found: a kit with its proof, or the limits that shut every kit out."""

    status: Status
    outing: Outing
    catalog: Catalog
    by: Measure
    solver: SolverName
    excluded: pd.DataFrame
    proof: Proof | None = None
    binding: frozenset[str] = frozenset()
    shut_out: tuple[Shut, ...] = ()
    empty: tuple[str, ...] = ()


def advise(
    outing: Outing,
    catalog: Catalog,
    *,
    by: Measure | None = None,
    solver: SolverName = "highs",
    seconds: float | None = None,
) -> Advice:
    """Choose the best kit, check it against the physics, and say what binds.

    Raises
    ------
    InputError
        If the outing names parts the catalog does not hold.
    InternalError
        If the chosen kit does not hold when recomputed from the parts.
    """
    problems = tuple(part_problems(outing, catalog))
    if problems:
        raise InputError(problems)
    measure: Measure = by or outing.wish.by
    facts = Facts(outing)
    table = candidates(facts, catalog)
    space = Space(table)
    choice = best(space, measure, solver=solver, seconds=seconds)
    advice = Advice(choice.status, outing, catalog, measure, solver, table.excluded)
    if choice.kit is None or choice.measures is None:
        if choice.status == "impossible":
            return replace(
                advice, shut_out=tuple(shut_out(space, measure)), empty=tuple(_empty(table))
            )
        return advice
    proof = prove(Assessor(facts, catalog), choice.kit)
    totals = proof.assessment.totals
    if not proof.holds or (totals.price_cents, totals.mass_g, totals.season_units) != (
        choice.measures["cost"],
        choice.measures["mass"],
        choice.measures["season"],
    ):
        raise InternalError(
            f"the chosen kit does not hold when recomputed from the parts: {choice.kit}, "
            f"{[limit.name for limit in proof.assessment.broken]}, {proof.failures}"
        )
    return replace(advice, proof=proof, binding=binding(space, measure, choice.measures[measure]))


def _empty(table: Table) -> Iterator[str]:
    """Kinds of part of which the rules left nothing at all."""
    if table.drives.empty:
        yield "No motor of the catalog suits any mount."
    elif table.banks.empty:
        yield "No battery of the catalog goes into any compartment at a voltage a motor runs on."
    elif table.wiring.empty:
        yield "No cable, fuse and connector of the catalog together suit any motor and run."


def part_problems(outing: Outing, catalog: Catalog) -> Iterator[Problem]:
    """Ids under ``[parts]`` the catalog does not hold, and requirements no single kit can meet."""
    known = {part.id: kind for kind, parts in catalog.kinds().items() for part in parts}
    parts = outing.parts
    named = {
        "own": parts.own,
        "require": parts.require,
        "refuse": parts.refuse,
        "own_pieces": tuple(parts.own_pieces),
    }

    def problem(key: str, value: str, what: str, remedy: str) -> Problem:
        return Problem(outing.file, None, None, f"parts.{key}", value, what, remedy)

    for key, ids in named.items():
        for id_ in ids:
            if id_ not in known:
                close = get_close_matches(id_, known, n=1)
                remedy = f"did you mean {close[0]}?" if close else "see `keelwatt catalog list`"
                yield problem(key, id_, "no part of the catalog has this id", remedy)
    for kind in catalog.kinds():
        wanted = [id_ for id_ in dict.fromkeys(parts.require) if known.get(id_) == kind]
        if len(wanted) > 1:
            yield problem(
                "require",
                ", ".join(wanted),
                f"a kit holds one of the {kind} only",
                "keep one of them",
            )
