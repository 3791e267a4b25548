"""The ledger: every kit of a catalog in one block, and what reductions over it say.

Nothing is bounded, ordered or left out here, so it answers for what the search leaves out. Only
catalogs of which every kit fits into memory can be asked this way.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import tan

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.choose.block import Block
from keelwatt.choose.question import THEN
from keelwatt.choose.search import Search
from keelwatt.choose.sums import Measure
from keelwatt.explain.amounts import amounts, hours_at, leg_speeds_m_s, wished
from keelwatt.files.kit import Kit
from keelwatt.kits import Found, Table
from keelwatt.kits.pairs import lightest_g
from keelwatt.limits import LIMITS, WISHES

SAME = 1e-9
BARELY_M_S = 1e-3
GIVEN_UP = 10.0

A_PART = 200
"""Couples in one part."""


def every_couple(search: Search) -> Found:
    """All couples of one voltage whose control stands the motor on that bank."""
    types = search.types
    alike = types.bank["system_v"][:, None] == types.drive["system_v"][None, :]
    bank, drive = np.nonzero(alike & types.stood[types.bank["fresh"]])
    return Found(bank, drive, np.zeros(bank.shape, dtype=np.int64))


def w_max_g(search: Search, couples: Found) -> dict[str, Ints]:
    """What couples may weigh, looked for from no wiring at all to the heaviest."""
    low_g = lightest_g(search.types, couples.bank, couples.drive)
    return search.contenders.pairs(
        couples, low_g, low_g + search.types.least_wiring.heaviest_g
    ).w_max_g


def whole_table(search: Search) -> Table:
    return search.contenders.table(every_couple(search))


def some_kit(search: Search, bank_type: int, drive_type: int) -> Kit:
    """A kit of a couple, in its first places and with whatever wiring comes first of all."""
    types, table = search.types, whole_table(search)
    craft = types.case.outing.craft
    box = craft.compartments[int(np.flatnonzero(types.fits[bank_type])[0])]
    mount = craft.mounts[int(np.flatnonzero(types.hangs[drive_type])[0])]
    bank = int(np.flatnonzero(table.banks.type == bank_type)[0])
    drive = int(np.flatnonzero(table.drives.type == drive_type)[0])
    kit = table.kit(bank, drive, 0, -1)
    assert (kit.compartment, kit.mount) == (box.name, mount.name)
    return kit


@dataclass(frozen=True)
class Ledger:
    """All kits of a search."""

    block: Block
    by: Measure

    @classmethod
    def of(cls, search: Search, by: Measure) -> "Ledger":
        return cls(Block.of(whole_table(search), search.names), by)

    @property
    def names(self) -> tuple[str, ...]:
        return self.block.names

    @cached_property
    def order(self) -> Ints:
        """Kits from the best: by the measure, then the other, then the catalog's order."""
        measures = self.block.measures
        return np.lexsort((self.block.rank, measures[THEN[self.by]], measures[self.by]))

    def first(self, allowed: Bools) -> int | None:
        """The best of the allowed kits."""
        place = int(np.argmax(allowed[self.order])) if allowed.any() else None
        return None if place is None else int(self.order[place])

    @cached_property
    def best(self) -> int | None:
        return self.first(self.block.broken == 0)

    def value(self, number: int) -> int:
        return int(self.block.measures[self.by][number])

    def kit(self, number: int | None) -> Kit | None:
        return None if number is None else self.block.kit(number)

    def only(self, *names: str) -> Bools:
        """Kits that break just these limits, none of them beyond the loosest."""
        return np.asarray((self.block.broken == self.block.bit(names)) & (self.block.beyond == 0))

    def better(self) -> Bools:
        assert self.best is not None
        return np.asarray(self.block.measures[self.by] < self.value(self.best))

    def lifted(self, name: str) -> Kit | None:
        """The best kit without this limit alone, if it is a better one."""
        return self.kit(self.first(self.only(name) & self.better()))

    def next_step(self, name: str) -> tuple[float, Kit] | None:
        """The least loosening of a wish that lets a better kit in, and the best of those."""
        kits = np.flatnonzero(self.only(name) & self.better())
        have = amounts(self.block, name, kits)
        reach = np.isfinite(have) & (have > 0.0)
        kits, have = kits[reach], have[reach]
        if not kits.size:
            return None
        least = float(have.max() if LIMITS[name].grows else have.min())
        allowed = np.zeros(self.block.bank.shape, dtype=bool)
        allowed[kits[np.abs(have - least) <= SAME * abs(least)]] = True
        kit = self.kit(self.first(allowed))
        assert kit is not None
        return least, kit

    def headroom(self, name: str) -> Kit | None:
        """The best kit that keeps every limit and has more to spare of this one."""
        assert self.best is not None
        has = float(amounts(self.block, name, np.array([self.best]))[0])
        kits = np.flatnonzero(self.block.broken == 0)
        have = amounts(self.block, name, kits)
        slack = SAME * abs(has)
        tighter = have > has + slack if LIMITS[name].grows else have < has - slack
        allowed = np.zeros(self.block.bank.shape, dtype=bool)
        allowed[kits[tighter]] = True
        return self.kit(self.first(allowed))

    def named(self, bits: int) -> frozenset[str]:
        return frozenset(name for at, name in enumerate(self.names) if bits >> at & 1)

    def broken_sets(self) -> list[frozenset[str]]:
        """The smallest sets of limits that kits break."""
        return smallest(self.named(bits) for bits in np.unique(self.block.broken).tolist())

    def conflicts(self) -> set[frozenset[str]]:
        """The smallest sets of limits of which every kit breaks one."""
        return set(meeting(self.broken_sets()))

    def ways(self) -> set[frozenset[str]]:
        """The smallest sets of wishes that let a kit in once loosened."""
        sets = smallest(self.named(bits) for bits in np.unique(self.wishes[1]).tolist())
        return {limits for limits in sets if limits}

    def top_left_m_s(self, kits: Ints, *, short: Bools) -> Floats:
        """The top speed wished for, what kits reach where that is less."""
        asked = np.full(kits.shape, self.block.outing.limits.top_speed_m_s or 0.0)
        asked[short] = np.clip(amounts(self.block, "top_speed", kits[short]), 0.0, asked[short])
        return asked

    def turned_kg_m(self, kits: Ints, top_m_s: Floats) -> Floats:
        """What leans each boat, motor across, the legs at the speeds asked for."""
        drive = self.block.day.drive.of(self.block.drive_type[kits])
        return self.block.day.turned.kg_m(drive, top_m_s=top_m_s)

    @cached_property
    def wishes(self) -> tuple[Ints, Ints]:
        """(kits that break wishes only, which of them each must have loosened, as bits).

        With the legs as slow as a kit can run them, its hours may do after all, and its control
        is cool enough; at no greater top speed than it reaches it may lean less. A kit comes twice
        where a lower top speed does in place of the heel, motor across.
        """
        block, bit = self.block, self.block.bit
        heat = bit(["control_heat"])
        upright = (block.beyond & 0b011) == 0
        kits = np.flatnonzero((block.broken & ~(bit(WISHES) | heat) == 0) & upright)
        broken = block.broken[kits]
        broken = np.where(broken & heat, broken & ~heat | bit(["leg_speed"]), broken)
        slow = np.flatnonzero(broken & bit(["leg_speed"]))
        speeds = leg_speeds_m_s(block, kits[slow])
        wanted = block.case.ground_speeds_m_s[:, None]
        runs = np.all((speeds > 0.0) | ((wanted == 0.0) & (speeds == 0.0)), axis=0)
        day_h, served_h = hours_at(block, kits[slow], np.maximum(speeds, BARELY_M_S))
        hours = bit(["hours"])
        broken[slow] = broken[slow] & ~hours | np.where(served_h >= day_h, 0, hours)
        possible = np.ones(kits.shape, dtype=bool)
        possible[slow] = runs
        return self._turned(kits[possible], broken[possible])

    def _turned(self, kits: Ints, broken: Ints) -> tuple[Ints, Ints]:
        across, top = (self.block.bit([name]) for name in ("turn_heel", "top_speed"))
        short = broken & top > 0
        room = self.block.turning_room_kg_m(kits)
        left_m_s = self.top_left_m_s(kits, short=short)
        turned = self.turned_kg_m(kits, left_m_s)
        loose = tan(LIMITS["turn_heel"].loosest_si or 0.0)
        loosest = room * loose / tan(self.block.outing.limits.turn_heel_rad)
        anew = short & (turned <= room)
        broken = np.where(anew, broken & ~across, broken)
        tips = broken & across > 0
        level = self.turned_kg_m(kits, np.zeros(1)) <= room
        lower = tips & level & (top > 0)
        stands = ~tips | (turned <= loosest)
        both = broken[lower] & ~across | top
        return np.append(kits[stands], kits[lower]), np.append(broken[stands], both)

    def least_change(self, limits: frozenset[str]) -> float:
        """The least relative change, all in all, of a kit that needs just these loosened."""
        block, (kits, broken) = self.block, self.wishes
        kits = kits[broken == block.bit(limits)]
        whole, room = np.zeros(kits.shape), block.turning_room_kg_m(kits)
        for name in limits:
            asked = wished(block.case, name) or 0.0
            have = amounts(block, name, kits)
            if name == "turn_heel" and "top_speed" in limits:
                left_m_s = self.top_left_m_s(kits, short=np.ones(kits.shape, dtype=bool))
                most = tan(self.block.outing.limits.turn_heel_rad)
                turned = self.turned_kg_m(kits, left_m_s)
                have = np.degrees(np.arctan2(turned * most, room))
            if name == "top_speed" and "turn_heel" not in limits:
                low, high = np.zeros(kits.shape), have.copy()
                good = self.turned_kg_m(kits, np.maximum(high, 0.0)) <= room
                for _ in range(50):
                    middle = (low + high) / 2
                    keeps = self.turned_kg_m(kits, middle) <= room
                    low, high = np.where(keeps, middle, low), np.where(keeps, high, middle)
                have = np.where(good, have, low)
            if name == "hours" and "leg_speed" in limits:
                speeds = np.maximum(leg_speeds_m_s(block, kits), BARELY_M_S)
                day_h, served_h = hours_at(block, kits, speeds)
                have = block.case.outing_hours * served_h / day_h
            sign = 1.0 if LIMITS[name].grows else -1.0
            if not asked:
                whole += GIVEN_UP
                continue
            missed = np.maximum(sign * (asked - have), 0.0) / asked
            whole += np.where(np.isfinite(have), missed, GIVEN_UP)
        return float(whole.min(initial=np.inf))

    def front(self) -> list[Kit]:
        """Kits that keep all limits and are not beaten on cost and mass, the cheapest first."""
        measures, kits = self.block.measures, np.flatnonzero(self.block.broken == 0)
        keys = [self.block.rank, measures[self.by], measures["mass"], measures["cost"]]
        inorder = kits[np.lexsort([key[kits] for key in keys])]
        lightest = np.minimum.accumulate(measures["mass"][inorder])
        new = np.flatnonzero(np.diff(lightest, prepend=np.iinfo(np.int64).max))
        return [self.block.kit(int(number)) for number in inorder[new]]


def in_parts(search: Search, by: Measure) -> Iterator[Ledger]:
    """The ledger of every kit in parts, for catalogs of which one block would be too large."""
    couples = every_couple(search)
    for at in range(0, couples.floor.size, A_PART):
        yield Ledger(Block.of(search.contenders.table(couples[at : at + A_PART]), search.names), by)


def meeting(sets: list[frozenset[str]]) -> list[frozenset[str]]:
    """The smallest sets that hold one of each; none if one of them is empty."""
    if not sets or not sets[0]:
        return []
    found = [frozenset[str]()]
    for each in sets:
        found = smallest(
            wider
            for limits in found
            for wider in ([limits] if limits & each else [limits | {n} for n in each])
        )
    return found


def smallest(sets: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    """Those that contain no other, smallest first."""
    kept: list[frozenset[str]] = []
    for limits in sorted(set(sets), key=len):
        if not any(small <= limits for small in kept):
            kept.append(limits)
    return kept
