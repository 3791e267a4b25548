"""Why a part is in the best kit, or why not: the rule that shuts it out, or what it would cost."""

from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Literal

import numpy as np

from keelwatt.boat.arrays import Bools
from keelwatt.choose.solver import SolverName
from keelwatt.choose.sums import Measure
from keelwatt.errors import InputError
from keelwatt.explain.advise import Advice, decide
from keelwatt.explain.attempt import Attempt, nearest_attempt
from keelwatt.explain.ledger import Ledger
from keelwatt.explain.prices import Found, found
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
        return _best(self.advice.ledger)

    @property
    def rival(self) -> Found | None:
        """The best kit without the part if it is in the best kit, else the best kit with it."""
        return _best(self.other.ledger)

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
    kind = _kind(catalog, part_id)
    advice = decide(outing, catalog, by=by, solver=solver)
    best = _best(advice.ledger)
    price = _price_cents(catalog, part_id)
    if best and part_id in best.kit.ids:
        parts = outing.parts
        refusing = parts.model_copy(
            update={
                "refuse": (*parts.refuse, part_id),
                "require": tuple(id_ for id_ in parts.require if id_ != part_id),
            }
        )
        other = decide(_with(outing, refusing), catalog, by=by, solver=solver)
        aside = tuple(id_ for id_ in parts.require if id_ == part_id)
        return Why(part_id, kind, "in the kit", advice, other, price, set_aside=aside)
    requiring, aside = _requiring(outing.parts, catalog, part_id, kind)
    other = decide(_with(outing, requiring), catalog, by=by, solver=solver)
    answer = Why(part_id, kind, "beaten", advice, other, price, set_aside=aside)
    if not _fits(other.ledger).any():
        rules = _rules(other, part_id)
        attempt = None if rules else nearest_attempt(other)
        return replace(answer, verdict="shut out", rules=rules, attempt=attempt)
    wins_at = winning_price_cents(other.ledger, best, part_id, kind)
    answer = replace(answer, wins_at_cents=wins_at)
    if answer.rival:
        return answer
    return replace(
        answer,
        verdict="breaks limits",
        conflicts=conflicts(other.ledger),
        ways_out=ways_out(other.ledger),
    )


def _best(ledger: Ledger) -> Found | None:
    return None if ledger.best is None else found(ledger, ledger.best)


def _fits(ledger: Ledger) -> Bools:
    """Kits put together by the rules; one that lacks the charger it must hold is none."""
    return np.asarray(ledger.broken & ledger.bit("chemistry") == 0)


def _kind(catalog: Catalog, part_id: str) -> str:
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


def _with(outing: Outing, parts: Parts) -> Outing:
    return outing.model_copy(update={"parts": parts})


def _requiring(
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
    excluded = other.excluded
    rows = excluded[excluded["part"].eq(part_id) & ~excluded["rule"].isin(["parts", *DEMANDS])]
    fields = ("kind", "part", "rule", "value", "bound", "unit", "where", "tried")
    found_rules = [Excluded(*(row[name] for name in fields)) for row in rows.to_dict("records")]
    return tuple(sorted(found_rules, key=lambda rule: rule.miss / (abs(rule.bound) or 1.0)))
