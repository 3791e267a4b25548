"""Which wishes a kit needs loosened, the legs as slow as it can run them if their speed is one."""

from collections.abc import Callable

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.choose.block import Block
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.amounts import hours_at, leg_speeds_m_s

BARELY_M_S = 1e-3
"""Speed that stands for none where a distance must still be covered."""

SLOWEST = 0.01
"""A leg done at less of its speed is not done at all."""


def keeping(search: Search, by: Measure, lifted: frozenset[str]) -> Question:
    """Kits that might do with these wishes loosened.

    Slower legs may spare the hours, and keep a control cool enough.
    """
    question = Question(by, lifted=lifted)
    if "leg_speed" in lifted:
        question = question.lifting("control_heat")
    if "leg_speed" in lifted and "hours" not in lifted:
        return question.lifting("hours").needing(hours=search.case.outing_hours)
    return question


def keeps(kept: frozenset[str]) -> Callable[[Block, Ints], Bools]:
    def fits(block: Block, kits: Ints) -> Bools:
        bits = to_loosen(block, kits)
        return np.asarray((bits >= 0) & (bits & block.bit(kept) == 0))

    return fits


def to_loosen(block: Block, kits: Ints) -> Ints:
    """The wishes each kit needs loosened, as bits; -1 where it cannot run the legs at all.

    With the legs as slow as a kit can run them, its hours may do after all. A control too warm
    asks for slower legs.
    """
    speed, hours = block.bit(["leg_speed"]), block.bit(["hours"])
    bits, heat = block.broken[kits], block.bit(["control_heat"])
    bits = np.where(bits & heat, bits & ~heat | speed, bits)
    slow = np.flatnonzero(bits & speed)
    if slow.size:
        in_time = block.amount("hours at its own speed", kits[slow], _in_time)
        bits[slow] = bits[slow] & ~hours | np.where(in_time >= 1.0, 0, hours)
        bits[slow[in_time < 0.0]] = -1
    return bits


def _in_time(block: Block, kits: Ints) -> Floats:
    """1 where kits that cannot hold a leg's speed serve the hours at their own, else 0.

    -1 where they cannot run a leg at all.
    """
    speeds = leg_speeds_m_s(block, kits)
    wanted = block.case.ground_speeds_m_s[:, None]
    runs = np.all((speeds > SLOWEST * wanted) | ((wanted == 0.0) & (speeds == 0.0)), axis=0)
    day_h, served_h = hours_at(block, kits, np.maximum(speeds, BARELY_M_S))
    return np.where(runs, (served_h >= day_h).astype(float), -1.0)


def exactly(limits: frozenset[str]) -> Callable[[Block, Ints], Bools]:
    """Kits that need these wishes loosened and no others."""

    def fits(block: Block, kits: Ints) -> Bools:
        return np.asarray(to_loosen(block, kits) == block.bit(limits))

    return fits
