"""The main job: an outing and a catalog in, the best kit out, checked and explained."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cached_property
from math import isclose
from typing import Any

import pandas as pd

from keelwatt.boat.facts import Facts
from keelwatt.choose.best import Choice
from keelwatt.choose.narrow import best_of_catalog
from keelwatt.choose.solver import SolverName, Status
from keelwatt.choose.sums import Measure
from keelwatt.errors import InputError, InternalError, Problem
from keelwatt.explain.balance import Balance, balance
from keelwatt.explain.ledger import Ledger
from keelwatt.explain.prices import Price, prices
from keelwatt.explain.rules import rule_prices
from keelwatt.explain.ways import WayOut, conflicts, ways_out
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing
from keelwatt.kits import Table, candidates
from keelwatt.proof import Assessor, Proof, prove


@dataclass(frozen=True)
class Advice:
    """What ``pick`` found: a kit with its proof and prices, or every conflict and way out.

    ``whole``: whether ``table`` is of the whole catalog; a very large one is narrowed to what could
    be best, and then not explained unless asked. ``ledger`` holds every kit, for further questions.
    """

    status: Status
    outing: Outing
    catalog: Catalog
    by: Measure
    solver: SolverName
    table: Table
    whole: bool = True
    proof: Proof | None = None
    prices: tuple[Price, ...] = ()
    conflicts: tuple[tuple[str, ...], ...] = ()
    ways_out: tuple[WayOut, ...] = ()
    empty: tuple[str, ...] = ()
    explained: bool = False

    @property
    def excluded(self) -> pd.DataFrame:
        return self.table.excluded

    @cached_property
    def whole_table(self) -> Table:
        """The table of the whole catalog, made if ``table`` is narrowed."""
        table = self.table
        return table if self.whole else candidates(table.facts, self.catalog, light=table.light)

    @cached_property
    def ledger(self) -> Ledger:
        return Ledger.of(self.whole_table, self.by)

    @cached_property
    def balance(self) -> Balance:
        """How the craft lies with the kit aboard; needs a kit."""
        if self.proof is None:
            raise ValueError("without a kit there is no balance")
        return balance(self.table.facts, self.proof)

    @property
    def binding(self) -> frozenset[str]:
        return frozenset(price.name for price in self.prices if price.binding)

    def having(self, **found: Any) -> "Advice":
        """The same answer with more found; what was made of its table and kit is kept."""
        more = replace(self, **found)
        kept = ("whole_table", "ledger", "balance")
        vars(more).update({name: vars(self)[name] for name in kept if name in vars(self)})
        return more


def advise(
    outing: Outing,
    catalog: Catalog,
    *,
    by: Measure | None = None,
    solver: SolverName = "highs",
    seconds: float | None = None,
    explain: bool | None = None,
) -> Advice:
    """Choose the best kit, check it against the physics, and explain it.

    ``explain`` None leaves a very large catalog unexplained, where that takes long.

    Raises
    ------
    InputError
        If the outing names parts the catalog does not hold.
    InternalError
        If the chosen kit does not hold when recomputed from the parts, or the ledger of all kits
        disagrees with the program.
    """
    advice = decide(outing, catalog, by=by, solver=solver, seconds=seconds)
    if not (advice.whole if explain is None else explain):
        return advice
    if not advice.whole:
        advice = replace(advice, table=advice.whole_table, whole=True)
    if advice.status == "impossible":
        return _impossible(advice)
    return explained(advice) if advice.status == "best" else advice


def decide(
    outing: Outing,
    catalog: Catalog,
    *,
    by: Measure | None = None,
    solver: SolverName = "highs",
    seconds: float | None = None,
) -> Advice:
    """As :func:`advise`, without prices, conflicts and ways out."""
    problems = tuple(part_problems(outing, catalog))
    if problems:
        raise InputError(problems)
    measure: Measure = by or outing.wish.by
    facts = Facts(outing)
    table, choice, whole = best_of_catalog(facts, catalog, measure, solver=solver, seconds=seconds)
    return proved(Advice(choice.status, outing, catalog, measure, solver, table, whole), choice)


def proved(advice: Advice, choice: Choice) -> Advice:
    """The advice with the chosen kit, recomputed from the parts; as it is where there is none.

    Raises
    ------
    InternalError
        If the kit does not hold, or comes to other sums or another cable run than the choice.
    """
    if choice.kit is None or choice.measures is None:
        return advice
    assessor = Assessor(advice.outing, advice.catalog)
    proof = prove(assessor, choice.kit)
    totals, run_m = proof.assessment.totals, assessor.planned_run_m(choice.kit)
    sound = proof.holds and isclose(choice.kit.run_m, run_m)
    if not sound or (totals.price_cents, totals.mass_g, totals.season_units) != (
        choice.measures["cost"],
        choice.measures["mass"],
        choice.measures["season"],
    ):
        raise InternalError(
            f"the chosen kit does not hold when recomputed from the parts: {choice.kit}, "
            f"{[limit.name for limit in proof.assessment.broken]}, {proof.failures}"
        )
    return replace(advice, proof=proof)


def explained(advice: Advice) -> Advice:
    """A proved kit's advice with what each limit costs it.

    Raises
    ------
    InternalError
        If the ledger of all kits disagrees with the program.
    """
    ledger = advice.ledger
    if ledger.best is None or advice.proof is None:
        raise InternalError("the program found a kit where the ledger holds none")
    if ledger.kit(ledger.best) != advice.proof.assessment.kit:
        raise InternalError("the program and the ledger of all kits choose different kits")
    return advice.having(prices=(*prices(ledger), *rule_prices(ledger)), explained=True)


def _impossible(advice: Advice) -> Advice:
    ledger = advice.ledger
    if ledger.best is not None:
        raise InternalError("the ledger holds a kit where the program found none")
    return advice.having(
        conflicts=conflicts(ledger),
        ways_out=ways_out(ledger),
        empty=tuple(emptied(advice.table)),
        explained=True,
    )


def emptied(table: Table) -> Iterator[str]:
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
        return Problem(file=outing.file, key=f"parts.{key}", value=value, what=what, remedy=remedy)

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
