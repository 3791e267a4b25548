"""The couples of bank and drive type that may answer, and what is known of them."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from typing import TypeVar

import numpy as np

from keelwatt.boat.arrays import Bools, Ints
from keelwatt.choose.block import TILTS, Block
from keelwatt.choose.lightest import Lightest
from keelwatt.choose.question import SLACK, Question, bounds_of, loosened
from keelwatt.choose.standing import PLACED, Standing
from keelwatt.choose.sums import limit_sums, total
from keelwatt.choose.weighed import Weighed
from keelwatt.kits import Couples, Found, Ground, Pairs, Table, Types, everything, table_of
from keelwatt.kits.pairs import reached
from keelwatt.limits import LIMITS, WISHES

MOST_COUPLES, MOST_STANDING = 12, 4
"""Sets of bounds whose couples are remembered, and of limits on places."""

OF_LEGS = ("leg_speed", "hours", "control_heat")
"""Limits that the speeds of the legs decide."""

OF_REACH = ("bank_current", "leg_speed", "top_speed")
"""Limits that take less to look at than the others, which ask what is drawn."""

Placing = tuple[frozenset[str], tuple[float, ...], bool]

Stricter = Callable[[Pairs], Pairs]

T = TypeVar("T")


def _remembered(known: dict[object, T], most: int, key: object, made: Callable[[], T]) -> T:
    """What is known under a key, made if it is not; of more than so many the oldest goes."""
    if key not in known:
        if len(known) >= most:
            del known[next(iter(known))]
        known[key] = made()
    return known[key]


@dataclass
class Contenders:
    """``stricter`` makes demands of couples harder, never easier: a floor stays one."""

    types: Types
    stricter: Stricter | None = None
    _couples: dict[object, Couples] = field(default_factory=dict)
    _standing: dict[object, Standing] = field(default_factory=dict)
    _looked_at: dict[tuple[str, ...], Lightest] = field(default_factory=dict)

    @cached_property
    def ground(self) -> Ground:
        return Ground(self.types)

    @cached_property
    def _everything(self) -> Table:
        return everything(self.types)

    @cached_property
    def _weighed(self) -> Weighed:
        return Weighed(self.types, self._missable)

    @property
    def _missable(self) -> tuple[str, ...]:
        """What a couple may miss whatever else is in a kit."""
        return "bank_current", *self.types.demands

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The limits a kit may break, wishes first, in the order they are shown."""
        names = [limit.name for limit in limit_sums(self._everything, self.types.case)]
        names += self._missable
        names += ["recharge"] if self.types.timed else []
        names += ["chemistry"] if self.types.charger_required else []
        wishes = [name for name in WISHES if name in names]
        return (*wishes, *(name for name in dict.fromkeys(names) if name not in WISHES))

    def couples(self, question: Question, *, any_wiring: bool = False) -> Couples:
        """The couples that may answer."""
        bounds = bounds_of(question, self.types.case, charger_required=self.types.charger_required)
        key = bounds, self._placing(question), any_wiring

        def made() -> Couples:
            ground = self.ground.freely if any_wiring else self.ground
            return Couples(ground, bounds, self.standing(question).beside)

        return _remembered(self._couples, MOST_COUPLES, key, made)

    def _placing(self, question: Question) -> Placing:
        """The limits on places that hold, how far the craft may lean, whether at no top speed."""
        limits = loosened(question, self.types.case).outing.limits
        kept = frozenset(
            name
            for name in PLACED
            if name not in question.lifted
            or name in question.needed
            or (name in TILTS and name not in question.leaning)
            or (name == "turn_heel" and question.calm)
        )
        return kept, tuple(getattr(limits, LIMITS[name].field) for name in TILTS), question.calm

    def standing(self, question: Question) -> Standing:
        """What may be placed at all."""
        key = self._placing(question)

        def made() -> Standing:
            table = self._calmed(self._everything, question)
            return Standing.of(table, loosened(question, self.types.case), key[0])

        return _remembered(self._standing, MOST_STANDING, key, made)

    def _calmed(self, table: Table, question: Question) -> Table:
        """With what turns a boat without a top speed to reach, where that is given up."""
        if not question.calm:
            return table
        turning = {"turning_kg_m": self.ground.needs.turning_kg_m}
        return replace(table, drives=replace(table.drives, of={**table.drives.of, **turning}))

    def worth_keeping(self, question: Question) -> Found:
        """Every couple that may answer."""
        return self.able(_below(question, self.couples(question)), question)

    def any_wiring(self, question: Question) -> Found:
        """Every couple that might answer if no rule held for cable and fuse."""
        return self.able(_below(question, self.couples(question, any_wiring=True)), question)

    def without(self, rule: str, every: Found, question: Question) -> Found:
        """Of some couples those that may answer with a rule on wiring given up, the lowest first.

        ``every``: of :meth:`any_wiring`.
        """
        floor = self.ground.without(rule, question.by, every)
        order = np.argsort(floor, kind="stable")
        return Found(every.bank, every.drive, floor)[order[floor[order] < question.below]]

    def able(self, found: Found, question: Question) -> Found:
        """Those that may keep what is not lifted, and have what is needed, at their lightest."""
        lifted = question.lifted
        hours = 0.0 if "leg_speed" in lifted else question.needed.get("hours", 0.0)
        # Not the limits of legs where none of them holds.
        other = {*OF_LEGS} & {*self._missable} <= lifted
        found = found[self.standing(question).couples(found.bank, found.drive)]
        missable = [name for name in self._missable if not (other and name in OF_LEGS)]
        for reach in (True, False):
            names = tuple(name for name in missable if (name in OF_REACH) is reach)
            kept = [at for at, name in enumerate(names) if name not in lifted]
            if kept or (hours and "hours" in names):
                lightest = self._looked_at.setdefault(names, Lightest(self.types, names))
                missed, served_h = lightest.of(self.keys(found.bank, found.drive), found)
                good = missed & sum(1 << at for at in kept) == 0
                if "hours" in names:
                    good &= served_h >= hours * (1.0 - SLACK)
                found = found[good]
        asked = (question.needed.get(name, 0.0) for name in ("leg_speed", "top_speed"))
        legs, top_m_s = ((1.0 - SLACK) * amount for amount in asked)
        return found[reached(self.types, found.bank, found.drive, legs, top_m_s)]

    def keys(self, bank: Ints, drive: Ints) -> Ints:
        return np.asarray(bank * len(self.types.drive_types) + drive)

    def pairs(self, found: Found, low_g: Ints, high_g: Ints) -> Pairs:
        """What some couples may weigh between two masses."""
        keys = self.keys(found.bank, found.drive)
        pairs = self._weighed.of(keys, found, low_g, high_g)
        return self.stricter(pairs) if self.stricter else pairs

    def table(self, found: Found, lifted: str = "", question: Question | None = None) -> Table:
        """Rows and kits of some couples; ``lifted``: a rule on wiring given up; of a question those
        kits alone that stand as it asks."""
        if question is None:
            return table_of(self.types, found, self.pairs, lifted)
        places = self.standing(question).places(found.bank, found.drive)
        upright = partial(self._upright, question)
        return table_of(self.types, found, self.pairs, lifted, places=places, upright=upright)

    def _upright(self, question: Question, table: Table) -> Bools:
        """Which kits of a table keep the limits on places."""
        bank, drive, wiring, *_ = table.kits
        (kept, *_), case = self._placing(question), loosened(question, self.types.case)
        good = np.ones(bank.shape, dtype=bool)
        for limit in limit_sums(self._calmed(table, question), case):
            if limit.name in kept:
                good &= total(limit.of, bank, drive, wiring) <= limit.bound
        return good

    def lightest(self, found: Found) -> Table:
        """Some couples in every place they have, see :func:`keelwatt.kits.everything`."""
        types, every = self.types, self._everything
        couple, box, mount = np.nonzero(types.places(found.bank, found.drive))
        rows = (
            _row(types.fits, found.bank[couple], box),
            _row(types.hangs, found.drive[couple], mount),
            box * types.hangs.shape[1] + mount,
            couple,
            np.zeros_like(couple),
        )
        return replace(every, kits=rows)

    def likely(self, block: Block, kits: Ints, question: Question) -> Ints:
        """Of some kits those whose couples may answer."""
        if not kits.size:
            return kits
        may = self.couples(question).may(block.bank_type[kits], block.drive_type[kits])
        return kits[may]


def _row(able: Bools, kind: Ints, place: Ints) -> Ints:
    """Which of the types in their places these are."""
    return np.asarray((np.cumsum(able) - 1).reshape(able.shape)[kind, place])


def _below(question: Question, couples: Couples) -> Found:
    return couples.up_to(min(question.below - 1, couples.highest))
