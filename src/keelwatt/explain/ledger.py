"""The ledger: every kit of a space, its measures, and the limits it breaks.

A kit here is a bank, a drive, a wiring set and a charger. Wiring sets beaten on price and mass, and
chargers beaten on price and time, are not in it: every limit grows with the one or the other, so
neither a best kit nor a smallest loosening ever needs them.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from math import inf

import numpy as np

from keelwatt.boat.arrays import Bools, Floats
from keelwatt.boat.facts import Facts, recharge_factor
from keelwatt.choose.moments import Moments
from keelwatt.choose.space import THEN, Kits, Space
from keelwatt.choose.sums import Ints, Measure, Sum
from keelwatt.files.kit import Kit, just_above
from keelwatt.kits import Table
from keelwatt.limits import LIMITS, MEASURED, WISHES


@dataclass(frozen=True)
class Ledger:
    """All kits of a table. ``broken`` has bit i set where a kit breaks ``names[i]``.

    ``hopeless`` marks kits beyond the loosest that may be wished: those trim or heel too far.
    """

    space: Space
    by: Measure
    names: tuple[str, ...]
    kits: Kits
    charger: Ints
    measures: dict[Measure, Ints]
    broken: Ints
    hopeless: Bools

    @classmethod
    def of(cls, table: Table, by: Measure) -> "Ledger":
        facts = table.facts
        timed = facts.outing.limits.recharge_within_h is not None
        space = Space(table).lifting("recharge")
        zone, starts, ends = space.zones
        bank, drive = np.nonzero((ends - starts)[zone] > 0)
        kits = space.expand(bank, drive)
        kits, charger = _with_chargers(space, kits, timed)
        measures = _measures(space, kits, charger)
        ledger = cls(
            space,
            by,
            (),
            kits,
            charger,
            measures,
            np.zeros(charger.shape, dtype=np.int64),
            np.zeros(charger.shape, dtype=bool),
        )
        return ledger._judged(timed)

    def _judged(self, timed: bool) -> "Ledger":
        """Sets the bits."""
        bits: dict[str, Bools] = {}
        facts = self.space.table.facts

        def breaks(name: str, broken: Bools) -> None:
            bits[name] = bits[name] | broken if name in bits else broken

        for limit in self.space.sums:
            total = self._total(limit)
            breaks(limit.name, total > limit.bound)
        displacement = self.displacement_g
        for name, w_max in self.space.w_max_g.items():
            breaks(name, displacement > w_max[self.types])
        if timed:
            breaks(
                "recharge",
                self.recharge_h > just_above(facts.outing.limits.recharge_within_h or 0.0),
            )
        if self.space.table.charger_required:
            breaks("chemistry", self.charger < 0)
        shown = [*WISHES, *bits]
        names = tuple(sorted(bits, key=shown.index))
        broken = np.zeros(self.charger.shape, dtype=np.int64)
        for i, name in enumerate(names):
            broken |= bits[name].astype(np.int64) << i
        hopeless = np.zeros(self.charger.shape, dtype=bool)
        for name, breaking in bits.items():
            if LIMITS[name].loosest is not None and breaking.any():
                for limit in loosened(self.space, name).sums:
                    if limit.name == name:
                        hopeless |= self._total(limit) > limit.bound
        return replace(self, names=names, broken=broken, hopeless=hopeless)

    def _total(self, limit: Sum) -> Ints:
        measure = MEASURED.get(limit.name)
        return self.measures[measure] if measure else self.kits.total(limit.of)

    @cached_property
    def types(self) -> tuple[Ints, Ints]:
        banks, drives = self.space.ground.types
        return banks[self.kits.bank], drives[self.kits.drive]

    @cached_property
    def displacement_g(self) -> Ints:
        return np.asarray(self.space.bare_g + self.measures["mass"])

    @cached_property
    def recharge_h(self) -> Floats:
        """Hours the kit's charger needs; without end where there is none."""
        table = self.space.table
        factor = {c: recharge_factor(c) for c in table.banks["chemistry"].unique()}
        needed_ah = table.banks["usable_ah"].to_numpy() * table.banks["chemistry"].map(
            factor
        ).to_numpy(dtype=float)
        current = np.append(table.chargers["current_a"].to_numpy(dtype=float), 0.0)
        with np.errstate(divide="ignore"):
            return np.asarray(needed_ah[self.kits.bank] / current[self.charger])

    def angle_rad(self, name: str, kits: Ints) -> Floats:
        """Trim or heel of the numbered kits, as the rows count it; a right angle if unstable."""
        facts, moments = self.space.table.facts, self._moments
        along, across, rising = facts.bare_moments_kg_m
        bare, turning = (along, moments.along) if name == "trim" else (across, moments.across)
        chosen = self.kits[kits]
        tipping = np.abs(bare + turning.banks[chosen.bank] + turning.motors[chosen.drive])
        tipping = tipping + turning.controllers[chosen.drive] + turning.wiring[chosen.wiring]
        if name == "trim":
            return np.asarray(np.arctan2(tipping, facts.trim_stiffness_kg_m))
        rise = moments.rising
        righting = facts.waterplane_stiffness_kg_m - rising - rise[0][chosen.bank]
        righting = righting - rise[1][chosen.drive] - rise[2][chosen.wiring]
        return np.asarray(np.arctan2(tipping, np.maximum(righting, 0.0)))

    @cached_property
    def _moments(self) -> Moments:
        return Moments(self.space.table)

    def bit(self, *names: str) -> int:
        return sum(1 << self.names.index(name) for name in names if name in self.names)

    def named(self, bits: int) -> tuple[str, ...]:
        return tuple(name for i, name in enumerate(self.names) if bits >> i & 1)

    @cached_property
    def order(self) -> Ints:
        """Kits from the best: by the measure, then the other, then table order, which is theirs."""
        return np.lexsort((self.measures[THEN[self.by]], self.measures[self.by]))

    def first(self, allowed: Bools) -> int | None:
        """The best of the allowed kits."""
        place = int(np.argmax(allowed[self.order])) if allowed.any() else None
        return None if place is None else int(self.order[place])

    @cached_property
    def best(self) -> int | None:
        return self.first(self.broken == 0)

    def value(self, kit: int) -> int:
        return int(self.measures[self.by][kit])

    def kit(self, number: int) -> Kit:
        charger = int(self.charger[number])
        return self.space.table.kit(
            int(self.kits.bank[number]),
            int(self.kits.drive[number]),
            int(self.kits.wiring[number]),
            None if charger < 0 else charger,
        )


def loosened(space: Space, name: str) -> Space:
    """All kits with a wish at its loosest."""
    outing, declared = space.table.facts.outing, LIMITS[name]
    limits = outing.limits.model_copy(update={declared.field: declared.loosest_si})
    facts = Facts(outing.model_copy(update={"limits": limits}))
    return Space(replace(space.table, facts=facts), space.lifted)


def _with_chargers(space: Space, kits: Kits, timed: bool) -> tuple[Kits, Ints]:
    """Each kit once for every charger worth considering, and once without one.

    Of a bank's chargers those are kept that no cheaper one beats on time; a required charger is
    the only one there is, and then no kit goes without.
    """
    table = space.table
    if not (timed or table.charger_required):
        return kits, np.full(kits.bank.shape, -1, dtype=np.int64)
    columns = ("price_cents", "current_a", "row", "system_v", "chemistries")
    shelf = table.chargers.assign(row=range(len(table.chargers)))
    on_offer = sorted(zip(*(shelf[name].tolist() for name in columns), strict=True))
    options: list[list[int]] = []
    known: dict[tuple[str, int], list[int]] = {}
    for chemistry, volts in zip(table.banks["chemistry"], table.banks["system_v"], strict=True):
        key = (str(chemistry), int(volts))
        if key not in known:
            fastest, kept = -inf, []
            for _, current_a, row, system_v, chemistries in on_offer:
                suits = chemistry in chemistries.split("|") and system_v == volts
                if suits and current_a > fastest:
                    fastest = current_a
                    kept.append(row)
            known[key] = sorted(kept) if table.charger_required and kept else [-1, *sorted(kept)]
        options.append(known[key])
    count = np.array([len(rows) for rows in options], dtype=np.int64)[kits.bank]
    start = np.cumsum([0, *(len(rows) for rows in options)])[:-1]
    flat = np.array([row for rows in options for row in rows], dtype=np.int64)
    offset = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    charger_rows = flat[np.repeat(start[kits.bank], count) + offset]
    return kits[np.repeat(np.arange(kits.bank.size), count)], charger_rows


def _measures(space: Space, kits: Kits, charger: Ints) -> dict[Measure, Ints]:
    """Measures with the charger's price as chosen here."""
    priced = space.ground.without_charger[1]
    chargers = space.table.chargers
    extra: dict[Measure, Ints] = {
        "cost": np.append(chargers["price_cents"].to_numpy(np.int64), 0)[charger],
        "mass": np.zeros(charger.shape, dtype=np.int64),
        "season": np.append(chargers["season_units"].to_numpy(np.int64), 0)[charger],
    }
    return {name: kits.total(priced[name]) + more for name, more in extra.items()}
