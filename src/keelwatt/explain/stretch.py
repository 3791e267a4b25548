"""How far one wish can stretch: the best kit for every amount of it, every breakpoint exact."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from math import inf
from typing import TYPE_CHECKING

from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.errors import InputError
from keelwatt.explain import changed as sides
from keelwatt.explain.advise import Advice
from keelwatt.explain.amounts import wished
from keelwatt.explain.climb import Climb, Served
from keelwatt.explain.cover import APART, Piece
from keelwatt.explain.prices import Found
from keelwatt.limits import OVERS

if TYPE_CHECKING:
    import pandas as pd

Over = str
"""What a stretch runs over, one of ``OVERS``. ``hours`` is the whole day, devices too, made longer
or shorter; ``speed`` that of all legs, in shares of the wished speeds."""

COLUMNS = {
    "from": "amount the step begins at, in the wish's unit",
    "to": "amount it ends at; at a breakpoint itself the better kit still does",
    "known": "False where a stopped search left the range open",
    **sides.COLUMNS,
    "changes": "kinds of part that differ from the last kit before, joined by |",
}
"""Column -> meaning of ``Stretch.frame``; nothing fits where the kit's columns are empty."""


@dataclass(frozen=True)
class Step:
    """The best kit from ``start`` to ``end``; None where nothing fits, or it is not known yet.

    ``changes``: the kinds of part that differ from the last kit before it. ``serves``: all that the
    kit does for, other kits' steps too.
    """

    start: float
    end: float
    found: Found | None
    changes: tuple[str, ...] = ()
    known: bool = True
    serves: tuple[tuple[float, float], ...] = field(default=(), compare=False, repr=False)


@dataclass(frozen=True)
class Stretch:
    """The staircase over one wish, in its ``unit``; ``partial`` if it was stopped.

    ``asked`` is what the outing asks, None where it asks for nothing. ``merged``: how many steps
    were joined to others.
    """

    over: Over
    by: Measure
    unit: str
    asked: float | None
    low: float
    high: float
    steps: tuple[Step, ...]
    partial: bool
    merged: int = 0

    @property
    def status(self) -> str:
        """Impossible only if nothing fits anywhere; unproved if it was stopped."""
        if self.partial:
            return "unproved"
        return "best" if self.climbs else "impossible"

    @property
    def growing(self) -> bool:
        """Whether more of it asks more of a kit; else it is an allowance."""
        return OVERS[self.over].grows

    @property
    def climbs(self) -> tuple[Step, ...]:
        """The steps that have a kit."""
        return tuple(step for step in self.steps if step.found)

    @property
    def ladder(self) -> tuple[Step, ...]:
        """The steps from what asks least of a kit to what asks most."""
        return self.steps if self.growing else self.steps[::-1]

    def reach(self, step: Step) -> float:
        """The hardest amount of a step, where its kit still does."""
        return step.end if self.growing else step.start

    def at(self, amount: float) -> Step | None:
        """The step an amount falls on, None outside the range; at a breakpoint the better kit."""
        within = (s for s in self.ladder if s.start <= amount * APART and amount <= s.end * APART)
        return next(within, None)

    def frame(self) -> "pd.DataFrame":
        """One row a step, under COLUMNS."""
        import pandas as pd

        rows = [
            [s.start, s.end, s.known, *sides.kit_row(s.found), "|".join(s.changes)]
            for s in self.steps
        ]
        return pd.DataFrame(rows, columns=list(COLUMNS))


def stretch(
    advice: Advice,
    over: Over,
    low: float | None = None,
    high: float | None = None,
    *,
    progress: Callable[[float], None] | None = None,
) -> Stretch:
    """The best kit by ``advice.by`` for every amount of a wish between ``low`` and ``high``.

    Amounts are in the wish's own unit: h, m/s, kg, deg, whole currency, shares. All other wishes
    stay as they are. ``progress`` is told the share of the kits weighed; on KeyboardInterrupt what
    was found so far is returned, marked partial.

    Raises
    ------
    InputError
        If the range is none, or no leg has a speed to stretch.
    """
    search = _search(advice, over)
    low, high = _range(over, low, high)
    climb, partial = Climb(search, advice.by, over, low, high), False
    try:
        for share in climb.walk():
            if progress:
                progress(share)
        if progress:
            progress(1.0)
    except KeyboardInterrupt:
        partial = True
    kits, pieces = climb.answer()
    asked = wished(advice.case, OVERS[over].name)
    steps = tuple(_steps(kits, pieces, partial))
    return Stretch(over, advice.by, OVERS[over].unit, asked, low, high, steps, partial)


def _search(advice: Advice, over: Over) -> Search:
    """The advice's, with chargers where only the stretch asks for them."""
    outing = advice.outing
    if over == "speed" and not any(leg.speed_m_s for leg in outing.legs):
        raise InputError.at("--over", "needs a leg that moves", "stretch another wish", value=over)
    if over != "recharge" or outing.limits.recharge_within_h is not None:
        return advice.search
    limits = outing.limits.model_copy(update={"recharge_within_h": inf})
    case = replace(advice.case, outing=outing.model_copy(update={"limits": limits}))
    return Search(case, advice.catalog)


def _range(over: Over, low: float | None, high: float | None) -> tuple[float, float]:
    declared = OVERS[over]
    loosest = inf if declared.grows or declared.loosest is None else declared.loosest
    least, most = declared.span or (0.0, loosest)
    low, high = least if low is None else low, most if high is None else high
    if not 0.0 <= low < high:
        given, what = f"{low:g} to {high:g} {declared.unit}", "leaves nothing to stretch over"
        raise InputError.at("--from", what, "write the lesser first", value=given)
    if over == "reserve" and low < (declared.loosest or 0.0):
        what = "keeps too little back to come home on"
        raise InputError.at("--from", what, "write 10 % or more", value=f"{low:.0%}")
    if over == "speed" and low == 0.0:
        raise InputError.at("--from", "never arrives", "write a speed above 0", value="0")
    if high > loosest * APART:
        what, remedy = "leans the craft too far", f"write {loosest:g} deg or less"
        raise InputError.at("--to", what, remedy, value=f"{high:g} deg")
    return low, high


def _steps(kits: list[Served], pieces: tuple[Piece, ...], partial: bool) -> Iterator[Step]:
    last: Found | None = None
    for piece in pieces:
        if piece.kit is None:
            yield Step(piece.start, piece.end, None, known=not partial)
            continue
        kit, ranges = kits[piece.kit]
        changes = sides.changed(last.kit, kit.kit) if last else ()
        yield Step(piece.start, piece.end, kit, changes, serves=ranges)
        last = kit
