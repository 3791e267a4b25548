"""How banks are joined, looked at only where a kit may come of it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from keelwatt.boat.arrays import Ints
from keelwatt.files.outing import Outing
from keelwatt.physics import joining, stowage


class Join(NamedTuple):
    """What a bank in its place asks of the wiring besides the run to the motor.

    ``devices_a``: what flows through the joints for the devices; ``charging_v``: what bars stand.
    """

    series: int = 1
    parallel: int = 1
    lead_m: float = 0.0
    link_m: float = 0.0
    devices_a: float = 0.0
    charging_v: float = 0.0

    @property
    def lengths_m(self) -> tuple[float, float]:
        """Red and black cable."""
        return joining.joining_m(
            series=self.series, parallel=self.parallel, lead_m=self.lead_m, link_m=self.link_m
        )

    @property
    def lugs(self) -> int:
        return joining.joining_lugs(series=self.series, parallel=self.parallel)

    @property
    def fuses(self) -> int:
        """Of the motor's circuit and the strings."""
        return 1 + (self.parallel if self.parallel > 1 else 0)

    def string_a(self, rated_a: float) -> float:
        """What a string gives the motor and the devices; nothing where one battery is the bank."""
        alone = self.series * self.parallel == 1
        return 0.0 if alone else (rated_a + self.devices_a) / self.parallel


SINGLE = Join()
"""One battery: nothing to join."""

UNDER = 1.0 - 1e-9
"""Takes rounding out of a lower bound."""


def least_join(series: int, parallel: int, sides_m: npt.NDArray[np.float64]) -> Join:
    """No bank of these, each unit as small as ``sides_m`` (n, 2) of one of them, takes less.

    Units stand in one layer, side by side: a block is no less long and wide together than a square
    of their area, nor than a unit.
    """
    if series * parallel == 1:
        return SINGLE
    short_m, long_m = np.sort(sides_m, axis=1).T
    square_m = np.sqrt(series * parallel * short_m * long_m)
    side_m = float(np.maximum(square_m, (short_m + long_m) / 2).min()) * UNDER
    link_m = float(long_m.min()) * UNDER
    lead_m = joining.string_lead_m(length_m=side_m, width_m=side_m)
    return Join(series, parallel, lead_m, joining.link_m(length_m=link_m, width_m=link_m))


@dataclass
class Joins:
    """Joins by number, 0 for a single battery; made as they are asked for."""

    outing: Outing
    bank_types: Ints
    unit_of: Callable[[int], tuple[stowage.Triple, bool]]
    devices_a: npt.NDArray[np.float64]
    charging_v: npt.NDArray[np.float64]
    _known: dict[tuple[int, int], int] = field(default_factory=dict)
    _numbers: dict[Join, int] = field(default_factory=lambda: {SINGLE: 0})
    _joins: list[Join] = field(default_factory=lambda: [SINGLE])

    def __getitem__(self, number: int) -> Join:
        return self._joins[number]

    def of(self, bank: Ints, box: Ints) -> Ints:
        """The numbers of bank types in compartments."""
        boxes = len(self.outing.craft.compartments)
        keys, place = np.unique(bank * boxes + box, return_inverse=True)
        found = [self._number(*divmod(key, boxes)) for key in keys.tolist()]
        return np.asarray(np.array(found, dtype=np.int64)[place.ravel()])

    def _number(self, bank: int, box: int) -> int:
        key = bank, box
        if key not in self._known:
            join = self._made(bank, box)
            if join not in self._numbers:
                self._numbers[join] = len(self._joins)
                self._joins.append(join)
            self._known[key] = self._numbers[join]
        return self._known[key]

    def _made(self, bank: int, box: int) -> Join:
        _, series, parallel, _ = self.bank_types[bank].tolist()
        if series * parallel == 1:
            return SINGLE
        room, (unit_m, upright_only) = self.outing.craft.compartments[box], self.unit_of(bank)
        stack = stowage.block_or_row(
            units=series * parallel,
            unit_m=unit_m,
            upright_only=upright_only,
            room_m=(room.length_m, room.width_m, room.height_m),
            clearance_m=self.outing.policy.clearance_m,
        )
        length_m, width_m, _ = stack.size
        unit_l, unit_w, _ = stack.unit
        strings = parallel > 1
        return Join(
            series,
            parallel,
            joining.string_lead_m(length_m=length_m, width_m=width_m) if strings else 0.0,
            joining.link_m(length_m=unit_l, width_m=unit_w) if series > 1 else 0.0,
            float(self.devices_a[bank]),
            float(self.charging_v[bank]) if strings else 0.0,
        )
