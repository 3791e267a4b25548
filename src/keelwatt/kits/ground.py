"""What the bounds of every question about couples are made from."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from itertools import product
from math import inf
from typing import Any, TypeVar

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.files.kit import just_above, season_units
from keelwatt.kits.charging import charging_h
from keelwatt.kits.least import NEVER
from keelwatt.kits.needs import Needs, Span
from keelwatt.kits.types import Types

Made = TypeVar("Made")

MOST_KNOWN = 64
"""Arrays over all types that are remembered."""

Group = tuple[Ints, Ints, Floats, Floats]
"""Banks and drives of a voltage, the former's supply, falling, and the latter's needs, rising."""

MEASURES = {"cost": "price_cents", "mass": "mass_g", "season": "season_units"}
"""Which column of the types holds a measure."""

CHARGER_CENT = {"cost": 1, "mass": 0, "season": season_units(1)}
"""What a cent of a charger adds to a measure. No mass: it stays ashore, and the bank carries the
heaviest inlet's."""


@dataclass(frozen=True)
class Found:
    """Couples as numbers of their types, by what they come to at the least: the lowest first."""

    bank: Ints
    drive: Ints
    floor: Ints

    def __getitem__(self, index: Ints | Bools | slice) -> "Found":
        return Found(self.bank[index], self.drive[index], self.floor[index])

    def and_those(self, others: "Found") -> "Found":
        """Both, the lowest first."""
        each = (self.bank, others.bank), (self.drive, others.drive), (self.floor, others.floor)
        both = Found(*map(np.concatenate, each))
        return both[np.argsort(both.floor, kind="stable")]


@dataclass(frozen=True)
class Ground:
    """What the bounds of every question are made from; ``any_wiring``: whatever the rules say."""

    types: Types
    any_wiring: bool = False
    known: dict[tuple[object, ...], Any] = field(default_factory=dict)

    @cached_property
    def needs(self) -> Needs:
        return Needs(self.types)

    @property
    def bank_class(self) -> Ints:
        """Banks that ask the same of the least wiring, numbered from 0."""
        return self.types.wiring_classes[1]

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
        """The least for each class of banks and of harnesses, (classes, kinds)."""

        def made() -> Ints:
            harnesses = self.types.wiring_kinds[0]
            if self.any_wiring:
                return self._least_sum(measure)[:, None] + np.zeros_like(harnesses.system_v)
            return self.types.least_wiring.least(measure, harnesses)[self.types.wiring_classes[0]]

        return self._once("wiring", self.any_wiring, measure, make=made)

    def _least_sum(self, measure: str) -> Ints:
        """By class of banks, whatever the rules say."""
        first = np.unique(self.bank_class, return_index=True)[1]
        return np.asarray(self.types.least_wiring.least_sum(measure)[self.types.join_class[first]])

    def with_wiring(self, measure: str, classes: Ints, drive: Ints) -> Ints:
        """Drive types with the least wiring for classes of banks; shapes broadcast."""
        wiring, own = self._wiring(measure), self.types.drive[MEASURES[measure]]
        return np.asarray(wiring[classes, self.types.wiring_kinds[1][drive]] + own[drive])

    def without(self, rule: str, measure: str, couples: Found) -> Ints:
        """What no kit of some couples comes to less than if one rule on wiring is given up.

        ``couples``: with the floors of any wiring.
        """
        types, (harnesses, kinds) = self.types, self.types.wiring_kinds
        asked, kind = np.unique(kinds[couples.drive], return_inverse=True)
        least = types.least_wiring.least(measure, harnesses.only(asked), rule)
        more = least[types.wiring_classes[0]] - self._least_sum(measure)[:, None]
        return np.asarray(couples.floor + more[self.bank_class[couples.bank], kind])

    def of_drives(self, measure: str) -> tuple[Ints, Ints]:
        """The least and the most of :meth:`with_wiring` over the banks of each drive."""

        def made() -> tuple[Ints, Ints]:
            whole, harness = self._wiring(measure), self.types.wiring_kinds[1]
            own = self.types.drive[MEASURES[measure]]
            most = whole.max(axis=0, where=whole < NEVER, initial=-1)[harness]
            least = np.minimum(whole.min(axis=0, initial=NEVER)[harness] + own, NEVER)
            return least, np.where(most < 0, -1, most + own)

        return self._once("drives", self.any_wiring, measure, make=made)

    def of_banks(self, measure: str, recharge_h: float | None, *, charger: bool) -> Ints:
        """What each bank type adds to a measure, its cheapest charger too where it needs one; NEVER
        where none suits."""

        def made() -> Ints:
            of: Ints = np.asarray(self.types.bank[MEASURES[measure]])
            if not charger:
                return of
            cents = self.charger_cents(recharge_h)
            return np.asarray(np.where(cents < NEVER, of + CHARGER_CENT[measure] * cents, NEVER))

        return self._once("banks", measure, recharge_h, charger, make=made)

    def asked(self, spans: tuple[Span, ...]) -> tuple[Floats, Floats]:
        """The most modest of several spans: what each asks is kept, for walks that share them."""
        each = [self._once("asked", span, make=partial(self.needs.asked, span)) for span in spans]
        ah, wh = (np.minimum.reduce(of) for of in zip(*each, strict=True))
        return ah, wh

    def charge(self, spans: tuple[Span, ...], bank: Ints, drive: Ints) -> tuple[Floats, Floats]:
        """(what a bank may give, the least its drive asks), in the unit that counts for both."""
        (ah, wh), by_wh = self.asked(spans), self.types.drive["chopper"][drive]
        supply = np.where(by_wh, self.supply_wh[bank], self.types.bank["usable_ah"][bank])
        return supply, np.where(by_wh, wh[drive], ah[drive])

    def groups(self, spans: tuple[Span, ...]) -> tuple[Group, ...]:
        """By the voltage and kind of drives; without spans none needs anything."""
        bank, drive = self.types.bank, self.types.drive

        def made() -> tuple[Group, ...]:
            nothing, found = np.zeros(drive["chopper"].shape), list[Group]()
            needs = self.asked(spans) if spans else (nothing, nothing)
            supplies = just_above(bank["usable_ah"]), just_above(self.supply_wh)
            for v, kind in product(np.unique(drive["system_v"]).tolist(), (0, 1)):
                b = np.flatnonzero(bank["system_v"] == v)
                b = b[np.argsort(-supplies[kind][b], kind="stable")]
                d = np.flatnonzero((drive["system_v"] == v) & (drive["chopper"] == bool(kind)))
                d = d[np.argsort(needs[kind][d], kind="stable")]
                found.append((b, d, supplies[kind][b], needs[kind][d]))
            return tuple(found)

        return self._once("groups", spans, make=made)

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
        types, cents = self.types, np.empty(len(self.types.bank_types), dtype=np.int64)
        charge_ah, slow_end_h = types.bank["charge_ah"], types.bank["slow_end_h"]
        for number, chargers in enumerate(types.chargers_of):
            of, rows = np.flatnonzero(types.bank["charging"] == number), chargers[chargers >= 0]
            current_a = types.charger["current_a"][rows]
            hours = charging_h(charge_ah[of, None], slow_end_h[of, None], current_a)
            able = hours <= just_above(recharge_h or inf)
            price = np.where(able, types.charged_cents[number, rows], NEVER)
            cents[of] = price.min(axis=1, initial=NEVER)
        return cents
