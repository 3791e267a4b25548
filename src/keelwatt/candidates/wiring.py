"""Wiring columns: the cable, fuse and connector sets that satisfy every rule of one run."""

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

Bools = npt.NDArray[np.bool_]


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
    def takes_cable(self) -> Bools:
        """Whether a connector takes a cable's size, shape (cables, connectors)."""
        area = self.area_mm2[:, None]
        smallest = np.array([plug.smallest_mm2 for plug in self.connectors])
        largest = np.array([plug.largest_mm2 for plug in self.connectors])
        return np.asarray((just_below(smallest) <= area) & (area <= just_above(largest)))

    def fuse_level(self, short_circuit_a: float, voltage_v: float) -> Bools:
        """Which fuses stand a bank's fault current and voltage."""
        return np.array(
            [
                fuse.interrupts_a >= just_below(short_circuit_a)
                and fuse.max_voltage_v >= just_below(voltage_v)
                for fuse in self.fuses
            ],
            dtype=bool,
        )


def wiring_table(
    shelf: Shelf,
    levels: tuple[Bools, ...],
    harnesses: tuple[tuple[float, int], ...],
    wanted: frozenset[tuple[int, int, int, int]],
    account: Account,
) -> pd.DataFrame:
    """The sets not beaten on price and mass, for every wanted (harness, level, box, mount).

    Every limit takes wiring as price and as mass at the worse end of its run, so a set that is
    beaten on both can never be in a best kit.
    """
    sums = {run: _Sums(shelf, run) for run in sorted({(box, mount) for _, _, box, mount in wanted})}
    passing = {h: _passing(shelf, current_a, account) for h, (current_a, _) in enumerate(harnesses)}
    drops = {
        (h, run): _within_drop(shelf, sums[run].run_m, *harnesses[h], account)
        for h, run in sorted({(h, (box, mount)) for h, _, box, mount in wanted})
    }
    found = [
        sums[box, mount].front(
            passing[h] & drops[h, (box, mount)][:, None, None] & levels[level][None, :, None],
            (h, level, box, mount),
        )
        for h, level, box, mount in sorted(wanted)
    ]
    whole = [name for name in COLUMNS if name not in {"run_m", "system_v"}]
    table = pd.DataFrame(
        np.concatenate(found) if found else np.empty((0, len(whole)), dtype=np.int64), columns=whole
    )
    runs = [sums[run].run_m for run in zip(table["box"], table["mount"], strict=True)]
    table["run_m"] = np.array(runs, dtype=float)
    volts = np.array([system_v for _, system_v in harnesses], dtype=np.int64)
    table["system_v"] = volts[table["harness"]] if harnesses else table["harness"]
    return table[list(COLUMNS)]


def _passing(shelf: Shelf, current_a: float, account: Account) -> Bools:
    """Sets that suit a current whatever the run, shape (cables, fuses, connectors)."""
    big_enough = shelf.area_mm2 >= just_below(protection.SMALLEST_CONDUCTOR_MM2)
    least = float(protection.smallest_fuse_a(max_current_a=current_a))
    carries = shelf.rating_a >= just_below(least)
    guarded = just_below(shelf.rating_a[None, :]) <= shelf.largest_fuse_a[:, None]
    enough_a = just_below(current_a)
    plugs = np.array([plug.current_a >= enough_a for plug in shelf.connectors], dtype=bool)
    where = f"a motor of {current_a:g} A"
    for cable, ok in zip(shelf.cables, big_enough, strict=True):
        if not ok:
            account.leave_out(
                "cable",
                cable.id,
                "conductor",
                value=cable.area_mm2,
                bound=protection.SMALLEST_CONDUCTOR_MM2,
                unit="mm2",
            )
    for cable, largest in zip(shelf.cables, shelf.largest_fuse_a, strict=True):
        if largest < just_below(least):
            account.leave_out(
                "cable",
                cable.id,
                "ampacity",
                value=float(largest),
                bound=least,
                unit="A",
                where=where,
            )
    for fuse, ok in zip(shelf.fuses, carries, strict=True):
        if not ok:
            account.leave_out(
                "fuse",
                fuse.id,
                "protection",
                value=fuse.rating_a,
                bound=least,
                unit="A",
                where=where,
            )
    for plug, ok in zip(shelf.connectors, plugs, strict=True):
        if not ok:
            account.leave_out(
                "connector",
                plug.id,
                "connector_rating",
                value=plug.current_a,
                bound=current_a,
                unit="A",
                where=where,
            )
    return np.asarray(
        (big_enough[:, None] & carries[None, :] & guarded)[:, :, None]
        & (shelf.takes_cable & plugs[None, :])[:, None, :]
    )


def _within_drop(
    shelf: Shelf, run_m: float, current_a: float, system_v: int, account: Account
) -> Bools:
    bound = shelf.facts.outing.limits.voltage_drop * system_v
    drops = np.asarray(
        cable_physics.voltage_drop_v(run_m=run_m, area_mm2=shelf.area_mm2, current_a=current_a)
    )
    for cable, drop in zip(shelf.cables, drops, strict=True):
        if drop > just_above(bound):
            account.leave_out(
                "cable",
                cable.id,
                "voltage_drop",
                value=float(drop),
                bound=bound,
                unit="V",
                where=f"{run_m:.2f} m at {current_a:g} A on {system_v} V",
            )
    return np.asarray(drops <= just_above(bound))


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

    def front(self, ok: Bools, head: tuple[int, int, int, int]) -> npt.NDArray[np.int64]:
        """Passing sets not beaten on price and mass; of equals, the first in catalog order.

        Shape (sets, whole-number columns), ``head`` being the first four.
        """
        c, f, k = np.nonzero(ok)
        price, mass = self.price[c, f, k], self.mass[c, f, k]
        order = np.lexsort((np.arange(price.size), mass, price))
        lightest = np.minimum.accumulate(mass[order]) if order.size else mass
        keep = np.sort(order[np.flatnonzero(np.diff(lightest, prepend=np.iinfo(np.int64).max))])
        c, f, k = c[keep], f[keep], k[keep]
        columns = (
            *(np.full(keep.size, value) for value in head),
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
