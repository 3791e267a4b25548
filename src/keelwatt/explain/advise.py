"""The main job: an outing and a catalog in, the best kit out, checked and explained."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cached_property
from math import isclose
from typing import Any

from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import Displacements
from keelwatt.choose.best import Choice, choose
from keelwatt.choose.search import Search
from keelwatt.choose.solver import SolverName, Status
from keelwatt.choose.sums import Measure
from keelwatt.errors import InputError, InternalError, Problem
from keelwatt.explain.balance import Balance, balance
from keelwatt.explain.moving import Move, moves
from keelwatt.explain.prices import Price, prices
from keelwatt.explain.rules import rule_prices
from keelwatt.explain.ways import WayOut, conflicts, ways_out
from keelwatt.files.catalog.parts import OPTIONAL, Enclosure
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing
from keelwatt.kits import Excluded, Types
from keelwatt.kits.left_out import left_out, wanted
from keelwatt.limits import LIMITS, MEASURED
from keelwatt.proof import Assessor, Proof, prove


@dataclass(frozen=True)
class Advice:
    """What ``pick`` found: a kit with its proof and prices, or every conflict and way out.

    ``choice`` also tells what the program proved of it; ``search`` answers further questions.
    """

    status: Status
    outing: Outing
    catalog: Catalog
    by: Measure
    solver: SolverName
    search: Search
    choice: Choice
    proof: Proof | None = None
    prices: tuple[Price, ...] = ()
    conflicts: tuple[tuple[str, ...], ...] = ()
    ways_out: tuple[WayOut, ...] = ()
    moves: tuple[Move, ...] = ()
    empty: tuple[str, ...] = ()
    explained: bool = False

    @property
    def case(self) -> LoadCase:
        return self.search.case

    @property
    def bound(self) -> float | None:
        """No kit comes to less of the measure, as far as was proved: money, or kg; None: no kit."""
        bound = self.choice.bound
        name = next(name for name, measure in MEASURED.items() if measure == self.by)
        return None if bound is None else float(LIMITS[name].of_whole(bound))

    @property
    def gap(self) -> float | None:
        """How far the kit can be from the best, as a share of its own measure."""
        pick, bound = self.choice.pick, self.choice.bound
        if pick is None or bound is None:
            return None
        value = pick.value(self.by)
        return (value - bound) / value if value else 0.0

    @cached_property
    def excluded(self) -> tuple[Excluded, ...]:
        """Parts the rules left out before the choice, each with rule and nearest miss."""
        return left_out(
            Types(
                self.case,
                self.catalog,
                every_control=True,
                known=self.search.types.displacements,
            )
        )

    @property
    def shut_out(self) -> dict[str, int]:
        """How many placements, couples and sets each rule shut out before the choice."""
        counts: dict[str, int] = {}
        for excluded in sorted(self.excluded, key=lambda e: e.rule):
            counts[excluded.rule] = counts.get(excluded.rule, 0) + excluded.tried
        return counts

    @cached_property
    def balance(self) -> Balance:
        """How the craft lies with the kit aboard; needs a kit."""
        if self.proof is None:
            raise ValueError("without a kit there is no balance")
        return balance(self.case, self.proof)

    @property
    def defaults_that_bind(self) -> tuple[str, ...]:
        """Wishes and margins nobody typed, their default being part of what binds."""
        limits = self.outing.limits
        return tuple(
            name
            for name, declared in LIMITS.items()
            if declared.key
            and declared.field not in limits.model_fields_set
            and declared.asked(limits)
            and self.binding & set(declared.decides)
        )

    @property
    def binding(self) -> frozenset[str]:
        return frozenset(price.name for price in self.prices if price.binding)

    def having(self, **found: Any) -> "Advice":
        """The same answer with more found; what was made of its search and kit is kept."""
        more = replace(self, **found)
        kept = ("excluded", "balance")
        vars(more).update({name: vars(self)[name] for name in kept if name in vars(self)})
        return more


def advise(
    outing: Outing,
    catalog: Catalog,
    *,
    by: Measure | None = None,
    solver: SolverName = "highs",
    seconds: float | None = None,
) -> Advice:
    """Choose the best kit, check it against the physics, and explain it.

    Raises
    ------
    InputError
        If the outing names parts the catalog does not hold.
    InternalError
        If the chosen kit does not hold when recomputed from the parts, or search and program
        disagree.
    """
    return explained(decide(outing, catalog, by=by, solver=solver, seconds=seconds))


def decide(
    outing: Outing,
    catalog: Catalog,
    *,
    by: Measure | None = None,
    solver: SolverName = "highs",
    seconds: float | None = None,
    water: Displacements | None = None,
) -> Advice:
    """As :func:`advise`, without prices, conflicts and ways out.

    ``water``: the same boat's, if known.
    """
    check_parts(outing, catalog)
    measure: Measure = by or outing.wish.by
    search = Search(LoadCase(outing), catalog, water=water)
    choice = choose(search, measure, solver=solver, seconds=seconds)
    return proved(Advice(choice.status, outing, catalog, measure, solver, search, choice))


def proved(advice: Advice) -> Advice:
    """The advice with the chosen kit, recomputed from the parts; as it is where there is none.

    Raises
    ------
    InternalError
        If the kit does not hold, or comes to other sums or another cable run than the choice.
    """
    kit, measures = advice.choice.kit, advice.choice.measures
    if kit is None or measures is None:
        return advice
    assessor = Assessor(advice.outing, advice.catalog)
    proof = prove(assessor, kit)
    totals, run_m = proof.assessment.totals, assessor.planned_run_m(kit)
    sound = proof.holds and isclose(kit.run_m, run_m)
    if not sound or (totals.price_cents, totals.mass_g, totals.season_units) != (
        measures["cost"],
        measures["mass"],
        measures["season"],
    ):
        raise InternalError(
            f"the chosen kit does not hold when recomputed from the parts: {kit}, "
            f"{[limit.name for limit in proof.assessment.broken]}, {proof.failures}"
        )
    return replace(advice, proof=proof)


def explained(advice: Advice) -> Advice:
    """With what each limit costs the proved kit; where nothing fits, with what clashes and every
    way out."""
    if advice.status == "impossible":
        return _impossible(advice)
    pick = advice.choice.pick
    if pick is None or advice.status != "best":
        return advice
    told = (
        *prices(advice.search, advice.by, pick),
        *rule_prices(advice.search, advice.by, pick),
    )
    moved = moves(advice.search, advice.by, pick.value(advice.by))
    return advice.having(prices=told, moves=moved, explained=True)


def _impossible(advice: Advice) -> Advice:
    return advice.having(
        conflicts=conflicts(advice.search, advice.by),
        ways_out=ways_out(advice.search, advice.by),
        moves=moves(advice.search, advice.by),
        empty=tuple(emptied(advice)),
        explained=True,
    )


def emptied(advice: Advice) -> Iterator[str]:
    """Kinds of part of which the rules left nothing at all."""
    types = advice.search.types
    if not len(types.drive_types):
        controls = [e for e in advice.excluded if e.kind == "controller" and e.rule != "parts"]
        for control in controls if types.any_hangs else ():
            does = "carries" if control.unit == "A" else "works at"
            yield (
                f"{control.part} goes with no motor: it {does} {control.value:g} {control.unit}, "
                f"and {control.bound:g} {control.unit} is needed ({control.where})."
            )
        if not controls or not types.any_hangs:
            yield "No motor of the catalog suits any mount."
    elif not len(types.bank_types):
        yield "No battery of the catalog goes into any compartment at a voltage a motor runs on."
    elif not any(len(types.wirings.sets(zone)) for zone in wanted(types)):
        yield "No cable, fuse and connector of the catalog together suit any motor and run."


def check_parts(outing: Outing, catalog: Catalog) -> None:
    """InputError with every problem of ``[parts]``, if there is one."""
    if problems := tuple(part_problems(outing, catalog)):
        raise InputError(problems)


def part_problems(outing: Outing, catalog: Catalog) -> Iterator[Problem]:
    """Ids under ``[parts]`` the catalog does not hold, and requirements no single kit can meet."""
    known = {part.id: kind for kind, parts in catalog.shelves().items() for part in parts}
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
    for id_ in parts.require:
        part = catalog.part(id_) if id_ in known else None
        for_battery = isinstance(part, Enclosure) and part.holds == "battery"
        if known.get(id_) in OPTIONAL and not for_battery:
            what = "is a fitting: the cheapest that suit are taken"
            yield problem("require", id_, what, "leave it out, or refuse the others")
        elif for_battery and outing.policy.battery_box == "never":
            what = 'is a box for batteries, and battery_box under [policy] is "never"'
            yield problem("require", id_, what, 'write "if cheapest" there, or leave it out')
    for kind in catalog.kinds():
        wanted = [id_ for id_ in dict.fromkeys(parts.require) if known.get(id_) == kind]
        if len(wanted) > 1:
            yield problem(
                "require",
                ", ".join(wanted),
                f"a kit holds one of the {kind} only",
                "keep one of them",
            )
