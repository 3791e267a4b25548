"""What a kit makes of one wish, as a number in the wish's own unit."""

from collections.abc import Callable, Iterator

import numpy as np

from keelwatt.boat.arrays import Floats, Ints, alike
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.running import Running
from keelwatt.choose.block import Block
from keelwatt.choose.sums import COUNTS
from keelwatt.explain.leaning import Leaning
from keelwatt.limits import LIMITS, MEASURED, enters

Reading = Callable[[Block, Ints], Floats]

READINGS: dict[str, Reading] = {}
"""How amounts are found where a wish is more than a count of the kit's parts."""


def wished(case: LoadCase, name: str) -> float | None:
    """The bound the outing sets, None where it sets none."""
    of_the_day = {"hours": case.outing_hours, "leg_speed": 1.0}
    return of_the_day.get(name) or LIMITS[name].asked(case.outing.limits)


def amounts(block: Block, name: str, kits: Ints) -> Floats:
    """What the numbered kits have of a wish, shape as ``kits``."""
    if name in READINGS:
        return block.amount(name, kits, READINGS[name])
    of = (None,) if name in MEASURED else COUNTS[name](block.table)
    count = np.max([block.count(name, parts)[kits] for parts in of], axis=0)
    return np.asarray(LIMITS[name].of_whole(count))


def served(block: Block, name: str, kits: Ints) -> Floats:
    """What of a wish the numbered kits serve, all else being kept: a top speed only as far as the
    boat bears the motor turned across."""
    have = amounts(block, name, kits)
    return Leaning.of_kits(block, kits).top_m_s(have) if name == "top_speed" else have


def _laden(block: Block, kits: Ints) -> tuple[Ints, Ints, Ints]:
    """(bank type, drive type, displacement) of kits."""
    return block.bank_type[kits], block.drive_type[kits], block.displacement_g[kits]


def _once(reading: Reading) -> Reading:
    """Kits that differ in nothing but wiring or place are read once."""

    def read(block: Block, kits: Ints) -> Floats:
        first, each = alike(*_laden(block, kits))
        return np.asarray(reading(block, kits[first])[each])

    return read


@enters(READINGS, "hours")
@_once
def _hours(block: Block, kits: Ints) -> Floats:
    return block.day.has(*_laden(block, kits))["hours"]


@enters(READINGS, "reserve")
@_once
def _reserve(block: Block, kits: Ints) -> Floats:
    """The reserve the outing leaves, as a share of what may be used."""
    case = block.case
    served = _hours(block, kits) / case.outing_hours
    return np.asarray(1.0 - (1.0 - case.outing.limits.reserve) / served)


@enters(READINGS, "recharge")
def _recharge(block: Block, kits: Ints) -> Floats:
    return block.recharge_h[kits]


@enters(READINGS, "payload_margin")
def _payload_margin(block: Block, kits: Ints) -> Floats:
    """What is left under the builder's plate, everything aboard in whole grams rounded up."""
    case = block.case
    aboard_g = np.ceil(1000.0 * case.aboard_kg + block.measures["mass"][kits] - 1e-6)
    return np.asarray(case.outing.craft.payload_limit_kg - aboard_g / 1000.0)


def _running(block: Block, kits: Ints) -> Iterator[tuple[slice, Running]]:
    return block.day.in_chunks(*_laden(block, kits))


@enters(READINGS, "top_speed")
@_once
def _top_speed(block: Block, kits: Ints) -> Floats:
    speeds = np.zeros(kits.shape)
    for part, running in _running(block, kits):
        speeds[part] = running.reached_m_s()
    return speeds


def reached_m_s(block: Block, kits: Ints) -> Floats:
    """The greatest speed over ground on each leg, shape (legs, kits); STUCK where none."""
    speeds = np.zeros((len(block.case.outing.legs), kits.size))
    for part, running in _running(block, kits):
        speeds[:, part] = running.legs_reached_m_s()
    return speeds


def hours_at(block: Block, kits: Ints, ground_m_s: Floats) -> tuple[Floats, Floats]:
    """(hours of the day, hours served) at other speeds of the legs, shape (legs, kits)."""
    day_h, served_h = np.zeros(kits.shape), np.zeros(kits.shape)
    for part, running in _running(block, kits):
        day_h[part], served_h[part] = running.hours_at(ground_m_s[:, part])
    return day_h, served_h


def leg_speeds_m_s(block: Block, kits: Ints) -> Floats:
    """The speed each leg can be run at, the wished one at the most; shape (legs, kits)."""
    wanted = block.case.ground_speeds_m_s[:, None]
    return np.asarray(np.minimum(wanted, reached_m_s(block, kits)))


@enters(READINGS, "leg_speed")
@_once
def _leg_speed(block: Block, kits: Ints) -> Floats:
    """What the worst leg can do of its wished speed; STUCK where a leg cannot be run."""
    shares = np.zeros(kits.shape)
    for part, running in _running(block, kits):
        shares[part] = running.reached_share()
    return shares


@enters(READINGS, "trim")
def _trim(block: Block, kits: Ints) -> Floats:
    return np.asarray(np.degrees(block.angle_rad("trim", kits)))


@enters(READINGS, "turn_heel")
def _turn_heel(block: Block, kits: Ints) -> Floats:
    return np.asarray(np.degrees(block.angle_rad("turn_heel", kits)))


@enters(READINGS, "heel")
def _heel(block: Block, kits: Ints) -> Floats:
    return np.asarray(np.degrees(block.angle_rad("heel", kits)))
