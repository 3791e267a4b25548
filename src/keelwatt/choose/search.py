"""One question asked many times: couples in the order of their floors, until none can be better.

A couple of bank and drive type has a floor no kit of it comes below. Couples are looked at block by
block from the lowest floor; when the next floor passes the best kit so far, that kit is the best of
the whole catalog. Blocks are kept within a budget of memory and answer later questions first.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Ints
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import Displacements
from keelwatt.choose.block import TILTS, Block, Worth
from keelwatt.choose.lightest import Lightest
from keelwatt.choose.memory import among
from keelwatt.choose.question import NOTHING, SLACK, Pick, Question, bounds_of, loosened, order
from keelwatt.choose.standing import PLACED, Standing
from keelwatt.choose.sums import limit_sums
from keelwatt.choose.weighed import Weighed
from keelwatt.files.catalog.reader import Catalog
from keelwatt.kits import (
    Couples,
    Found,
    Ground,
    Pairs,
    Table,
    Types,
    everything,
    table_of,
)
from keelwatt.kits.pairs import at_once
from keelwatt.limits import LIMITS, WISHES

MOST_BYTES = 24 << 20
"""Memory for blocks; the oldest go first."""

FIRST_COUPLES, GROWTH, MOST_MORE = 100, 8, 250_000
"""How many couples the first level lets in, by how much the next ones grow, and by how many."""

FEW = 1000
"""So few new couples on a level do not keep the next one from growing freely."""

MOST_KITS = 40_000
"""About as many kits are in a block."""

SIZES = (128, 512, 2048)
"""Couples looked at together at the start of a level; further on as many as the last."""

WIDEST, FEW_OF = 8, 4
"""Where fewer than one in so many passes, twice as many are looked at next, up to so many times."""

TOGETHER = 1024
"""Couples whose use is asked together, of what is known by then."""

FIRST_CHUNK, MOST_AT_ONCE = 256, 4096
"""Kits whose amounts are read at a time."""

MOST_COUPLES, MOST_STANDING = 12, 4
"""Sets of bounds whose couples are remembered, and of limits on places."""

CHARGED = ("recharge", "chemistry")
"""Limits a kit without a charger breaks."""

OF_LEGS = ("leg_speed", "hours", "control_heat")
"""Limits that the speeds of the legs decide."""

Fits = Callable[[Block, Ints], Bools]
"""Whether the numbered kits of a block answer, beyond what the question itself says."""

OfCouples = Callable[[Block], Bools]
"""Something of every couple of a block."""

Asked = Callable[[int], Question | None]
"""A question that may ask more once every kit up to a level is known; None once all is known."""

Stricter = Callable[[Pairs], Pairs]


@dataclass
class Search:
    """Every question about an outing and a catalog.

    ``stricter`` makes demands of couples harder, never easier: a floor stays one. ``water``: the
    same boat's, if known.
    """

    case: LoadCase
    catalog: Catalog
    stricter: Stricter | None = None
    water: Displacements | None = None
    blocks: list[Block] = field(default_factory=list)
    _kits_a_couple: list[float] = field(default_factory=lambda: [50.0, 50.0])
    _couples: dict[object, Couples] = field(default_factory=dict)
    _standing: dict[object, Standing] = field(default_factory=dict)
    _looked_at: dict[bool, Lightest] = field(default_factory=dict)

    @cached_property
    def types(self) -> Types:
        return Types(self.case, self.catalog, known=self.water)

    @cached_property
    def ground(self) -> Ground:
        return Ground(self.types)

    @cached_property
    def _everything(self) -> Table:
        return everything(self.types)

    def _lightest(self, lifted: frozenset[str]) -> Lightest:
        """What couples miss at their lightest; not the limits of legs where none of them holds."""
        other = {*OF_LEGS} & {*self._missable} <= lifted
        if other not in self._looked_at:
            names = (name for name in self._missable if not (other and name in OF_LEGS))
            self._looked_at[other] = Lightest(self.types, tuple(names))
        return self._looked_at[other]

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
        names = [limit.name for limit in limit_sums(self._everything, self.case)]
        names += self._missable
        names += ["recharge"] if self.types.timed else []
        names += ["chemistry"] if self.types.charger_required else []
        wishes = [name for name in WISHES if name in names]
        return (*wishes, *(name for name in dict.fromkeys(names) if name not in WISHES))

    def best(
        self, question: Question, fits: Fits | None = None, couples: OfCouples | None = None
    ) -> Pick | None:
        """The best kit that answers, None if there is none.

        ``couples`` tells which of a block's are worth a look.
        """
        found = [self.first(self.blocks, question, fits, couples)]

        def most() -> int:
            return found[-1].value(question.by) if found[-1] else NOTHING

        for block in self._more(question, most):
            new = self.first([block], question, fits, couples)
            if new and (found[-1] is None or new.key(question) < found[-1].key(question)):
                found.append(new)
        return found[-1]

    def possible(self, question: Question, fits: Fits | None = None) -> Pick | None:
        """Some kit that answers, None if there is none."""
        found = self.first(self.blocks, question, fits)
        if found:
            return found
        more = self._more(question, worth=self._worth(question))
        return next(
            (found for block in more if (found := self.first([block], question, fits))), None
        )

    def in_order(self, question: Question, count: int | None = None) -> list[Pick]:
        """The best kits that answer, each with another bank, motor or place; all, or so many."""
        firsts: dict[int, Pick] = {}

        def last() -> int:
            if count is None or len(firsts) < count:
                return NOTHING
            return sorted(pick.value(question.by) for pick in firsts.values())[count - 1]

        def take(block: Block) -> None:
            kits = order(question, block, self._answers(block, question))
            placed = block.placed[kits]
            rows = kits[np.sort(np.unique(placed, return_index=True)[1])].tolist()
            for key, row in zip(block.placed[rows].tolist(), rows, strict=True):
                new = Pick(block, row)
                if key not in firsts or new.key(question) < firsts[key].key(question):
                    firsts[key] = new

        for block in self.blocks:
            take(block)
        for block in self._more(question, last):
            take(block)
        picks = sorted(firsts.values(), key=lambda pick: pick.key(question))
        return picks[:count]

    def sweep(
        self, ask: Asked, useful: Callable[[Found], Bools] | None = None
    ) -> Iterator[tuple[Block, Ints]]:
        """Every kit that answers, block by block in no order; some may come twice.

        The question may grow stricter on the way; what comes answers the first. ``useful`` tells
        which couples are worth a look by then.
        """
        if (first := ask(-1)) is None:
            return
        for block in tuple(self.blocks):
            yield block, self._likely(block, self._answers(block, first), first)

        for block in self._more(ask, useful=useful, worth=self._worth(first)):
            yield block, self._answers(block, first)

    def _worth(self, question: Question) -> Worth:
        """Whether kits without their chargers answer, but for what a charger decides."""
        return lambda block: self._good(block, question.lifting(*CHARGED))

    def _more(
        self,
        asked: Question | Asked,
        most: Callable[[], int] = lambda: NOTHING,
        useful: Callable[[Found], Bools] | None = None,
        worth: Worth | None = None,
    ) -> Iterator[Block]:
        """New blocks that may hold an answer no worse than ``most()``, until none can.

        Those of kits ``worth`` something are not kept for later questions.
        """
        known = np.sort(self._in_blocks())
        level, count = -1, FIRST_COUPLES
        ask = asked if callable(asked) else lambda _: asked
        while question := ask(level):
            couples = self.couples(question)
            top = min(couples.highest, couples.most)
            least = question.after.value(question.by) if question.after else level
            below, level = level, min(max(couples.level(count), least), top, most())
            found = couples.between(below, level)
            at, number, wider = 0, 0, 1
            while at < found.floor.size and found.floor[at] <= most():
                size = min(SIZES[min(number, len(SIZES) - 1)], at_once(self.types) // 2) * wider
                some = found[at : at + size]
                at, number = at + some.floor.size, number + 1
                now = ask(int(some.floor[0]) - 1)
                if now is None:
                    return
                some = some[~among(self._keys(some.bank, some.drive), known)]
                some = self._able(some[self.couples(now).may(some.bank, some.drive)], now)
                wider = min(2 * wider, WIDEST) if some.floor.size * FEW_OF < size else 1
                for start in range(0, some.floor.size, TOGETHER):
                    few = some[start : start + TOGETHER]
                    if useful:
                        if ask(int(few.floor[0]) - 1) is None:
                            return
                        few = few[useful(few)]
                    if few.floor.size:
                        yield from self._evaluated(few, most, worth)
            if level >= min(top, most()):
                return
            more = (GROWTH - 1) * count
            count += more if found.floor.size < FEW else min(more, MOST_MORE)

    def couples(self, question: Question, *, any_wiring: bool = False) -> Couples:
        """The couples that may answer."""
        bounds = bounds_of(question, self.case, charger_required=self.types.charger_required)
        key = bounds, self._placing(question), any_wiring
        if key not in self._couples:
            ground = self.ground.freely if any_wiring else self.ground
            if len(self._couples) >= MOST_COUPLES:
                del self._couples[next(iter(self._couples))]
            stands = self.standing(question)
            self._couples[key] = Couples(ground, bounds, stands.banks, stands.drives)
        return self._couples[key]

    def _placing(self, question: Question) -> tuple[frozenset[str], tuple[float, ...]]:
        """The limits on places that hold, and how far the craft may lean."""
        limits = loosened(question, self.case).outing.limits
        kept = frozenset(
            name
            for name in PLACED
            if name not in question.lifted or (name in TILTS and not question.leaning)
        )
        return kept, tuple(getattr(limits, LIMITS[name].field) for name in TILTS)

    def standing(self, question: Question) -> Standing:
        """What may be placed at all."""
        key = self._placing(question)
        if key not in self._standing:
            if len(self._standing) >= MOST_STANDING:
                del self._standing[next(iter(self._standing))]
            case = loosened(question, self.case)
            self._standing[key] = Standing.of(self._everything, case, key[0])
        return self._standing[key]

    def worth_keeping(self, question: Question, *, any_wiring: bool = False) -> Found:
        """Every couple that may answer; ``any_wiring``: if no rule held for cable and fuse."""
        couples = self.couples(question, any_wiring=any_wiring)
        found = couples.up_to(min(question.below - 1, couples.highest))
        return self._able(found, question)

    def without(self, rule: str, every: Found, question: Question) -> Found:
        """Of some couples those that may answer with a rule on wiring given up, the lowest first.

        ``every``: of :meth:`worth_keeping` with any wiring.
        """
        floor = self.ground.without(rule, question.by, every)
        order = np.argsort(floor, kind="stable")
        few = Found(every.bank, every.drive, floor)[order]
        return few[few.floor < question.below]

    def _able(self, found: Found, question: Question) -> Found:
        """Those that may keep what is not lifted, and have what is needed, at their lightest."""
        found = found[self.standing(question).couples(found.bank, found.drive)]
        lightest = self._lightest(question.lifted)
        missed, hours = lightest.of(self._keys(found.bank, found.drive), found)
        kept = [at for at, name in enumerate(lightest.names) if name not in question.lifted]
        good = missed & sum(1 << at for at in kept) == 0
        if "leg_speed" not in question.lifted:
            good &= hours >= question.needed.get("hours", 0.0) * (1.0 - SLACK)
        return found[good]

    def _keys(self, bank: Ints, drive: Ints) -> Ints:
        return np.asarray(bank * len(self.types.drive_types) + drive)

    def _in_blocks(self) -> Ints:
        none = np.zeros(0, dtype=np.int64)
        return np.concatenate([none, *(self._of_block(block) for block in self.blocks)])

    def _of_block(self, block: Block) -> Ints:
        return self._keys(block.table.pairs.bank, block.table.pairs.drive)

    def _evaluated(
        self, found: Found, most: Callable[[], int], worth: Worth | None
    ) -> Iterator[Block]:
        """Blocks of some couples, none with too many kits."""
        at = 0
        while at < found.floor.size and found.floor[at] <= most():
            part = slice(at, at + max(1, int(MOST_KITS / self._kits_a_couple[bool(worth)])))
            table = self.table(found[part])
            block = Block.of(table, self.names, worth)
            couples, kits = table.pairs.bank.size, max(block.bank.size, table.kits[0].size)
            at += couples
            last = self._kits_a_couple[bool(worth)]
            self._kits_a_couple[bool(worth)] = max(kits / couples, last / 2)
            if not worth:
                self._keep(block)
            yield block

    def _keep(self, block: Block) -> None:
        """For later questions."""
        self.blocks.append(block)
        while len(self.blocks) > 1 and sum(b.size_bytes for b in self.blocks) > MOST_BYTES:
            del self.blocks[0]

    def pairs(self, found: Found, low_g: Ints, high_g: Ints) -> Pairs:
        """What some couples may weigh between two masses."""
        keys = self._keys(found.bank, found.drive)
        pairs = self._weighed.of(keys, found, low_g, high_g)
        return self.stricter(pairs) if self.stricter else pairs

    def table(self, found: Found, lifted: str = "") -> Table:
        """Rows and kits of some couples; ``lifted``: a rule on wiring given up."""
        return table_of(self.types, found, self.pairs, lifted)

    def _answers(self, block: Block, question: Question) -> Ints:
        """The kits of a block that answer, but for what is needed."""
        return np.flatnonzero(self._good(block, question))

    def _good(self, block: Block, question: Question) -> Bools:
        good = block.broken & ~block.bit(question.lifted) == 0
        if not question.leaning:
            good &= ~block.hopeless
        values = block.measures[question.by]
        good &= values < question.below
        if question.after is not None:
            good &= values >= question.after.value(question.by)
        return np.asarray(good)

    def _likely(self, block: Block, kits: Ints, question: Question) -> Ints:
        """Of some kits those whose couples may answer."""
        if not kits.size:
            return kits
        may = self.couples(question).may(block.bank_type[kits], block.drive_type[kits])
        return kits[may]

    def first(
        self,
        blocks: Iterable[Block],
        question: Question,
        fits: Fits | None = None,
        couples: OfCouples | None = None,
    ) -> Pick | None:
        """The best kit of some blocks that answers."""
        best: Pick | None = None
        for block in tuple(blocks):
            good = self._good(block, question)
            if best is not None:
                good &= block.measures[question.by] <= best.value(question.by)
            if couples is not None:
                good &= couples(block)[block.couple]
            if not good.any():
                continue
            inorder = block.ordered(question.measures)
            kits = inorder[good[inorder]]
            if fits is not None:
                kits = self._likely(block, kits, question)
            if question.after is not None:
                last = question.after.key(question)
                behind = (n for n, kit in enumerate(kits) if Pick(block, kit).key(question) > last)
                kits = kits[next(behind, kits.size) :]
            for some in _chunks(kits):
                those = some if fits is None else some[fits(block, some)]
                if those.size:
                    new = Pick(block, int(those[0]))
                    if best is None or new.key(question) < best.key(question):
                        best = new
                    break
        return best


def _chunks(kits: Ints) -> Iterator[Ints]:
    """Some at a time, the first few first: reading what a kit has of a wish takes long."""
    at, size = 0, FIRST_CHUNK
    while at < kits.size:
        yield kits[at : at + size]
        at, size = at + size, min(4 * size, MOST_AT_ONCE)
