"""What a kit makes of one wish, as a number in the wish's own unit."""

from collections.abc import Callable, Iterator

import numpy as np

from keelwatt.boat.day import Floats
from keelwatt.boat.running import STUCK, Running, in_chunks
from keelwatt.choose.sums import Ints
from keelwatt.explain.ledger import Ledger
from keelwatt.files.kit import SEASON_UNITS_PER_CENT

AT_LEAST = frozenset({"hours", "leg_speed", "top_speed", "reserve", "payload_margin"})
"""Wishes a kit meets by having more; it meets the others by having less."""

UNITS = {
    "budget": "money",
    "season": "money",
    "kit_mass": "kg",
    "lift": "kg",
    "hours": "h",
    "leg_speed": "of the wished speed",
    "top_speed": "m/s",
    "recharge": "h",
    "trim": "deg",
    "heel": "deg",
    "reserve": "share",
    "payload_margin": "kg",
}


def wished(ledger: Ledger, name: str) -> float | None:
    """The bound the outing sets, None where it sets none."""
    outing = ledger.space.table.facts.outing
    limits = outing.limits
    bounds: dict[str, float | None] = {
        "budget": None if limits.budget_cents is None else limits.budget_cents / 100,
        "season": None if limits.season_cents is None else limits.season_cents / 100,
        "kit_mass": limits.kit_mass_kg,
        "lift": limits.lift_kg,
        "hours": ledger.space.table.facts.outing_hours,
        "leg_speed": 1.0,
        "top_speed": limits.top_speed_m_s,
        "recharge": limits.recharge_within_h,
        "trim": float(np.degrees(limits.max_trim_rad)),
        "heel": float(np.degrees(limits.max_heel_rad)),
        "reserve": limits.reserve,
        "payload_margin": limits.payload_margin_kg,
    }
    return bounds[name]


def amounts(ledger: Ledger, name: str, kits: Ints) -> Floats:
    """What the numbered kits have of a wish, shape as ``kits``."""
    return np.asarray(_READINGS[name](ledger, kits), dtype=float)


def _types(ledger: Ledger, kits: Ints) -> tuple[Ints, Ints, Ints]:
    banks, drives = ledger.types
    return banks[kits], drives[kits], ledger.displacement_g[kits]


def _cost(ledger: Ledger, kits: Ints) -> Floats:
    return np.asarray(ledger.measures["cost"][kits] / 100)


def _season(ledger: Ledger, kits: Ints) -> Floats:
    return np.asarray(ledger.measures["season"][kits] / SEASON_UNITS_PER_CENT / 100)


def _mass(ledger: Ledger, kits: Ints) -> Floats:
    return np.asarray(ledger.measures["mass"][kits] / 1000)


def _lift(ledger: Ledger, kits: Ints) -> Floats:
    table = ledger.space.table
    bank = table.banks["piece_g"].to_numpy()[ledger.kits.bank[kits]]
    drive = table.drives["piece_g"].to_numpy()[ledger.kits.drive[kits]]
    return np.asarray(np.maximum(bank, drive) / 1000)


def _hours(ledger: Ledger, kits: Ints) -> Floats:
    return ledger.space.table.pairs.day.meets(*_types(ledger, kits))[1]["hours"]


def _reserve(ledger: Ledger, kits: Ints) -> Floats:
    """The reserve the outing leaves, as a share of what may be used."""
    facts = ledger.space.table.facts
    served = _hours(ledger, kits) / facts.outing_hours
    return np.asarray(1.0 - (1.0 - facts.outing.limits.reserve) / served)


def _recharge(ledger: Ledger, kits: Ints) -> Floats:
    return ledger.recharge_h[kits]


def _payload_margin(ledger: Ledger, kits: Ints) -> Floats:
    """What is left under the builder's plate, everything aboard in whole grams rounded up."""
    facts = ledger.space.table.facts
    aboard_g = np.ceil(1000.0 * facts.aboard_kg + ledger.measures["mass"][kits] - 1e-6)
    return np.asarray(facts.outing.craft.payload_limit_kg - aboard_g / 1000.0)


def _running(ledger: Ledger, kits: Ints) -> Iterator[tuple[slice, Running]]:
    return in_chunks(ledger.space.table.pairs.day, *_types(ledger, kits))


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


def _leg_speed(ledger: Ledger, kits: Ints) -> Floats:
    """What the worst leg can do of its wished speed; STUCK where a leg cannot be run."""
    wanted = ledger.space.table.facts.ground_speeds_m_s[:, None]
    speeds = reached_m_s(ledger, kits)
    share = np.divide(speeds, wanted, out=np.full(speeds.shape, np.inf), where=wanted > 0.0)
    return np.asarray(np.where(speeds < 0.0, STUCK, share).min(axis=0))


def _angle(name: str) -> Callable[[Ledger, Ints], Floats]:
    def reading(ledger: Ledger, kits: Ints) -> Floats:
        return np.asarray(np.degrees(ledger.angle_rad(name, kits)))

    return reading


_READINGS: dict[str, Callable[[Ledger, Ints], Floats]] = {
    "budget": _cost,
    "season": _season,
    "kit_mass": _mass,
    "lift": _lift,
    "hours": _hours,
    "reserve": _reserve,
    "leg_speed": _leg_speed,
    "top_speed": _top_speed,
    "recharge": _recharge,
    "trim": _angle("trim"),
    "heel": _angle("heel"),
    "payload_margin": _payload_margin,
}
