"""Banks, drives and wiring sets of some couples of types, and every kit they make."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from keelwatt.boat.arrays import Bools, Ints, alike
from keelwatt.boat.load_case import LoadCase
from keelwatt.files.kit import Kit
from keelwatt.kits.allowed import Columns
from keelwatt.kits.ground import Found
from keelwatt.kits.holding import STRAP
from keelwatt.kits.pairs import Pairs, lightest_g
from keelwatt.kits.types import Types

Weigh = Callable[[Found, Ints, Ints], Pairs]
"""What couples may weigh, all up, between two masses."""

MORE = 1 << 40
"""Grams that no kit weighs."""

WIRING = ("cable_row", "fuse_row", "connector_row", "price_cents", "season_units", "mass_g")
"""What is known of a wiring set: three rows of the catalog and its sums."""


@dataclass(frozen=True)
class Rows:
    """Types in places; a name gives the column of the types, row by row."""

    of: Columns
    type: Ints
    place: Ints

    def __len__(self) -> int:
        return self.type.size

    def __getitem__(self, name: str) -> npt.NDArray[Any]:
        return np.asarray(self.of[name][self.type])


@dataclass(frozen=True)
class Table:
    """Rows of banks in compartments, drives on mounts, and the wiring sets between them.

    Zones for which the same sets do, over one run, share them.
    """

    types: Types
    pairs: Pairs
    banks: Rows
    drives: Rows
    wiring: Columns
    run: Ints
    """For every wiring set the number of its run."""
    runs: Ints
    """For every run its (compartment, mount, whether over a separate control)."""
    zones: Ints
    """Every (harness, level, compartment, mount, join, run)."""
    kits: tuple[Ints, Ints, Ints, Ints, Ints]
    """(bank row, drive row, wiring row, couple, place of the wiring set on its run)."""

    @property
    def case(self) -> LoadCase:
        return self.types.case

    @cached_property
    def over_load_g(self) -> Ints:
        """Each bank's mass above its compartment's load limit, negative where it is within."""
        return np.asarray(self.types.over_load_g[self.banks.type, self.banks.place])

    def kit(self, bank: int, drive: int, wiring: int, charger: int) -> Kit:
        """The kit of these rows and the numbered charger, -1 for none."""
        types, catalog = self.types, self.types.catalog
        number, series, parallel, way = types.bank_types[self.banks.type[bank]].tolist()
        motor, control = types.drive_types[self.drives.type[drive]].tolist()
        controller = types.controllers[control] if control >= 0 else None
        craft = self.case.outing.craft
        box = craft.compartments[int(self.banks.place[bank])]
        mount = craft.mounts[int(self.drives.place[drive])]
        return Kit(
            battery=types.batteries[number].id,
            series=series,
            parallel=parallel,
            compartment=box.name,
            motor=types.motors[motor].id,
            mount=mount.name,
            controller=controller.id if controller else None,
            cable=catalog.cables[int(self.wiring["cable_row"][wiring])].id,
            run_m=self.case.run_m(box, mount, controlled=controller is not None),
            fuse=catalog.fuses[int(self.wiring["fuse_row"][wiring])].id,
            connector=catalog.connectors[int(self.wiring["connector_row"][wiring])].id,
            charger=None if charger < 0 else types.chargers[charger].id,
            box=None if way == STRAP else types.holding.boxes[way].id,
        )


def table_of(
    types: Types,
    pairs: Found,
    weigh: Weigh,
    lifted: str = "",
    *,
    places: Bools | None = None,
    upright: Callable[[Table], Bools] | None = None,
) -> Table:
    """Every kit of some couples that the rules on wiring let stand, but for the lifted one.

    ``weigh`` tells what couples may weigh between their lightest kit and their heaviest;
    ``places``: where couples are worth a look, shape (couples, compartments, mounts). ``upright``:
    which kits are; couples without any are not weighed.
    """
    able = types.places(pairs.bank, pairs.drive)
    couple, box, mount = np.nonzero(able if places is None else able & places)
    boxes, mounts = types.fits.shape[1], types.hangs.shape[1]
    banks, bank_row = np.unique(pairs.bank[couple] * boxes + box, return_inverse=True)
    drives, drive_row = np.unique(pairs.drive[couple] * mounts + mount, return_inverse=True)
    level, join = types.bank["level"][pairs.bank[couple]], types.joins.of(pairs.bank[couple], box)
    heads = types.harness[pairs.drive[couple]], level, box, mount, join
    first, zone = alike(*heads)
    zones = np.column_stack([each[first] for each in heads])
    every_zone = [types.wirings.sets(tuple(each), lifted) for each in zones.tolist()]
    numbers = dict[int, int]()
    same = [numbers.setdefault(id(each), len(numbers)) for each in every_zone]
    ends = zones[:, 2], zones[:, 3], types.harnesses.over[zones[:, 0]]
    first, run = alike(same, *ends)
    sets = [every_zone[at] for at in first.tolist()]
    counts = np.array([len(each) for each in sets], dtype=np.int64)
    starts = np.cumsum(counts) - counts
    count = counts[run[zone]]
    within = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    whole = np.concatenate([np.empty((0, len(WIRING)), dtype=np.int64), *sets])
    every = np.repeat(np.arange(couple.size), count)
    set_row = np.repeat(starts[run[zone]], count) + within
    table = Table(
        types=types,
        pairs=_unweighed(pairs),
        banks=Rows(types.bank, banks // boxes, banks % boxes),
        drives=Rows(types.drive, drives // mounts, drives % mounts),
        wiring=dict(zip(WIRING, whole.T, strict=True)),
        run=np.repeat(np.arange(counts.size), counts),
        runs=np.column_stack([end[first] for end in ends]).astype(np.int64),
        zones=np.column_stack([zones, run]),
        kits=(
            bank_row[every],
            drive_row[every],
            set_row,
            couple[every],
            within,
        ),
    )
    if upright:
        kept = np.flatnonzero(upright(table))
        bank, drive, wiring, couple, within = (of[kept] for of in table.kits)
        left, couple = np.unique(couple, return_inverse=True)
        table, pairs = replace(table, kits=(bank, drive, wiring, couple, within)), pairs[left]
    return replace(table, pairs=weigh(pairs, *_between_g(table, pairs)))


def _between_g(table: Table, pairs: Found) -> tuple[Ints, Ints]:
    """What the kits of each couple weigh, all up, at the least and at the most."""
    bare = lightest_g(table.types, pairs.bank, pairs.drive)
    heaviest, lightest = np.zeros_like(bare), np.full_like(bare, MORE)
    _, _, wiring, couple, _ = table.kits
    np.maximum.at(heaviest, couple, table.wiring["mass_g"][wiring])
    np.minimum.at(lightest, couple, table.wiring["mass_g"][wiring])
    return bare + np.minimum(lightest, heaviest), bare + heaviest


def everything(types: Types) -> Table:
    """Every bank in every compartment, every drive on every mount; no kits.

    For each compartment and mount one wiring set, no heavier or dearer than any there is.
    """
    none = np.zeros(0, dtype=np.int64)
    boxes, mounts = types.fits.shape[1], types.hangs.shape[1]
    ends = np.indices((boxes, mounts)).reshape(2, -1).T
    nothing = np.zeros(len(ends), dtype=np.int64)
    return Table(
        types=types,
        pairs=_unweighed(Found(none, none, none)),
        banks=Rows(types.bank, *np.nonzero(types.fits)),
        drives=Rows(types.drive, *np.nonzero(types.hangs)),
        wiring=dict.fromkeys(WIRING, nothing) | {"mass_g": nothing + types.lightest_wiring_g},
        run=np.arange(len(ends)),
        runs=np.column_stack([ends, nothing]),
        zones=np.zeros((0, 6), dtype=np.int64),
        kits=(none, none, none, none, none),
    )


def _unweighed(pairs: Found) -> Pairs:
    nothing = np.zeros_like(pairs.bank)
    return Pairs(pairs.bank, pairs.drive, nothing, nothing, {})
