"""Before and after: an outing, the same with settings made in it, and what to buy instead."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from keelwatt.choose.solver import SolverName
from keelwatt.choose.sums import Measure
from keelwatt.edit.edit import SETTING, Edit, edited
from keelwatt.edit.rewrite import difference
from keelwatt.errors import InputError
from keelwatt.explain.advise import Advice, advise, check_parts, part_problems
from keelwatt.explain.changed import PLACES, changed
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import outing_from_text
from keelwatt.limits import LIMITS, Limit


@dataclass(frozen=True)
class Difference:
    """After less before, of two kits: cents, grams, cents a season."""

    cost_cents: int
    mass_g: int
    season_cents: float


@dataclass(frozen=True)
class Both:
    """One limit before and after; None where it is not asked for, or no kit was found."""

    name: str
    before: Limit | None
    after: Limit | None


How = Literal["kept", "altered", "replaced", "added", "dropped"]


@dataclass(frozen=True)
class Swap:
    """One kind of part and its ids before and after, None for none.
    An altered part is the same one in another number, length or place."""

    kind: str
    before: str | None
    after: str | None
    how: How


def _swap(kind: str, was: Kit, now: Kit, differs: bool) -> Swap:
    before, after = getattr(was, kind), getattr(now, kind)
    how: How = "altered" if differs else "kept"
    if before != after:
        how = "replaced" if before and after else "added" if after else "dropped"
    return Swap(kind, before, after, how)


@dataclass(frozen=True)
class WhatIf:
    """Two answers; either may be impossible and then tells conflicts and ways out.
    ``old_text`` is the outing's file, ``text`` the same with the settings made."""

    settings: tuple[str, ...]
    edits: tuple[Edit, ...]
    text: str
    before: Advice
    after: Advice
    old_text: str

    @property
    def changes(self) -> str:
        """The lines that change, as a unified difference."""
        return difference(self.old_text, self.text, self.after.outing.file)

    @property
    def difference(self) -> Difference | None:
        """None unless there is a kit on both sides."""
        before, after = self.before.proof, self.after.proof
        if before is None or after is None:
            return None
        was, now = before.assessment.totals, after.assessment.totals
        return Difference(
            now.price_cents - was.price_cents,
            now.mass_g - was.mass_g,
            now.season_cents - was.season_cents,
        )

    @property
    def swaps(self) -> tuple[Swap, ...]:
        """Every kind of part of either kit; empty unless there is a kit on both sides."""
        was, now = kit_of(self.before), kit_of(self.after)
        if was is None or now is None:
            return ()
        differ = changed(was, now)
        every = (_swap(kind, was, now, kind in differ) for kind in PLACES)
        return tuple(swap for swap in every if swap.before or swap.after)

    @property
    def limits(self) -> tuple[Both, ...]:
        was, now = _limits(self.before), _limits(self.after)
        names = [name for name in LIMITS if name in was | now]
        return tuple(Both(name, was.get(name), now.get(name)) for name in names)


def whatif(
    text: str,
    file: str,
    catalog: Catalog,
    settings: Iterable[str],
    *,
    by: Measure | None = None,
    solver: SolverName = "highs",
    seconds: float | None = None,
) -> WhatIf:
    """The best kit for an outing's text, and for the same with settings made in it.
    ``by`` holds for both sides; without it each outing's own wish.
    InputError: with every problem of the text, or else of the settings."""
    made = edited(text, file, settings := tuple(settings))
    outing = outing_from_text(text, file)
    check_parts(outing, catalog)
    if mistaken := tuple(part_problems(made.outing, catalog)):
        raise InputError(replace(problem, file=SETTING) for problem in mistaken)
    before, after = (
        advise(side, catalog, by=by, solver=solver, seconds=seconds)
        for side in (outing, made.outing)
    )
    return WhatIf(settings, made.edits, made.text, before, after, text)


def kit_of(advice: Advice) -> Kit | None:
    return advice.proof.assessment.kit if advice.proof else None


def _limits(advice: Advice) -> dict[str, Limit]:
    return {limit.name: limit for limit in advice.proof.assessment.limits} if advice.proof else {}
