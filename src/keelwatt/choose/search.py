"""One question asked many times: couples in the order of their floors, until none can be better.

A couple of bank and drive type has a floor no kit of it comes below. Couples are looked at block by
block from the lowest floor; when the next floor passes the best kit so far, that kit is the best of
the whole catalog. Blocks are kept within a budget of memory and answer later questions first.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Ints
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import Displacements
from keelwatt.choose.answers import Fits, OfCouples, first, good
from keelwatt.choose.block import Block
from keelwatt.choose.contenders import Contenders, Stricter
from keelwatt.choose.memory import among
from keelwatt.choose.question import NOTHING, Pick, Question, order
from keelwatt.files.catalog.reader import Catalog
from keelwatt.kits import Found, Types
from keelwatt.kits.pairs import at_once

MOST_BYTES = 24 << 20
"""Memory for blocks; the oldest go first."""

FIRST_COUPLES, GROWTH, MOST_MORE = 100, 8, 250_000
"""How many couples the first level lets in, by how much the next ones grow, and by how many."""

FEW = 1000
"""So few new couples on a level do not keep the next one from growing freely."""

MOST_KITS, LIKELY_KITS = 40_000, 50.0
"""About as many kits are in a block, and at first of a couple."""

SIZES = (128, 512, 2048)
"""Couples looked at together at the start of a level; further on as many as the last."""

WIDEST, FEW_OF = 8, 4
"""Where fewer than one in so many passes, twice as many are looked at next, up to so many times."""

TOGETHER = 1024
"""Couples whose use is asked together, of what is known by then."""

CHARGED = ("recharge", "chemistry")
"""Limits a kit without a charger breaks."""

Asked = Callable[[int], Question | None]
"""A question that may ask more once every kit up to a level is known; None once all is known."""


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
    _kits_a_couple: dict[tuple[bool, bool], float] = field(default_factory=dict)

    @cached_property
    def types(self) -> Types:
        return Types(self.case, self.catalog, known=self.water)

    @cached_property
    def contenders(self) -> Contenders:
        return Contenders(self.types, self.stricter)

    @property
    def names(self) -> tuple[str, ...]:
        """The limits a kit may break, wishes first, in the order they are shown."""
        return self.contenders.names

    def best(
        self,
        question: Question,
        fits: Fits | None = None,
        couples: OfCouples | None = None,
        *,
        keep: int = MOST_BYTES,
    ) -> Pick | None:
        """The best kit that answers, None if there is none.

        ``couples`` tells which of a block's are worth a look. ``keep``: bytes of kits that are kept
        for later questions; past them those alone are made that may answer this one.
        """
        best = first(self.contenders, self.blocks, question, fits, couples)

        def most() -> int:
            return best.value(question.by) if best else NOTHING

        for block in self._more(question, most, keep=keep):
            new = first(self.contenders, [block], question, fits, couples)
            if new and (best is None or new.key(question) < best.key(question)):
                best = new
        return best

    def possible(self, question: Question, fits: Fits | None = None) -> Pick | None:
        """Some kit that answers, None if there is none."""
        if found := first(self.contenders, self.blocks, question, fits):
            return found
        more = self._more(question)
        found_in = (first(self.contenders, [block], question, fits) for block in more)
        return next(filter(None, found_in), None)

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
        for block in self._more(question, last, keep=MOST_BYTES):
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
        if (begun := ask(-1)) is None:
            return
        for block in tuple(self.blocks):
            yield block, self.contenders.likely(block, self._answers(block, begun), begun)

        for block in self._more(ask, useful=useful):
            yield block, self._answers(block, begun)

    def _more(
        self,
        asked: Question | Asked,
        most: Callable[[], int] = lambda: NOTHING,
        useful: Callable[[Found], Bools] | None = None,
        keep: int = 0,
    ) -> Iterator[Block]:
        """New blocks that may hold an answer no worse than ``most()``, until none can.

        ``keep``: bytes of them that are kept for later questions; further ones hold but the kits
        that answer this one, as it is asked by then.
        """
        known, contenders = np.sort(self._in_blocks()), self.contenders
        level, count, number, wider = -1, FIRST_COUPLES, 0, 1
        ask = asked if callable(asked) else lambda _: asked
        while question := ask(level):
            couples = contenders.couples(question)
            top = min(couples.highest, couples.most, most())
            if level >= top:
                return
            below, level = level, min(max(couples.level(count), level), top)
            found = couples.between(below, level)
            sparse = found.floor.size < FEW
            if callable(asked):  # it may ask much more by now
                number, wider = 0, 1
            while found.floor.size and found.floor[0] <= most():
                size = min(SIZES[min(number, len(SIZES) - 1)], at_once(self.types) // 2) * wider
                some, found, number = found[:size], found[size:], number + 1
                now = ask(int(some.floor[0]) - 1)
                if now is None:
                    return
                highest = int(some.floor[-1])
                some = some[~among(contenders.keys(some.bank, some.drive), known)]
                some = contenders.couples(now).again(some)
                later = some.floor > highest
                if later.any():  # those beyond the level come with the next
                    found = found.and_those(some[later & (some.floor <= level)])
                some, passed = contenders.able(some[~later], now), 0
                for start in range(0, some.floor.size, TOGETHER):
                    few = some[start : start + TOGETHER]
                    if useful:
                        if (now := ask(int(few.floor[0]) - 1)) is None:
                            return
                        few = few[useful(few)]
                    passed += few.floor.size
                    for block in self._evaluated(few, most, now if keep <= 0 else None):
                        keep -= block.size_bytes
                        yield block
                wider = min(2 * wider, WIDEST) if passed * FEW_OF < size else 1
            more = (GROWTH - 1) * count
            count += more if sparse else min(more, MOST_MORE)

    def _in_blocks(self) -> Ints:
        none = np.zeros(0, dtype=np.int64)
        return np.concatenate([none, *(self._of_block(block) for block in self.blocks)])

    def _of_block(self, block: Block) -> Ints:
        return self.contenders.keys(block.table.pairs.bank, block.table.pairs.drive)

    def _evaluated(
        self, found: Found, most: Callable[[], int], worth: Question | None
    ) -> Iterator[Block]:
        """Blocks of some couples, none with too many kits."""
        at, kind = 0, (bool(worth), self._timely(worth))
        while at < found.floor.size and found.floor[at] <= most():
            last = self._kits_a_couple.get(kind, LIKELY_KITS)
            part = slice(at, at + max(1, int(MOST_KITS / last)))
            block = self.block(found[part], worth)
            kits = max(block.bank.size, block.table.kits[0].size)
            couples = found.floor[part].size
            at += couples
            self._kits_a_couple[kind] = max(kits / couples, last / 2)
            if not worth:
                self._keep(block)
            yield block

    def block(self, found: Found, worth: Question | None = None, lifted: str = "") -> Block:
        """The kits of some couples; of a question ``worth`` a look those alone that answer it;
        ``lifted``: a rule on wiring given up."""
        table = self.contenders.table(found, lifted, worth)
        if worth is None:
            return Block.of(table, self.names)
        uncharged = worth.lifting(*CHARGED)
        worthwhile, timely = lambda block: good(block, uncharged), self._timely(worth)
        return Block.of(table, self.names, worthwhile, timely=timely)

    def _timely(self, question: Question | None) -> bool:
        """Whether a question's kits need but the cheapest charger that is in time."""
        asked = question and {"recharge"} & {*question.lifted, *question.needed}
        return bool(question) and self.types.timed and not asked

    def lightest(self, found: Found) -> Block:
        """Some couples in every place, with the least wiring there can be and no charger."""
        return Block.lighter(self.contenders.lightest(found), self.names)

    def _keep(self, block: Block) -> None:
        """For later questions."""
        self.blocks.append(block)
        while len(self.blocks) > 1 and sum(b.size_bytes for b in self.blocks) > MOST_BYTES:
            del self.blocks[0]

    def _answers(self, block: Block, question: Question) -> Ints:
        """The kits of a block that answer, but for what is needed."""
        return np.flatnonzero(good(block, question))
