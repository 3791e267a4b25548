"""The parts an outing allows: what it requires and what it refuses."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from keelwatt.boat.arrays import Ints
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import Displacements
from keelwatt.files.catalog.parts import Battery, Charger, Controller, Motor, Part
from keelwatt.files.catalog.reader import Catalog
from keelwatt.kits.account import FILTERS, Account
from keelwatt.kits.holding import Holding
from keelwatt.kits.shelf import Shelf
from keelwatt.limits import enters

P = TypeVar("P", bound=Part)

Columns = Mapping[str, npt.NDArray[Any]]

ANY_NUMBER = 1 << 40
"""Pieces of a part that is owned in any number."""


class Allowed:
    """Applies the outing's required and refused parts, kind by kind."""

    def __init__(self, case: LoadCase, account: Account) -> None:
        self.refuse = frozenset(case.outing.parts.refuse)
        self.require = frozenset(case.outing.parts.require)
        self.account = account

    @enters(FILTERS, "parts")
    def of(self, kind: str, parts: Iterable[P]) -> tuple[P, ...]:
        parts = tuple(parts)
        wanted = {part.id for part in parts} & self.require
        kept = []
        for part in parts:
            if part.id in self.refuse or (wanted and part.id not in wanted):
                where = "refused" if part.id in self.refuse else "another is required"
                self.account.leave_out(kind, part.id, "parts", (1, 0, "in the outing"), where)
            else:
                kept.append(part)
        return tuple(kept)

    def controllers(self, parts: tuple[Controller, ...]) -> tuple[Controller | None, ...]:
        kept = self.of("controller", parts)
        return kept if named(parts, self.require) else (None, *kept)


def named(parts: Iterable[Part], ids: frozenset[str]) -> bool:
    return any(part.id in ids for part in parts)


@dataclass(frozen=True)
class Offer:
    """What the outing's rules on parts leave of a catalog, in its order.

    ``every_control`` keeps controllers that another beats: no best kit holds one.
    """

    case: LoadCase
    catalog: Catalog
    every_control: bool = False
    known: Displacements | None = None
    """The same boat's water, perhaps between masses far enough apart for these kits too."""

    @cached_property
    def _allowed(self) -> Allowed:
        return Allowed(self.case, Account())

    @cached_property
    def batteries(self) -> tuple[Battery, ...]:
        kept: tuple[Battery, ...] = self._allowed.of("battery", self.catalog.batteries)
        return kept

    @cached_property
    def motors(self) -> tuple[Motor, ...]:
        kept: tuple[Motor, ...] = self._allowed.of("motor", self.catalog.motors)
        return kept

    @cached_property
    def controllers(self) -> tuple[Controller | None, ...]:
        """None stands for a motor's own control; it is not there where one is required."""
        return self._allowed.controllers(self.catalog.controllers)

    @cached_property
    def chargers(self) -> tuple[Charger, ...]:
        kept: tuple[Charger, ...] = self._allowed.of("charger", self.catalog.chargers)
        return kept

    @cached_property
    def holding(self) -> Holding:
        policy = self.case.outing.policy.battery_box
        for_batteries = tuple(box for box in self.catalog.boxes if box.holds == "battery")
        boxes = () if policy == "never" else self._allowed.of("box", for_batteries)
        strapped = policy != "always" and not named(for_batteries, self._allowed.require)
        return Holding(self.shelf.beside, boxes, strapped)

    @cached_property
    def charger_required(self) -> bool:
        return named(self.catalog.chargers, self._allowed.require)

    @cached_property
    def shelf(self) -> Shelf:
        return shelf_of(self.case, self.catalog, self._allowed)

    def _owned(self, parts: Iterable[Part]) -> Ints:
        """How many of each part are there already."""
        wishes = self.case.outing.parts
        return whole(
            wishes.own_pieces.get(part.id, ANY_NUMBER) if part.id in wishes.own else 0
            for part in parts
        )


def shelf_of(case: LoadCase, catalog: Catalog, allowed: Allowed) -> Shelf:
    return Shelf(
        case,
        catalog,
        allowed.of("cable", catalog.cables),
        allowed.of("fuse", catalog.fuses),
        allowed.of("connector", catalog.connectors),
    )


def whole(values: Iterable[int] | Iterator[int]) -> Ints:
    return np.array(list(values), dtype=np.int64)
