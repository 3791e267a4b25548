"""Moments about midship, the centreline and the height of buoyancy, part by part, in kg m."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from keelwatt.boat.arrays import Bools, Floats
from keelwatt.kits import Table

Shares = tuple[Floats, Floats, Floats]
"""A moment for every bank, drive and wiring set of a table."""


@dataclass(frozen=True)
class Turning:
    """Moments that trim or heel: of banks and motors signed, of the rest always adding."""

    banks: Floats
    motors: Floats
    controllers: Floats
    wiring: Floats

    def towards(self, side: float) -> Shares:
        """What bank, drive and wiring add to the moment on one side, 1.0 or -1.0."""
        return side * self.banks, side * self.motors + self.controllers, self.wiring


@dataclass(frozen=True)
class Moments:
    """Wiring, at the worse end of its run, and controllers never right the boat (safe side)."""

    table: Table

    @cached_property
    def along(self) -> Turning:
        return self._turning("x_m")

    @cached_property
    def across(self) -> Turning:
        return self._turning("y_m")

    @cached_property
    def rising(self) -> Shares:
        """m (z - KB)."""
        table, kb = self.table, self.table.case.buoyancy_height_m
        box, mount, controller = (at - kb for at in self._places("z_m"))
        place = table.drives.place
        return (
            _kg(table.banks["mass_g"]) * box[table.banks.place],
            _kg(table.drives["motor_g"]) * mount[place]
            + _kg(table.drives["controller_g"]) * np.maximum(0.0, controller[place]),
            _kg(table.wiring["mass_g"]) * np.maximum(0.0, self._worst(box, mount, controller)),
        )

    def turned(self, column: str = "turning_kg_m") -> Floats:
        """By drive, what a motor turned across leans the boat with; nothing where it is fixed."""
        return np.where(self.turns, self.table.drives[column], 0.0)

    @property
    def turns(self) -> Bools:
        """Of each drive, whether its mount lets the motor be turned across."""
        mounts = self.table.case.outing.craft.mounts
        return np.array([mount.turns for mount in mounts])[self.table.drives.place]

    def _turning(self, axis: str) -> Turning:
        table = self.table
        box, mount, controller = self._places(axis)
        place = table.drives.place
        worst = self._worst(np.abs(box), np.abs(mount), np.abs(controller))
        return Turning(
            _kg(table.banks["mass_g"]) * box[table.banks.place],
            _kg(table.drives["motor_g"]) * mount[place],
            _kg(table.drives["controller_g"]) * np.abs(controller[place]),
            _kg(table.wiring["mass_g"]) * worst,
        )

    def _worst(self, box: Floats, mount: Floats, controller: Floats) -> Floats:
        """Of the stops on each wiring set's run, the greatest."""
        at_box, at_mount, over = self.table.runs.T
        ends = np.maximum(box[at_box], mount[at_mount])
        worst = np.where(over, np.maximum(ends, controller[at_mount]), ends)
        return np.asarray(worst[self.table.run])

    def _places(self, axis: str) -> tuple[Floats, Floats, Floats]:
        """Where compartments, mounts, and the controller for each mount lie."""
        craft, case = self.table.case.outing.craft, self.table.case
        at = [case.controller_place(mount) for mount in craft.mounts]
        box, mount, controller = (
            np.array([getattr(place, axis) for place in group])
            for group in (craft.compartments, craft.mounts, at)
        )
        return box, mount, controller


def _kg(grams: npt.NDArray[np.generic]) -> Floats:
    return np.asarray(grams.astype(float) / 1000.0)
