"""Moments about midship, the centreline and the height of buoyancy, part by part, in kg m."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from keelwatt.candidates import Table

Floats = npt.NDArray[np.float64]
Shares = tuple[Floats, Floats, Floats]
"""A moment for every bank, drive and wiring set of a table."""


@dataclass(frozen=True)
class Moments:
    """Wiring counts at the worse end of its run and never rights the boat (safe side)."""

    table: Table

    @cached_property
    def along(self) -> Shares:
        """Signed for banks and drives, of one sign for wiring."""
        return self._about("x_m", 0.0)

    @cached_property
    def across(self) -> Shares:
        """Signed for banks and drives, of one sign for wiring."""
        return self._about("y_m", 0.0)

    @cached_property
    def rising(self) -> Shares:
        """m (z - KB)."""
        return self._about("z_m", self.table.facts.buoyancy_height_m)

    def _about(self, axis: str, level: float) -> Shares:
        table, craft = self.table, self.table.facts.outing.craft
        places = [table.facts.controller_place(mount) for mount in craft.mounts]
        of_box, of_mount, of_controller = (
            np.array([getattr(place, axis) for place in group]) - level
            for group in (craft.compartments, craft.mounts, places)
        )
        ends = np.array([of_box[table.wiring["box"]], of_mount[table.wiring["mount"]]])
        worse = np.maximum(0.0, ends.max(axis=0)) if axis == "z_m" else np.abs(ends).max(axis=0)
        mount = table.drives["place"]
        return (
            _kg(table, "banks", "mass_g") * of_box[table.banks["place"]],
            _kg(table, "drives", "motor_g") * of_mount[mount]
            + _kg(table, "drives", "controller_g") * of_controller[mount],
            _kg(table, "wiring", "mass_g") * worse,
        )


def _kg(table: Table, frame: str, column: str) -> Floats:
    return np.asarray(getattr(table, frame)[column].to_numpy(dtype=float) / 1000.0)
