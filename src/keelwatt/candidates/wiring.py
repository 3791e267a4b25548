"""Wiring columns: the cable, fuse and connector sets that satisfy every rule of one run."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt
import pandas as pd

from keelwatt.candidates.account import Account
from keelwatt.catalog.parts import Cable, Connector, Fuse
from keelwatt.catalog.reader import Catalog
from keelwatt.facts import Facts
from keelwatt.kit import (
    cable_cents,
    cable_g,
    grams,
    just_above,
    just_below,
    season_units,
    to_buy,
)
from keelwatt.physics import cable as cable_physics
from keelwatt.physics import protection

COLUMNS = {
    "harness": "number of the (current, system voltage) class of drives it serves",
    "system_v": "system class of those drives",
    "level": "number of the class of banks whose fault current and voltage the fuse stands",
    "box": "compartment's number in the outing",
    "mount": "mount's number in the outing",
    "run_m": "one way",
    "cable_row": "row in the catalog, from 0",
    "fuse_row": "row in the catalog, from 0",
    "connector_row": "row in the catalog, from 0",
    "price_cents": "price of what is not owned, both conductors",
    "season_units": "hundredths of a cent a season",
    "mass_g": "both conductors, fuse and connector",
}
"""Column -> meaning."""

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

SMALLEST = protection.SMALLEST_CONDUCTOR_MM2

Bools = npt.NDArray[np.bool_]
Zone = tuple[int, int, int, int]
"""(harness, level, box, mount)."""


@dataclass(frozen=True)
class Shelf:
    """The cables, fuses and connectors to choose from, as arrays."""

    facts: Facts
    catalog: Catalog
    cables: tuple[Cable, ...]
    fuses: tuple[Fuse, ...]
    connectors: tuple[Connector, ...]

    @cached_property
    def area_mm2(self) -> npt.NDArray[np.float64]:
        return np.array([cable.area_mm2 for cable in self.cables])

    @cached_property
    def largest_fuse_a(self) -> npt.NDArray[np.float64]:
        policy = self.facts.outing.policy
        return np.array(
            [
                protection.largest_fuse_a(
                    ampacity_a=cable_physics.ampacity_a(
                        area_mm2=cable.area_mm2,
                        insulation_c=cable.insulation_c,
                        place_temperature_c=policy.place_temperature_c,
                    ),
                    over_ampacity=policy.fuse_over_ampacity,
                )
                for cable in self.cables
            ]
        )

    @cached_property
    def rating_a(self) -> npt.NDArray[np.float64]:
        return np.array([fuse.rating_a for fuse in self.fuses])

    @cached_property
    def plug_a(self) -> npt.NDArray[np.float64]:
        return np.array([plug.current_a for plug in self.connectors])

    @cached_property
    def takes_cable(self) -> Bools:
        """Whether a connector takes a cable's size, shape (cables, connectors)."""
        area = self.area_mm2[:, None]
        smallest = np.array([plug.smallest_mm2 for plug in self.connectors])
        largest = np.array([plug.largest_mm2 for plug in self.connectors])
        return np.asarray((just_below(smallest) <= area) & (area <= just_above(largest)))

    @cached_property
    def fuses_stand(self) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
        """The fault current and the voltage each fuse stands."""
        return (
            np.array([fuse.interrupts_a for fuse in self.fuses]),
            np.array([fuse.max_voltage_v for fuse in self.fuses]),
        )


@dataclass(frozen=True)
class Level:
    """A class of banks by the fuses that break their fault and stand their voltage."""

    interrupting: Bools
    fuse_voltage: Bools

    @classmethod
    def of(cls, shelf: Shelf, short_circuit_a: float, voltage_v: float) -> "Level":
        breaks_a, stands_v = shelf.fuses_stand
        return cls(breaks_a >= just_below(short_circuit_a), stands_v >= just_below(voltage_v))

    @property
    def key(self) -> bytes:
        return self.interrupting.tobytes() + self.fuse_voltage.tobytes()


class Wirings:
    """Every wiring set of every harness class, fuse level and run."""

    def __init__(
        self,
        shelf: Shelf,
        levels: tuple[Level, ...],
        harnesses: tuple[tuple[float, int], ...],
    ) -> None:
        self.shelf = shelf
        self.levels = levels
        self.harnesses = harnesses
        self._sums: dict[tuple[int, int], _Sums] = {}
        self._by_harness: dict[tuple[int, str], Bools] = {}

    def sums(self, run: tuple[int, int]) -> "_Sums":
        if run not in self._sums:
            self._sums[run] = _Sums(self.shelf, run)
        return self._sums[run]

    def suits(self, zone: Zone, lifted: str = "") -> Bools:
        """Which sets keep every rule but the lifted one, shape (cables, fuses, connectors)."""
        harness, level, box, mount = zone
        if (harness, lifted) not in self._by_harness:
            current_a, _ = self.harnesses[harness]
            self._by_harness[harness, lifted] = _passing(self.shelf, current_a, lifted)
        suits = self._by_harness[harness, lifted]
        if lifted != "voltage_drop":
            current_a, system_v = self.harnesses[harness]
            drops, bound = _drops(self.shelf, self.sums((box, mount)).run_m, current_a, system_v)
            suits = suits & (drops <= just_above(bound))[:, None, None]
        stands = self.levels[level]
        for rule in ("interrupting", "fuse_voltage"):
            if rule != lifted:
                suits = suits & getattr(stands, rule)[None, :, None]
        return suits

    def table(self, zones: Iterable[Zone], lifted: str = "") -> tuple[pd.DataFrame, frozenset[str]]:
        """The sets not beaten on price and mass in each zone, and every part that suits somewhere.

        Every limit takes wiring as price and as mass at the worse end of its run, so a set that is
        beaten on both can never be in a best kit.
        """
        shelf = self.shelf
        fronts: dict[tuple[int, int, int, bytes], npt.NDArray[np.int64]] = {}
        shelves = (shelf.cables, shelf.fuses, shelf.connectors)
        used = tuple(np.zeros(len(parts), dtype=bool) for parts in shelves)
        found = []
        for zone in sorted(zones):
            harness, _, box, mount = zone
            suits = self.suits(zone, lifted)
            by_fuse = suits.any(axis=2)
            key = (harness, box, mount, by_fuse.any(axis=0).tobytes())
            if key not in fronts:
                fronts[key] = self.sums((box, mount)).front(suits)
                for flags, axes in zip(used, ((1, 2), (0, 2), (0, 1)), strict=True):
                    np.logical_or(flags, suits.any(axis=axes), out=flags)
            head = np.tile(zone, (len(fronts[key]), 1))
            found.append(np.hstack([head, fronts[key]]))
        suiting = frozenset(
            part.id
            for parts, flags in zip(shelves, used, strict=True)
            for part, flag in zip(parts, flags, strict=True)
            if flag
        )
        return self._frame(found), suiting

    def _frame(self, found: list[npt.NDArray[np.int64]]) -> pd.DataFrame:
        whole = [name for name in COLUMNS if name not in {"run_m", "system_v"}]
        rows = np.concatenate(found) if found else np.empty((0, len(whole)), dtype=np.int64)
        table = pd.DataFrame(rows, columns=whole)
        runs = [self.sums(run).run_m for run in zip(table["box"], table["mount"], strict=True)]
        table["run_m"] = np.array(runs, dtype=float)
        volts = np.array([system_v for _, system_v in self.harnesses], dtype=np.int64)
        table["system_v"] = volts[table["harness"]] if self.harnesses else table["harness"]
        return table[list(COLUMNS)]

    def account(self, zones: Iterable[Zone], account: Account) -> None:
        """Every cable, fuse and connector some harness cannot use, and why."""
        shelf = self.shelf
        for current_a, _ in self.harnesses:
            _account_for_current(shelf, current_a, account)
        for harness, (box, mount) in sorted({(h, (b, m)) for h, _, b, m in zones}):
            current_a, system_v = self.harnesses[harness]
            run_m = self.sums((box, mount)).run_m
            drops, bound = _drops(shelf, run_m, current_a, system_v)
            for cable, drop in zip(shelf.cables, drops.tolist(), strict=True):
                if drop > just_above(bound):
                    account.leave_out(
                        "cable",
                        cable.id,
                        "voltage_drop",
                        value=drop,
                        bound=bound,
                        unit="V",
                        where=f"{run_m:.2f} m at {current_a:g} A on {system_v} V",
                    )


def _drops(
    shelf: Shelf, run_m: float, current_a: float, system_v: int
) -> tuple[npt.NDArray[np.float64], float]:
    """Each cable's voltage drop on a run, and the drop allowed."""
    drops = cable_physics.voltage_drop_v(run_m=run_m, area_mm2=shelf.area_mm2, current_a=current_a)
    return np.asarray(drops), shelf.facts.outing.limits.voltage_drop * system_v


def _passing(shelf: Shelf, current_a: float, lifted: str) -> Bools:
    """Sets that suit a current whatever run and bank, shape (cables, fuses, connectors)."""
    least = float(protection.smallest_fuse_a(max_current_a=current_a))
    tests = {
        "conductor": (shelf.area_mm2 >= just_below(SMALLEST))[:, None, None],
        "protection": (shelf.rating_a >= just_below(least))[None, :, None],
        "ampacity": (just_below(shelf.rating_a[None, :]) <= shelf.largest_fuse_a[:, None])[
            :, :, None
        ],
        "connector_rating": (shelf.plug_a >= just_below(current_a))[None, None, :],
        "connector_size": shelf.takes_cable[:, None, :],
    }
    passing = np.ones((len(shelf.cables), len(shelf.fuses), len(shelf.connectors)), dtype=bool)
    for rule, passes in tests.items():
        if rule != lifted:
            passing &= passes
    return passing


def _account_for_current(shelf: Shelf, current_a: float, account: Account) -> None:
    least = float(protection.smallest_fuse_a(max_current_a=current_a))
    where = f"a motor of {current_a:g} A"
    for kind, parts, rule, values, bound, unit in (
        ("cable", shelf.cables, "conductor", shelf.area_mm2, SMALLEST, "mm2"),
        ("cable", shelf.cables, "ampacity", shelf.largest_fuse_a, least, "A"),
        ("fuse", shelf.fuses, "protection", shelf.rating_a, least, "A"),
        ("connector", shelf.connectors, "connector_rating", shelf.plug_a, current_a, "A"),
    ):
        for part, value in zip(parts, values.tolist(), strict=True):
            if value < just_below(bound):
                account.leave_out(
                    kind, part.id, rule, value=value, bound=bound, unit=unit, where=where
                )


class _Sums:
    """Prices and masses of every set on one run."""

    def __init__(self, shelf: Shelf, run: tuple[int, int]) -> None:
        craft, parts = shelf.facts.outing.craft, shelf.facts.outing.parts
        self.run = run
        self.run_m = shelf.facts.run_m(craft.compartments[run[0]], craft.mounts[run[1]])
        cable = [to_buy(parts, c.id, 1) * cable_cents(c, self.run_m) for c in shelf.cables]
        fuse = [to_buy(parts, f.id, 1) * f.price_cents for f in shelf.fuses]
        plug = [to_buy(parts, c.id, 1) * c.price_cents for c in shelf.connectors]
        self.price = _outer(cable, fuse, plug)
        self.season = _outer(*([season_units(p) for p in prices] for prices in (cable, fuse, plug)))
        self.mass = _outer(
            [cable_g(c, self.run_m) for c in shelf.cables],
            [grams(f.mass_kg) for f in shelf.fuses],
            [grams(c.mass_kg) for c in shelf.connectors],
        )
        self.rows = tuple(
            np.array([ids[part.id] for part in mine], dtype=np.int64)
            for mine, ids in (
                (shelf.cables, _rows(shelf.catalog.cables)),
                (shelf.fuses, _rows(shelf.catalog.fuses)),
                (shelf.connectors, _rows(shelf.catalog.connectors)),
            )
        )

    def front(self, ok: Bools) -> npt.NDArray[np.int64]:
        """Passing sets not beaten on price and mass; of equals, the first in catalog order.

        Shape (sets, 6): the three rows, price, season price, mass.
        """
        c, f, k = np.nonzero(ok)
        price, mass = self.price[c, f, k], self.mass[c, f, k]
        order = np.lexsort((np.arange(price.size), mass, price))
        lightest = np.minimum.accumulate(mass[order]) if order.size else mass
        keep = np.sort(order[np.flatnonzero(np.diff(lightest, prepend=np.iinfo(np.int64).max))])
        c, f, k = c[keep], f[keep], k[keep]
        columns = (
            *(row[index] for row, index in zip(self.rows, (c, f, k), strict=True)),
            self.price[c, f, k],
            self.season[c, f, k],
            self.mass[c, f, k],
        )
        return np.column_stack(columns).astype(np.int64)


def _rows(parts: tuple[Cable, ...] | tuple[Fuse, ...] | tuple[Connector, ...]) -> dict[str, int]:
    return {part.id: row for row, part in enumerate(parts)}


def _outer(a: list[int], b: list[int], c: list[int]) -> npt.NDArray[np.int64]:
    return (
        np.array(a, dtype=np.int64)[:, None, None]
        + np.array(b, dtype=np.int64)[None, :, None]
        + np.array(c, dtype=np.int64)[None, None, :]
    )
