"""The kits of blocks that answer a question."""

from collections.abc import Callable, Iterable, Iterator

import numpy as np

from keelwatt.boat.arrays import Bools, Ints
from keelwatt.choose.block import TILTS, Block
from keelwatt.choose.contenders import Contenders
from keelwatt.choose.question import Pick, Question

FIRST_CHUNK, MOST_AT_ONCE = 256, 4096
"""Kits whose amounts are read at a time."""

Fits = Callable[[Block, Ints], Bools]
"""Whether the numbered kits of a block answer, beyond what the question itself says."""

OfCouples = Callable[[Block], Bools]
"""Something of every couple of a block."""


def good(block: Block, question: Question) -> Bools:
    """Which kits of a block answer, but for what is needed."""
    found = block.broken & ~block.bit(question.lifted) == 0
    upright = sum(1 << at for at, name in enumerate(TILTS) if name not in question.leaning)
    found &= block.beyond & upright == 0
    return np.asarray(found & (block.measures[question.by] < question.below))


def first(
    contenders: Contenders,
    blocks: Iterable[Block],
    question: Question,
    fits: Fits | None = None,
    couples: OfCouples | None = None,
) -> Pick | None:
    """The best kit of some blocks that answers."""
    best: Pick | None = None
    for block in tuple(blocks):
        answers = good(block, question)
        if best is not None:
            answers &= block.measures[question.by] <= best.value(question.by)
        if couples is not None:
            answers &= couples(block)[block.couple]
        if not answers.any():
            continue
        inorder = block.ordered(question.measures)
        kits = inorder[answers[inorder]]
        if fits is not None:
            kits = contenders.likely(block, kits, question)
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
