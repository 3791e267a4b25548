"""Wiring columns: the cable, fuse and connector sets that satisfy every rule of one run."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Ints, alike
from keelwatt.files.kit import just_above, just_below, season_units
from keelwatt.kits.account import FILTERS, Account
from keelwatt.kits.joints import Join, Joins
from keelwatt.kits.shelf import SMALLEST_MM2, Harness, Harnesses, Level, Shelf, first_not_beaten
from keelwatt.limits import enters
from keelwatt.physics import protection

WIRING_RULES = (
    "voltage_drop",
    "ampacity",
    "conductor",
    "protection",
    "fuse_voltage",
    "interrupting",
    "connector_rating",
    "connector_size",
)
"""Rules a wiring set keeps or breaks by itself."""

Sums = tuple[Ints, Ints, Ints]
"""Price to pay and mass of each part, and 1 where none of its like beats it."""

Zone = tuple[int, int, int, int, int]
"""(harness, level, box, mount, join)."""


@dataclass(frozen=True)
class Fit:
    """The parts that keep each their own rules in one zone, as row numbers of the shelf."""

    cables: Ints
    fuses: Ints
    plugs: Ints

    @property
    def rows(self) -> tuple[Ints, Ints, Ints]:
        return self.cables, self.fuses, self.plugs


class Wirings:
    """Every wiring set of every harness class, fuse level and run."""

    def __init__(
        self,
        shelf: Shelf,
        levels: tuple[Level, ...],
        harnesses: Harnesses,
        joins: Joins,
    ) -> None:
        self.by_number = joins
        self.shelf = shelf
        self.levels = levels
        self.harnesses = harnesses
        self._sums: dict[object, Sums] = {}
        self._fronts: dict[tuple[object, ...], Ints] = {}
        self._sets: dict[tuple[Zone, str], Ints] = {}
        self._numbers: dict[bytes, int] = {}
        self._cables: dict[tuple[Harness, float, float, float, str], Ints] = {}

    def run_m(self, zone: Zone) -> float:
        harness, _, box, mount, _ = zone
        case, over = self.shelf.case, bool(self.harnesses.over[harness])
        craft = case.outing.craft
        return case.run_m(craft.compartments[box], craft.mounts[mount], controlled=over)

    def sums(self, run_m: float, join: Join) -> tuple[Sums, Sums, Sums]:
        """Of the cables on a run and in a bank, the fuses and the connectors."""
        shelf, (cables, fuses, plugs) = self.shelf, self.shelf.like
        return (
            self._offered((run_m, join), cables, lambda: shelf.cable_sums(run_m, join)),
            self._offered(join, fuses, lambda: shelf.fuse_sums(join)),
            self._offered("plugs", plugs, lambda: shelf.plug_sums),
        )

    def _offered(self, key: object, like: Ints, made: Callable[[], tuple[Ints, Ints]]) -> Sums:
        if key not in self._sums:
            price, mass = made()
            best = np.zeros_like(price)
            best[first_not_beaten(like, price, mass)] = 1
            self._sums[key] = price, mass, best
        return self._sums[key]

    def fit(self, zone: Zone, lifted: str) -> Fit:
        """The parts that keep, but for the lifted one, every rule that asks nothing of another."""
        shelf = self.shelf
        harness, level, *_ = zone
        asks, stands = self.harnesses.asks(harness), self.levels[level]
        rated_a = float(self.harnesses.rated_a[stands.fresh, harness])
        join = self.by_number[zone[4]]
        string_a = join.string_a(rated_a)
        fused_a = max(rated_a, string_a if join.parallel > 1 else 0.0)
        least = float(protection.smallest_fuse_a(max_current_a=fused_a))
        bound = shelf.case.outing.limits.voltage_drop * asks.system_v
        run_m = self.run_m(zone)
        carried_a = max(rated_a, string_a)
        key = asks, rated_a, carried_a, run_m, lifted
        cables = self._cables.get(key)
        if cables is None:
            cables = self._cables[key] = _kept(
                lifted,
                conductor=shelf.area_mm2 >= just_below(SMALLEST_MM2),
                ampacity=shelf.ampacity_a >= just_below(carried_a),
                voltage_drop=shelf.drops_v(run_m, asks) <= just_above(bound),
            )
        return Fit(
            cables=cables,
            fuses=_kept(
                lifted,
                protection=shelf.rating_a >= just_below(least),
                interrupting=stands.interrupting,
                fuse_voltage=stands.fuse_voltage,
            ),
            plugs=_kept(lifted, connector_rating=shelf.plug_a >= just_below(rated_a)),
        )

    def guards(self, lifted: str, cables: Ints, fuses: Ints, *, high: bool) -> Bools:
        """Whether cables may stand behind fuses on such a bank, shape (cables, fuses)."""
        rating = just_below(self.shelf.rating_a[fuses])
        largest = self.shelf.largest_fuse_a[int(high), cables]
        return np.asarray((rating <= largest[:, None]) | (lifted == "ampacity"))

    def joins(self, lifted: str, cables: Ints, plugs: Ints) -> Bools:
        """Whether connectors take cables, shape (cables, connectors)."""
        takes = self.shelf.takes_cable[np.ix_(cables, plugs)]
        return np.asarray(takes | (lifted == "connector_size"))

    @enters(FILTERS, *WIRING_RULES)
    def sets(self, zone: Zone, lifted: str = "") -> Ints:
        """The sets not beaten on price and mass in one zone; of equals, the first.

        Shape (sets, 6): rows of the catalog's cables, fuses and connectors, price, season price,
        mass. Every limit takes wiring as price and as mass at the worse end of its run, so a set
        that is beaten on both can never be in a best kit.
        """
        key = zone, lifted
        if key not in self._sets:
            fit, run_m, join = self.fit(zone, lifted), self.run_m(zone), self.by_number[zone[4]]
            high = self.levels[zone[1]].high
            partners = lifted if lifted in {"ampacity", "connector_size"} else "", high
            alike = (*map(self._number, fit.rows), run_m, join, partners)
            if alike not in self._fronts:
                self._fronts[alike] = self._front(fit, run_m, join, *partners)
            self._sets[key] = self._fronts[alike]
        return self._sets[key]

    def _number(self, rows: Ints) -> int:
        """Of some parts, the same for the same ones."""
        return self._numbers.setdefault(rows.tobytes(), len(self._numbers))

    def suiting(self, zones: Iterable[Zone]) -> frozenset[str]:
        """Every part of which some set of the zones is made."""
        found: set[str] = set()
        told: set[object] = set()
        for zone in zones:
            fit, high = self.fit(zone, ""), self.levels[zone[1]].high
            key = *map(self._number, fit.rows), high
            if key not in told:
                told.add(key)
                found.update(self._suiting(fit, high=high))
        return frozenset(found)

    def _front(self, fit: Fit, run_m: float, join: Join, lifted: str, high: bool) -> Ints:
        """Sets not beaten on price and mass; of equals, the first in catalog order.

        Shape (sets, 6): the three rows, price, season price, mass. On the way there, what another
        beats that goes with all the same is set aside: a part among its like, a plug on a size of
        cable, a fuse, and a cable with its plug, where they may stand before the same. Of any set
        that holds one of these, that with the other is no dearer, no heavier and, of equals, first.
        """
        shelf = self.shelf
        sums = self.sums(run_m, join)
        few = (kept[best[kept] > 0] for kept, (*_, best) in zip(fit.rows, sums, strict=True))
        cables, fuses, plugs = (
            kept[first_not_beaten(like[kept], price[kept], mass[kept])]
            for kept, like, (price, mass, _) in zip(few, shelf.paired, sums, strict=True)
        )
        prices, masses = ([of[at] for of in sums] for at in (0, 1))
        first, of_size = alike(shelf.area_mm2[cables])
        joins = self.joins(lifted, cables[first], plugs)
        size, plug = _firsts(joins, prices[2][plugs], masses[2][plugs])
        c, at = np.nonzero(of_size[:, None] == size)
        p, row = plugs[plug[at]], cables[c]
        guards = self.guards(lifted, cables, fuses, high=high)
        # What a cable carries is a rating: those that carry as many fuses carry the same.
        first, carries = alike(guards.sum(axis=1))
        price, mass = (of[0][row] + of[2][p] for of in (prices, masses))
        best = first_not_beaten(carries[c], price, mass)
        carried, fuse = _firsts(guards[first], prices[1][fuses], masses[1][fuses])
        at, f = np.nonzero(carries[c[best]][:, None] == carried)
        chosen = np.array([row[best][at], fuses[fuse[f]], p[best][at]])
        chosen = chosen[:, np.lexsort(chosen[::-1])]
        price, mass = (
            np.sum([value[rows] for value, rows in zip(values, chosen, strict=True)], axis=0)
            for values in (prices, masses)
        )
        best = first_not_beaten(np.zeros(len(price), dtype=np.int64), price, mass)
        season = [season_units(int(cents)) for cents in price[best]]
        found = [of[rows[best]] for of, rows in zip(self._catalog_rows, chosen, strict=True)]
        return np.column_stack([*found, price[best], np.array(season, dtype=np.int64), mass[best]])

    @cached_property
    def _catalog_rows(self) -> tuple[Ints, Ints, Ints]:
        """Where the shelf's cables, fuses and connectors stand in the catalog."""
        shelf, catalog = self.shelf, self.shelf.catalog
        cables, fuses, plugs = (
            np.array([whole[part.id] for part in kept], dtype=np.int64)
            for kept, whole in (
                (shelf.cables, {part.id: row for row, part in enumerate(catalog.cables)}),
                (shelf.fuses, {part.id: row for row, part in enumerate(catalog.fuses)}),
                (shelf.connectors, {part.id: row for row, part in enumerate(catalog.connectors)}),
            )
        )
        return cables, fuses, plugs

    def _suiting(self, fit: Fit, *, high: bool) -> Iterator[str]:
        """The parts of which some set of the zone is made."""
        guards = self.guards("", fit.cables, fit.fuses, high=high)
        joins = self.joins("", fit.cables, fit.plugs)
        whole = guards.any(axis=1) & joins.any(axis=1)
        for parts, rows, some in (
            (self.shelf.cables, fit.cables, whole),
            (self.shelf.fuses, fit.fuses, guards[whole].any(axis=0)),
            (self.shelf.connectors, fit.plugs, joins[whole].any(axis=0)),
        ):
            for row in rows[some].tolist():
                yield parts[row].id

    def account(self, zones: Iterable[Zone], account: Account) -> None:
        """Every cable, fuse and connector some harness cannot use, and why."""
        shelf, zones = self.shelf, tuple(zones)
        asked = {
            (float(self.harnesses.rated_a[on.fresh, h]), on.high)
            for h, level, *_ in zones
            for on in [self.levels[level]]
        }
        for rated_a, high in sorted(asked):
            _account_for_current(shelf, rated_a, high, account)
        runs = {(self.harnesses.asks(zone[0]), self.run_m(zone)) for zone in zones}
        for asks, run_m in sorted(runs):
            bound = shelf.case.outing.limits.voltage_drop * asks.system_v
            drops = shelf.drops_v(run_m, asks)
            for row in np.flatnonzero(drops > just_above(bound)).tolist():
                account.leave_out(
                    "cable",
                    shelf.cables[row].id,
                    "voltage_drop",
                    (float(drops[row]), bound, "V"),
                    f"{run_m:.2f} m at {asks.current_a:g} A on {asks.system_v} V",
                )


def _firsts(allowed: Bools, price: Ints, mass: Ints) -> tuple[Ints, Ints]:
    """(group, number) of what no other allowed in the group beats, ``allowed`` by group."""
    group, at = np.nonzero(allowed)
    best = first_not_beaten(group, price[at], mass[at])
    return group[best], at[best]


def _kept(lifted: str, **rules: Bools) -> Ints:
    """The rows that keep every rule but the lifted one."""
    kept = np.ones_like(next(iter(rules.values())))
    for rule, keeps in rules.items():
        if rule != lifted:
            kept &= keeps
    return np.flatnonzero(kept)


def _account_for_current(shelf: Shelf, current_a: float, high: bool, account: Account) -> None:
    least = float(protection.smallest_fuse_a(max_current_a=current_a))
    largest = shelf.largest_fuse_a[int(high)]
    carries = np.where(largest < just_below(least), np.inf, shelf.ampacity_a)
    where = f"a motor of {current_a:g} A"
    for kind, parts, rule, values, bound, unit in (
        ("cable", shelf.cables, "conductor", shelf.area_mm2, SMALLEST_MM2, "mm2"),
        ("cable", shelf.cables, "ampacity", largest, least, "A"),
        ("cable", shelf.cables, "ampacity", carries, current_a, "A"),
        ("fuse", shelf.fuses, "protection", shelf.rating_a, least, "A"),
        ("connector", shelf.connectors, "connector_rating", shelf.plug_a, current_a, "A"),
    ):
        for row in np.flatnonzero(values < just_below(bound)).tolist():
            account.leave_out(kind, parts[row].id, rule, (float(values[row]), bound, unit), where)
