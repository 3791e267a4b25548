"""What a kit makes of one wish, as a number in the wish's own unit."""

from collections.abc import Callable, Iterator

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.boat.running import STUCK, Running
from keelwatt.choose.sums import COUNTS, Ints
from keelwatt.explain.ledger import Ledger
from keelwatt.limits import LIMITS, MEASURED, enters

READINGS: dict[str, Callable[[Ledger, Ints], Floats]] = {}
"""How amounts are found where a wish is more than a count of the kit's parts."""


def wished(ledger: Ledger, name: str) -> float | None:
    """The bound the outing sets, None where it sets none."""
    facts = ledger.space.table.facts
    of_the_day = {"hours": facts.outing_hours, "leg_speed": 1.0}
    return of_the_day.get(name) or LIMITS[name].asked(facts.outing.limits)


def amounts(ledger: Ledger, name: str, kits: Ints) -> Floats:
    """What the numbered kits have of a wish, shape as ``kits``."""
    if name in READINGS:
        return np.asarray(READINGS[name](ledger, kits), dtype=float)
    if name in MEASURED:
        count = ledger.measures[MEASURED[name]][kits]
    else:
        count = np.max([ledger.kits[kits].total(of) for of in COUNTS[name](ledger.space.table)], 0)
    return np.asarray(LIMITS[name].of_whole(count))


def _types(ledger: Ledger, kits: Ints) -> tuple[Ints, Ints, Ints]:
    banks, drives = ledger.types
    return banks[kits], drives[kits], ledger.displacement_g[kits]


@enters(READINGS, "hours")
def _hours(ledger: Ledger, kits: Ints) -> Floats:
    return ledger.space.table.pairs.day.meets(*_types(ledger, kits))[1]["hours"]


@enters(READINGS, "reserve")
def _reserve(ledger: Ledger, kits: Ints) -> Floats:
    """The reserve the outing leaves, as a share of what may be used."""
    facts = ledger.space.table.facts
    served = _hours(ledger, kits) / facts.outing_hours
    return np.asarray(1.0 - (1.0 - facts.outing.limits.reserve) / served)


@enters(READINGS, "recharge")
def _recharge(ledger: Ledger, kits: Ints) -> Floats:
    return ledger.recharge_h[kits]


@enters(READINGS, "payload_margin")
def _payload_margin(ledger: Ledger, kits: Ints) -> Floats:
    """What is left under the builder's plate, everything aboard in whole grams rounded up."""
    facts = ledger.space.table.facts
    aboard_g = np.ceil(1000.0 * facts.aboard_kg + ledger.measures["mass"][kits] - 1e-6)
    return np.asarray(facts.outing.craft.payload_limit_kg - aboard_g / 1000.0)


def _running(ledger: Ledger, kits: Ints) -> Iterator[tuple[slice, Running]]:
    return ledger.space.table.pairs.day.in_chunks(*_types(ledger, kits))


@enters(READINGS, "top_speed")
def _top_speed(ledger: Ledger, kits: Ints) -> Floats:
    speeds = np.zeros(kits.shape)
    for part, running in _running(ledger, kits):
        speeds[part] = running.reached_m_s()
    return speeds


def reached_m_s(ledger: Ledger, kits: Ints) -> Floats:
    """The greatest speed over ground on each leg, shape (legs, kits); STUCK where none."""
    speeds = np.zeros((len(ledger.space.table.facts.outing.legs), kits.size))
    for part, running in _running(ledger, kits):
        speeds[:, part] = running.legs_reached_m_s()
    return speeds


def hours_at(ledger: Ledger, kits: Ints, ground_m_s: Floats) -> tuple[Floats, Floats]:
    """(hours of the day, hours served) at other speeds of the legs, shape (legs, kits)."""
    day_h, served_h = np.zeros(kits.shape), np.zeros(kits.shape)
    for part, running in _running(ledger, kits):
        day_h[part], served_h[part] = running.hours_at(ground_m_s[:, part])
    return day_h, served_h


def leg_speeds_m_s(ledger: Ledger, kits: Ints) -> Floats:
    """The speed each leg can be run at, the wished one at the most; shape (legs, kits)."""
    wanted = ledger.space.table.facts.ground_speeds_m_s[:, None]
    return np.asarray(np.minimum(wanted, reached_m_s(ledger, kits)))


@enters(READINGS, "leg_speed")
def _leg_speed(ledger: Ledger, kits: Ints) -> Floats:
    """What the worst leg can do of its wished speed; STUCK where a leg cannot be run."""
    wanted = ledger.space.table.facts.ground_speeds_m_s[:, None]
    speeds = reached_m_s(ledger, kits)
    share = np.divide(speeds, wanted, out=np.full(speeds.shape, np.inf), where=wanted > 0.0)
    return np.asarray(np.where(speeds < 0.0, STUCK, share).min(axis=0))


@enters(READINGS, "trim")
def _trim(ledger: Ledger, kits: Ints) -> Floats:
    return np.asarray(np.degrees(ledger.angle_rad("trim", kits)))


@enters(READINGS, "heel")
def _heel(ledger: Ledger, kits: Ints) -> Floats:
    return np.asarray(np.degrees(ledger.angle_rad("heel", kits)))
