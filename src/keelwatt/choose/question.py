"""A question about the kits of a catalog: which limits hold, how far, and what is made least."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import ceil, radians

import numpy as np

from keelwatt.boat.arrays import Ints
from keelwatt.boat.load_case import LoadCase
from keelwatt.choose.block import TILTS, Block
from keelwatt.choose.sums import Measure
from keelwatt.files.kit import just_above
from keelwatt.kits import Bounds
from keelwatt.kits.needs import AS_WISHED, Span
from keelwatt.limits import LIMITS, MEASURED, Declared

THEN: dict[Measure, Measure] = {"cost": "mass", "mass": "cost", "season": "mass"}
"""Which measure decides between equals of the first."""

NOTHING = int(np.iinfo(np.int64).max // 4)
"""Stands for a measure no kit has."""

SLACK = 1e-6
"""Couples' bounds are eased by this share, so that rounding never shuts out a kit at its bound."""


TILT_SLACK = 1e-4
"""Likewise for trim and heel, counted in hundred-thousandths, each part rounded up."""

LEAST_RAD = 1e-4
"""Couples are not asked to lean less than this: the sums want a bound to count in."""


@dataclass(frozen=True)
class Question:
    """Kits least in ``by``, then in its second measure, then first in the catalog's order.

    ``lifted``: limits given up; trim and heels no further than they may be loosened, but for those
    in ``leaning``. ``needed``: amounts of wishes that a kit must have at the least, told to spare
    work: whoever asks judges the kits. ``spans``: speeds of the legs at one of which a bank must
    last, as shares of the wished. ``below``: only kits that come to less. ``calm``: the heel
    with the motor across is kept as it is without a top speed to reach.
    """

    by: Measure
    lifted: frozenset[str] = frozenset()
    needed: Mapping[str, float] = field(default_factory=dict)
    spans: tuple[Span, ...] = (AS_WISHED,)
    below: int = NOTHING
    leaning: frozenset[str] = frozenset()
    calm: bool = False
    then: tuple[Measure, ...] = ()

    @property
    def measures(self) -> tuple[Measure, ...]:
        """What orders kits, the first first."""
        return self.by, *(self.then or (THEN[self.by],))

    def lifting(self, *names: str) -> "Question":
        return replace(self, lifted=self.lifted | {*names})

    def loosening(self, wish: Declared) -> "Question":
        """With all given up that a wish decides: with less of it a boat may stand upright that now
        leans further than any answer may."""
        leaning = frozenset() if wish.name in TILTS else frozenset(TILTS)
        return replace(self.lifting(*wish.decides), leaning=self.leaning | leaning)

    def needing(self, **amounts: float) -> "Question":
        return replace(self, needed={**self.needed, **amounts})


@dataclass(frozen=True)
class Pick:
    """One kit of a block."""

    block: Block
    row: int

    def value(self, measure: Measure) -> int:
        return int(self.block.measures[measure][self.row])

    def key(self, question: Question) -> tuple[int, ...]:
        """The lesser of two keys is the better kit."""
        values = (self.value(measure) for measure in question.measures)
        return *values, int(self.block.rank[self.row])


def bounds_of(question: Question, case: LoadCase, *, charger_required: bool) -> Bounds:
    """What every couple must keep for one of its kits to answer."""
    limits, lifted, needed = case.outing.limits, question.lifted, question.needed

    def bound(name: str, asked: float | None) -> float | None:
        if name in needed:
            return needed[name]
        return None if name in lifted else asked

    most: dict[str, int] = {}

    def at_most(measure: str, value: int) -> None:
        most[measure] = min(value, most.get(measure, value))

    for name, measure in MEASURED.items():
        asked = LIMITS[name].whole(limits)
        if name in needed:
            at_most(measure, ceil(just_above(needed[name] / LIMITS[name].of_whole(1))) + 1)
        elif name not in lifted and asked is not None:
            at_most(measure, asked)
    if "payload_margin" in needed:
        spare_g = 1000.0 * (case.outing.craft.payload_limit_kg - case.aboard_kg)
        at_most("mass", ceil(spare_g - 1000.0 * needed["payload_margin"]) + 1)
    elif "payload" not in lifted:
        at_most("mass", case.room_g)
    at_most(question.by, question.below - 1)
    lift_kg = bound("lift", limits.lift_kg)
    top_m_s = bound("top_speed", limits.top_speed_m_s)
    hours = bound("hours", case.outing_hours)
    legs = bound("leg_speed", 1.0)
    timed = limits.recharge_within_h is not None and "recharge" not in lifted
    recharge_h = needed.get("recharge", limits.recharge_within_h if timed else None)
    required = charger_required and "chemistry" not in lifted
    return Bounds(
        by=question.by,
        most=tuple(sorted(most.items())),
        lift_g=None if lift_kg is None else ceil(1000.0 * lift_kg * (1 + SLACK)),
        hours=0.0 if hours is None else hours / case.outing_hours * (1.0 - SLACK),
        spans=question.spans,
        legs=0.0 if legs is None else legs * (1.0 - SLACK),
        top_m_s=None if top_m_s is None else top_m_s * (1.0 - SLACK),
        recharge_h=None if recharge_h is None else recharge_h * (1.0 + SLACK),
        charger=required or recharge_h is not None,
    )


def loosened(question: Question, case: LoadCase) -> LoadCase:
    """The case with lifted trim and heel at the loosest, or at what is needed."""
    changes: dict[str, float | None] = {}
    for name in TILTS:
        declared = LIMITS[name]
        if name in question.needed:
            asked = max(radians(question.needed[name] * (1.0 + TILT_SLACK)), LEAST_RAD)
            changes[declared.field] = min(asked, declared.loosest_si or asked)
        elif name in question.lifted and not (name == "turn_heel" and question.calm):
            changes[declared.field] = declared.loosest_si
    if not changes:
        return case
    outing = case.outing
    return LoadCase(outing.model_copy(update={"limits": outing.limits.model_copy(update=changes)}))


def order(question: Question, block: Block, kits: Ints) -> Ints:
    """The numbered kits from the best."""
    keys = [block.rank, *(block.measures[m] for m in reversed(question.measures))]
    return np.asarray(kits[np.lexsort([key[kits] for key in keys])])
