"""Which wishes a kit needs loosened, the speeds as they then are.

Legs whose speed is loosened go as slow as the kit can run them: its hours may do after all. Of a
top speed that is, no more is wished for than the boat reaches and stands with the motor across; a
motor strong enough may so do with a lower top speed in place of more heel. The legs count there at
the speeds asked for, which is the safe side, and leaves few kits to look at.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.choose.block import TILTS, Block
from keelwatt.choose.question import Question
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.amounts import amounts, hours_at, leg_speeds_m_s
from keelwatt.explain.leaning import Leaning
from keelwatt.limits import LIMITS

BARELY_M_S = 1e-3
"""Speed that stands for none where a distance must still be covered."""

SLOWEST = 0.01
"""A leg done at less of its speed is not done at all."""

_TURNED = 1 << TILTS.index("turn_heel")

NO_WAY = -1
"""Stands for wishes where a kit does not do however they are loosened."""


def keeping(search: Search, by: Measure, lifted: frozenset[str]) -> Question:
    """Kits that might do with these wishes loosened.

    Slower legs may spare the hours, and keep a control cool enough; at a lower top speed a motor
    leans the boat less.
    """
    question = Question(by, lifted=lifted)
    if "top_speed" in lifted:
        kept = "turn_heel" not in lifted
        question = replace(
            question.lifting("turn_heel"), leaning=frozenset({"turn_heel"}), calm=kept
        )
    if "leg_speed" in lifted:
        question = question.lifting("control_heat").needing(leg_speed=SLOWEST)
    if "leg_speed" in lifted and "hours" not in lifted:
        return question.lifting("hours").needing(hours=search.case.outing_hours)
    return question


def keeps(kept: frozenset[str]) -> Callable[[Block, Ints], Bools]:
    def fits(block: Block, kits: Ints) -> Bools:
        bit = block.bit(kept)
        one, other = ((of >= 0) & (of & bit == 0) for of in to_loosen(block, kits))
        return np.asarray(one | other)

    return fits


def exactly(limits: frozenset[str]) -> Callable[[Block, Ints], Bools]:
    """Kits that need these wishes loosened and no others."""

    def fits(block: Block, kits: Ints) -> Bools:
        one, other = (of == block.bit(limits) for of in to_loosen(block, kits))
        return np.asarray(one | other)

    return fits


def to_loosen(block: Block, kits: Ints) -> tuple[Ints, Ints]:
    """(The wishes each kit needs loosened, as bits; the same with a lower top speed in place of the
    heel with the motor across.) NO_WAY where it does not do so.

    A control too warm asks for slower legs.
    """
    speed, hours, across = (block.bit([name]) for name in ("leg_speed", "hours", "turn_heel"))
    bits, heat = block.broken[kits], block.bit(["control_heat"])
    bits = np.where(bits & heat, bits & ~heat | speed, bits)
    slow = np.flatnonzero(bits & speed)
    if slow.size:
        in_time = block.amount("hours at its own speed", kits[slow], _in_time)
        bits[slow] = bits[slow] & ~hours | np.where(in_time >= 1.0, 0, hours)
        bits[slow[in_time < 0.0]] = NO_WAY
    bits[block.beyond[kits] & ~_TURNED > 0] = NO_WAY
    lower = np.full(bits.shape, NO_WAY)
    turned = np.flatnonzero((bits >= 0) & (bits & across > 0))
    if turned.size:
        bits[turned], lower[turned] = _less_turned(block, kits[turned], bits[turned])
    return bits, lower


def _less_turned(block: Block, kits: Ints, bits: Ints) -> tuple[Ints, Ints]:
    """The same of kits that lean too far at the top speed asked for, their motor across."""
    top, across = (block.bit([name]) for name in ("top_speed", "turn_heel"))
    short, upright = bits & top > 0, bits & ~across
    level = block.amount("upright without a top speed", kits, _upright) > 0.0
    found = np.where(level & short, upright, bits)
    far = np.flatnonzero(~(level & short) & (block.beyond[kits] & _TURNED > 0))
    too_far = turned_deg(block, kits[far]) > (LIMITS["turn_heel"].loosest or 0.0)
    found[far[too_far | ~short[far]]] = NO_WAY
    return found, np.where(level & (top > 0), upright | top, NO_WAY)


def _in_time(block: Block, kits: Ints) -> Floats:
    """1 where kits that cannot hold a leg's speed serve the hours at their own, else 0.

    -1 where they cannot run a leg at all.
    """
    speeds = leg_speeds_m_s(block, kits)
    wanted = block.case.ground_speeds_m_s[:, None]
    runs = np.all((speeds > SLOWEST * wanted) | ((wanted == 0.0) & (speeds == 0.0)), axis=0)
    day_h, served_h = hours_at(block, kits, np.maximum(speeds, BARELY_M_S))
    return np.where(runs, (served_h >= day_h).astype(float), -1.0)


def turned_deg(block: Block, kits: Ints) -> Floats:
    """The heel of kits with the motor across, at no greater top speed than they reach."""

    def read(block: Block, kits: Ints) -> Floats:
        asked = block.outing.limits.top_speed_m_s or 0.0
        top_m_s, short = np.full(kits.shape, asked), block.broken[kits] & block.bit(["top_speed"])
        few = np.flatnonzero(short)
        top_m_s[few] = np.clip(amounts(block, "top_speed", kits[few]), 0.0, asked)
        return Leaning.of_kits(block, kits).angle_deg(top_m_s)

    return block.amount("heel at its own top speed", kits, read)


def _upright(block: Block, kits: Ints) -> Floats:
    """1 where kits keep upright, motor across, with no top speed to reach."""
    return Leaning.of_kits(block, kits).upright_at(np.zeros(1)).astype(float)
