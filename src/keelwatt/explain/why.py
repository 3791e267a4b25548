"""Why a part is in the best kit, or why not: the rule that shuts it out, or what it would cost."""

from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Literal

from keelwatt.choose.block import TILTS
from keelwatt.choose.question import Question
from keelwatt.choose.solver import SolverName
from keelwatt.choose.sums import Measure
from keelwatt.errors import InputError
from keelwatt.explain.advise import Advice, decide
from keelwatt.explain.attempt import Attempt, nearest_attempt
from keelwatt.explain.prices import Found
from keelwatt.explain.ways import WayOut, conflicts, ways_out
from keelwatt.explain.winning import winning_price_cents
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing, Parts
from keelwatt.kits import DEMANDS, Excluded

Verdict = Literal["in the kit", "shut out", "beaten", "breaks limits"]


@dataclass(frozen=True)
class Why:
    """One part of the catalog against the best kit of an outing.

    ``other`` is the advice for the same outing with the part refused if it is in the kit, and
    required if it is not. ``rules``: what shut the part out wholly, the nearest miss first;
    ``attempt``: where no single rule did, the kit with it that comes nearest. ``set_aside``: ids
    under [parts] that the question had to drop.
    ``wins_at_cents``: the highest price, in whole cents, at which the best kit would hold it; a
    metre's for a cable; None where it would not even as a gift. ``conflicts`` and ``ways_out``
    are those of kits with it, where none keeps every limit.
    """

    part: str
    kind: str
    verdict: Verdict
    advice: Advice
    other: Advice
    price_cents: float
    wins_at_cents: int | None = None
    rules: tuple[Excluded, ...] = ()
    attempt: Attempt | None = None
    set_aside: tuple[str, ...] = ()
    conflicts: tuple[tuple[str, ...], ...] = ()
    ways_out: tuple[WayOut, ...] = ()

    @property
    def best(self) -> Found | None:
        """The best kit of the outing."""
        return best_of(self.advice)

    @property
    def rival(self) -> Found | None:
        """The best kit without the part if it is in the best kit, else the best kit with it."""
        return best_of(self.other)

    @property
    def dearer(self) -> float | None:
        """How much worse the rival is, in the measure's own unit; None where there is none."""
        if self.best is None or self.rival is None:
            return None
        return self.rival.value(self.advice.by) - self.best.value(self.advice.by)


def why(
    outing: Outing,
    catalog: Catalog,
    part_id: str,
    *,
    by: Measure | None = None,
    solver: SolverName = "highs",
) -> Why:
    """Why a part is, or is not, in the best kit.

    Raises
    ------
    InputError
        If the catalog holds no such part, or the outing has problems of its own.
    """
    kind = kind_of(catalog, part_id)
    advice = decide(outing, catalog, by=by, solver=solver)
    best, water = best_of(advice), advice.search.types.displacements
    price = _price_cents(catalog, part_id)
    if best and part_id in best.kit.ids:
        parts = outing.parts
        refusing = parts.model_copy(
            update={
                "refuse": (*parts.refuse, part_id),
                "require": tuple(id_ for id_ in parts.require if id_ != part_id),
            }
        )
        other = decide(with_parts(outing, refusing), catalog, by=by, solver=solver, water=water)
        aside = tuple(id_ for id_ in parts.require if id_ == part_id)
        return Why(part_id, kind, "in the kit", advice, other, price, set_aside=aside)
    required, aside = requiring(outing.parts, catalog, part_id, kind)
    other = decide(with_parts(outing, required), catalog, by=by, solver=solver, water=water)
    answer = Why(part_id, kind, "beaten", advice, other, price, set_aside=aside)
    if not _fits(other):
        rules = _rules(other, part_id)
        attempt = None if rules else nearest_attempt(other)
        return replace(answer, verdict="shut out", rules=rules, attempt=attempt)
    wins_at = winning_price_cents(other.search, other.by, best, part_id, kind)
    answer = replace(answer, wins_at_cents=wins_at)
    if answer.rival:
        return answer
    return replace(
        answer,
        verdict="breaks limits",
        conflicts=conflicts(other.search, other.by),
        ways_out=ways_out(other.search, other.by),
    )


def best_of(advice: Advice) -> Found | None:
    """The kit of an advice, with its sums."""
    if advice.proof is None:
        return None
    totals = advice.proof.assessment.totals
    sums = totals.price_cents, totals.mass_g, totals.season_units
    return Found(advice.proof.assessment.kit, *sums)


def _fits(advice: Advice) -> bool:
    """Whether the rules let any kit stand; one that lacks the charger it must hold is none."""
    every = frozenset(advice.search.names) - {"chemistry"}
    return (
        advice.search.possible(Question(advice.by, lifted=every, leaning=frozenset(TILTS)))
        is not None
    )


def kind_of(catalog: Catalog, part_id: str) -> str:
    """The shelf a part stands on; InputError if there is none."""
    known = {part.id: kind for kind, parts in catalog.kinds().items() for part in parts}
    if part_id not in known:
        close = get_close_matches(part_id, known, n=1)
        remedy = f"did you mean {close[0]}?" if close else "see `keelwatt catalog list`"
        what = "no part of the catalog has this id"
        raise InputError.at("PART", what, remedy, value=part_id)
    return known[part_id]


def _price_cents(catalog: Catalog, part_id: str) -> float:
    part = catalog.part(part_id)
    return float(getattr(part, "price_cents", getattr(part, "price_cents_m", 0.0)))


def with_parts(outing: Outing, parts: Parts) -> Outing:
    """The outing with other wishes about parts."""
    return outing.model_copy(update={"parts": parts})


def requiring(
    parts: Parts, catalog: Catalog, part_id: str, kind: str
) -> tuple[Parts, tuple[str, ...]]:
    """The wishes on parts with this one required, and the ids they had to drop for it."""
    rivals = {part.id for part in catalog.kinds()[kind]}
    aside = [id_ for id_ in parts.require if id_ in rivals and id_ != part_id]
    aside += [id_ for id_ in parts.refuse if id_ == part_id]
    required = (*(id_ for id_ in parts.require if id_ not in rivals), part_id)
    refused = tuple(id_ for id_ in parts.refuse if id_ != part_id)
    changes = {"require": required, "refuse": refused}
    return parts.model_copy(update=changes), tuple(aside)


def _rules(other: Advice, part_id: str) -> tuple[Excluded, ...]:
    """Rules that shut the part out, the nearest miss first."""
    skipped = {"parts", *DEMANDS, "control_heat"}
    rules = (e for e in other.excluded if e.part == part_id and e.rule not in skipped)
    return tuple(sorted(rules, key=lambda rule: rule.miss / (abs(rule.bound) or 1.0)))
