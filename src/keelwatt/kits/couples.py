"""The couples of a bank type and a drive type, by what a kit of theirs comes to at the least."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from math import inf
from typing import Any, TypeVar

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.files.kit import just_above, just_below, season_units
from keelwatt.kits.charging import charging_h
from keelwatt.kits.least import NEVER
from keelwatt.kits.needs import AS_WISHED, Needs, Span
from keelwatt.kits.types import Types

Made = TypeVar("Made")

MOST_KNOWN = 64
"""Arrays over all types that are remembered."""

CELLS = 1 << 18
"""About so many couples are put into one array."""

MEASURES = {"cost": "price_cents", "mass": "mass_g", "season": "season_units"}
"""Which column of the types holds a measure."""


@dataclass(frozen=True)
class Bounds:
    """What every kit asked about must keep; None, 0 or nothing where a limit is lifted.

    ``most``: of a measure. ``hours``: the share of the day a bank must serve; ``spans``: at some
    speed within one of these. ``legs``: the share of the legs' speeds a motor must hold.
    """

    by: str
    most: tuple[tuple[str, int], ...] = ()
    lift_g: int | None = None
    hours: float = 1.0
    spans: tuple[Span, ...] = (AS_WISHED,)
    legs: float = 1.0
    top_m_s: float | None = None
    recharge_h: float | None = None
    charger: bool = False


@dataclass(frozen=True)
class Found:
    """Couples as numbers of their types, by what they come to at the least: the lowest first."""

    bank: Ints
    drive: Ints
    floor: Ints

    def __getitem__(self, index: Ints | Bools | slice) -> "Found":
        return Found(self.bank[index], self.drive[index], self.floor[index])


@dataclass(frozen=True)
class Ground:
    """What the bounds of every question are made from; ``any_wiring``: whatever the rules say."""

    types: Types
    any_wiring: bool = False
    known: dict[tuple[object, ...], Any] = field(default_factory=dict)

    @cached_property
    def needs(self) -> Needs:
        return Needs(self.types)

    @cached_property
    def bank_class(self) -> Ints:
        """Banks that ask the same of the least wiring, numbered from 0."""
        return self._classes[1]

    @cached_property
    def _classes(self) -> tuple[Ints, Ints]:
        """(which of the wiring's classes there are, each bank's among these)."""
        types, bank = self.types, self.types.bank
        asked = types.join_class, bank["short_circuit_a"], bank["fresh"]
        found, of = np.unique(types.least_wiring.bank_class(*asked), return_inverse=True)
        return found, np.asarray(of, dtype=np.int64).ravel()

    def _once(self, *key: Any, make: Callable[[], Made]) -> Made:
        """What many questions share is made once."""
        if key not in self.known:
            while len(self.known) >= MOST_KNOWN:
                del self.known[next(iter(self.known))]
            self.known[key] = make()
        made: Made = self.known[key]
        return made

    @cached_property
    def freely(self) -> "Ground":
        """The same, whatever the rules on wiring say."""
        return replace(self, any_wiring=True)

    def _wiring(self, measure: str) -> Ints:
        """The least for each class of banks and harness, (classes, harnesses)."""

        def made() -> Ints:
            if self.any_wiring:
                return self._least_sum(measure)[:, None] + np.zeros_like(
                    self.types.harnesses.current_a, dtype=np.int64
                )
            return self.types.least_wiring.least(measure, self.types.harnesses)[self._classes[0]]

        return self._once("wiring", self.any_wiring, measure, make=made)

    def _least_sum(self, measure: str) -> Ints:
        """By class of banks, whatever the rules say."""
        first = np.unique(self.bank_class, return_index=True)[1]
        return np.asarray(self.types.least_wiring.least_sum(measure)[self.types.join_class[first]])

    def with_wiring(self, measure: str, classes: Ints, drive: Ints) -> Ints:
        """Drive types with the least wiring for classes of banks; shapes broadcast."""
        wiring, own = self._wiring(measure), self.types.drive[MEASURES[measure]]
        return np.asarray(wiring[classes, self.types.harness[drive]] + own[drive])

    def without(self, rule: str, measure: str, couples: Found) -> Ints:
        """What no kit of some couples comes to less than if one rule on wiring is given up.

        ``couples``: with the floors of any wiring.
        """
        wiring, harness = self.types.least_wiring, self.types.harness[couples.drive]
        asked, number = np.unique(harness, return_inverse=True)
        least = wiring.least(measure, self.types.harnesses.only(asked), rule)[self._classes[0]]
        least -= self._least_sum(measure)[:, None]
        return np.asarray(couples.floor + least[self.bank_class[couples.bank], number.ravel()])

    def of_drives(self, measure: str) -> tuple[Ints, Ints]:
        """The least and the most of :meth:`with_wiring` over the banks of each drive."""

        def made() -> tuple[Ints, Ints]:
            whole, harness = self._wiring(measure), self.types.harness
            own = self.types.drive[MEASURES[measure]]
            most = whole.max(axis=0, where=whole < NEVER, initial=-1)[harness]
            least = np.minimum(whole.min(axis=0, initial=NEVER)[harness] + own, NEVER)
            return least, np.where(most < 0, -1, most + own)

        return self._once("drives", self.any_wiring, measure, make=made)

    def of_banks(self, measure: str, recharge_h: float | None, *, charger: bool) -> Ints:
        """What each bank type adds to a measure, its cheapest charger too where it needs one."""

        def made() -> Ints:
            own = self.types.bank[MEASURES[measure]]
            of: Ints = np.asarray(own)
            if not charger or measure == "mass":
                return of
            unit = season_units(1) if measure == "season" else 1
            return np.asarray(np.minimum(of + unit * self.charger_cents(recharge_h), NEVER))

        return self._once("banks", measure, recharge_h, charger, make=made)

    def asked(self, spans: tuple[Span, ...]) -> tuple[Floats, Floats]:
        """The most modest of several spans: what each asks is kept, for walks that share them."""
        each = [self._once("asked", span, make=partial(self.needs.asked, span)) for span in spans]
        ah, wh = (np.minimum.reduce(of) for of in zip(*each, strict=True))
        return ah, wh

    def able(self, legs: float, top_m_s: float | None) -> Bools:
        """Drive types that may hold the legs at a share of their speeds, and the top speed."""

        def made() -> Bools:
            good = np.ones(len(self.types.drive_types), dtype=bool)
            if legs:
                good &= self.needs.hold_legs(legs)
            if top_m_s is not None:
                good &= self.needs.reach_top(top_m_s)
            return good

        return self._once("able", legs, top_m_s, make=made)

    @cached_property
    def supply_wh(self) -> Floats:
        return np.asarray(self.types.bank["usable_ah"] * self.types.bank["voltage_v"])

    def charger_cents(self, recharge_h: float | None) -> Ints:
        """The cheapest charger of every bank that does it in time, NEVER where none does."""
        types, cents = self.types, np.full(len(self.types.bank_types), NEVER, dtype=np.int64)
        bank, within_h = types.bank, just_above(recharge_h or inf)
        price, current_a = types.charged_cents, types.charger["current_a"]
        for number, chargers in enumerate(types.chargers_of):
            of = np.flatnonzero(types.bank["charging"] == number)
            for row in chargers[chargers >= 0].tolist():
                hours = charging_h(bank["charge_ah"][of], bank["slow_end_h"][of], current_a[row])
                cents[of] = np.where(
                    hours <= within_h, np.minimum(cents[of], price[number, row]), cents[of]
                )
        return cents


@dataclass(frozen=True)
class Couples:
    """Every couple that may keep some bounds, by what a kit of theirs comes to at the least.

    A couple's floor is its parts' own sum, with the cheapest charger for the bank and the least
    wiring for the drive and the bank's fault current. ``standing`` and ``hanging``: the bank and
    drive types worth a look.
    """

    ground: Ground
    bounds: Bounds
    standing: Bools
    hanging: Bools

    @cached_property
    def _most(self) -> Mapping[str, int]:
        return dict(self.bounds.most)

    @cached_property
    def _banks(self) -> dict[str, Ints]:
        ground, bounds = self.ground, self.bounds
        return {
            name: ground.of_banks(name, bounds.recharge_h, charger=bounds.charger)
            for name in {bounds.by, *self._most}
        }

    @cached_property
    def _bearable(self) -> Bools:
        types, good = self.ground.types, self.standing & (self._banks[self.bounds.by] < NEVER)
        for measure, most in self._most.items():
            good &= self._banks[measure] <= most
        if self.bounds.lift_g is not None:
            good &= types.bank["piece_g"] <= self.bounds.lift_g
        return good

    @cached_property
    def _able(self) -> Bools:
        good = self.hanging & self.ground.able(self.bounds.legs, self.bounds.top_m_s)
        if self.bounds.lift_g is not None:
            good &= self.ground.types.drive["piece_g"] <= self.bounds.lift_g
        return good

    @cached_property
    def _groups(self) -> tuple[tuple[Ints, Ints, Floats, Floats], ...]:
        """(banks, drives, their supply, their needs) of the drives of one voltage and kind."""
        types, share = self.ground.types, just_below(self.bounds.hours)
        volts = types.drive["system_v"]
        asked = self.ground.asked(self.bounds.spans) if share > 0.0 else None
        supplies = types.bank["usable_ah"], self.ground.supply_wh
        found = []
        for v in np.unique(volts).tolist():
            here = np.flatnonzero(self._bearable & (types.bank["system_v"] == v))
            for kind in (0, 1):
                d = np.flatnonzero(
                    self._able & (volts == v) & (types.drive["chopper"] == bool(kind))
                )
                b, d = self._beside(here, d)
                wants = asked[kind][d] * share if asked else np.zeros(d.shape)
                found.append((b, d, just_above(supplies[kind][b]), wants))
        return tuple(found)

    def may(self, bank: Ints, drive: Ints) -> Bools:
        """Which couples may keep the bounds."""
        types, share = self.ground.types, just_below(self.bounds.hours)
        good = self._bearable[bank] & self._able[drive]
        good &= types.stood[types.bank["fresh"][bank], drive]
        if share > 0.0:
            ah, wh = self.ground.asked(self.bounds.spans)
            by_wh = types.drive["chopper"][drive]
            supply = np.where(by_wh, self.ground.supply_wh[bank], types.bank["usable_ah"][bank])
            good &= just_above(supply) >= np.where(by_wh, wh[drive], ah[drive]) * share
        for measure, most in self._most.items():
            good &= self.least(measure, bank, drive) <= most
        return np.asarray(good)

    def _beside(self, banks: Ints, drives: Ints) -> tuple[Ints, Ints]:
        """Those that with the least of the others keep within what a kit may come to."""
        for measure, most in self._most.items():
            of_banks = self._banks[measure][banks]
            of_drives = self.ground.of_drives(measure)[0][drives]
            some = of_banks + of_drives.min(initial=NEVER) <= most
            able = of_drives + of_banks.min(initial=NEVER) <= most
            banks, drives = banks[some], drives[able]
        return banks, drives

    def least(self, measure: str, bank: Ints, drive: Ints) -> Ints:
        """What no kit of a couple comes to less than."""
        ground, bounds = self.ground, self.bounds
        of_banks = ground.of_banks(measure, bounds.recharge_h, charger=bounds.charger)
        return np.asarray(
            of_banks[bank] + ground.with_wiring(measure, ground.bank_class[bank], drive)
        )

    @cached_property
    def _floors(self) -> tuple[Ints, Ints]:
        """The least a kit with each bank type, and with each drive type, can come to."""
        banks = self._banks[self.bounds.by]
        drives = self.ground.of_drives(self.bounds.by)[0]
        bank_floor = np.full(banks.shape, NEVER, dtype=np.int64)
        drive_floor = np.full(drives.shape, NEVER, dtype=np.int64)
        for b, d, supply, wants in self._groups:
            richest = np.argsort(-supply, kind="stable")
            cheapest = _running_min(banks[b][richest])
            enough = np.searchsorted(-supply[richest], -wants, side="right")
            drive_floor[d] = drives[d] + cheapest[enough]
            modest = np.argsort(wants, kind="stable")
            least = _running_min(drives[d][modest])
            able = np.searchsorted(wants[modest], supply, side="right")
            bank_floor[b] = np.minimum(bank_floor[b], banks[b] + least[able])
        return np.minimum(bank_floor, NEVER), np.minimum(drive_floor, NEVER)

    @property
    def most(self) -> int:
        """No kit asked about comes to more."""
        return self._most.get(self.bounds.by, NEVER - 1)

    @cached_property
    def highest(self) -> int:
        """No couple that may be part of a kit has a higher floor."""
        drives = self.ground.of_drives(self.bounds.by)[1]
        banks = self._banks[self.bounds.by][self._bearable]
        return int(banks.max(initial=0) + drives.max(initial=0))

    def level(self, size: int) -> int:
        """A level that lets about so many couples in, the types' floors alone counted."""
        levels, couples = self._levels
        at = int(np.searchsorted(couples, size))
        return int(levels[at]) if at < levels.size else self.highest

    @cached_property
    def _levels(self) -> tuple[Ints, Ints]:
        """Every floor of a type, rising, and how many couples no higher ones make."""
        banks, drives = (np.sort(floor[floor < NEVER]) for floor in self._floors)
        levels = np.unique(np.concatenate([banks, drives]))
        within = (np.searchsorted(floor, levels, side="right") for floor in (banks, drives))
        return levels, np.prod(list(within), axis=0)

    def up_to(self, level: int) -> Found:
        """Every couple whose floor does not pass a level."""
        return self.between(-1, level)

    def between(self, low: int, high: int) -> Found:
        """Every couple whose floor is above one level and does not pass another."""
        bank_floor, drive_floor = self._floors
        found: list[tuple[Ints, Ints, Ints]] = []
        for b, d, supply, wants in self._groups:
            some, able = bank_floor[b] <= high, drive_floor[d] <= high
            found += self._within((b[some], supply[some]), (d[able], wants[able]), low, high)
        b, d, floor = (
            np.concatenate([np.empty(0, dtype=np.int64), *arrays])
            for arrays in (zip(*found, strict=True) if found else ((), (), ()))
        )
        order = np.lexsort((d, b, floor))
        return Found(b[order], d[order], floor[order])

    def _within(
        self, of_banks: tuple[Ints, Floats], of_drives: tuple[Ints, Floats], low: int, high: int
    ) -> Iterator[tuple[Ints, Ints, Ints]]:
        """Couples of these whose sums and supply are enough, some banks at a time.

        Both go from the lowest: a few banks of nearly one price leave a band of drives.
        """
        own, types = self._banks[self.bounds.by], self.ground.types
        (banks, supply), (drives, wants) = _from_lowest(of_banks, own), of_drives
        least, most = self.ground.of_drives(self.bounds.by)
        (drives, wants), own = _from_lowest((drives, wants), least), own[banks]
        least, most, start = least[drives], most[drives], 0
        while start < banks.size:
            upto = int(np.searchsorted(least, high - own[start], side="right"))
            part = slice(start, start + max(1, CELLS // max(1, upto)))
            start = part.stop
            some, classes = banks[part], self.ground.bank_class[banks[part]]
            here = np.flatnonzero(
                (most[:upto] > low - own[part][-1]) & (wants[:upto] <= supply[part].max())
            )
            good = supply[part][:, None] >= wants[here][None, :]
            good &= types.stood[np.ix_(types.bank["fresh"][some], drives[here])]
            for measure in self._banks:
                sums = self.ground.with_wiring(measure, classes[:, None], drives[here])
                sums += self._banks[measure][some][:, None]
                bound = min(self._most.get(measure, NEVER - 1), NEVER - 1)
                if measure == self.bounds.by:
                    floor, bound = sums, min(bound, high)
                    good &= sums > low
                good &= sums <= bound
            at = np.nonzero(good)
            yield some[at[0]], drives[here][at[1]], floor[at]


def _from_lowest(types: tuple[Ints, Floats], values: Ints) -> tuple[Ints, Floats]:
    """Types and what goes with them, from the lowest value."""
    order = np.argsort(values[types[0]], kind="stable")
    return types[0][order], types[1][order]


def _running_min(values: Ints) -> Ints:
    """The least of the first k values, for k from 0."""
    return np.concatenate([[NEVER], np.minimum.accumulate(values)]).astype(np.int64)
