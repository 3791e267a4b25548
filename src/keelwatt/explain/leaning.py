"""How far faster legs, or a greater top speed, lean a boat whose motor is turned across."""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import tan

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints, Record
from keelwatt.boat.drive import Drive
from keelwatt.boat.search import last_met
from keelwatt.boat.turned import ONE, Turned
from keelwatt.choose.block import Block

HALVINGS = 40


@dataclass(frozen=True)
class Leaning(Record):
    """Kits, shape (n,): what each drive turns with, and the room there is."""

    turned: Turned = field(metadata={"for_all": True})
    drive: Drive
    room_kg_m: Floats

    @classmethod
    def of_kits(cls, block: Block, kits: Ints) -> "Leaning":
        drive = block.day.drive.of(block.drive_type[kits])
        return cls(block.day.turned, drive, block.turning_room_kg_m(kits))

    def upright(self, share: Floats) -> Bools:
        """Which lean no further than they may, all legs at a share of the wished speeds."""
        return np.asarray(self.turned.kg_m(self.drive, share) <= self.room_kg_m)

    def share(self, most: Floats) -> Floats:
        """The greatest share up to ``most`` at which each is upright; 0 where there is none."""
        return _last(self.upright, most)

    def top_m_s(self, most: Floats) -> Floats:
        """The greatest top speed up to ``most`` that may be wished for, likewise."""
        return _last(self.upright_at, most)

    def upright_at(self, top_m_s: Floats) -> Bools:
        return np.asarray(self.turned.kg_m(self.drive, ONE, top_m_s) <= self.room_kg_m)

    def angle_deg(self, top_m_s: Floats) -> Floats:
        """The heel with the motor across; a right angle where the boat has no room at all."""
        tipping = self.turned.kg_m(self.drive, ONE, top_m_s)
        most = tan(self.turned.case.outing.limits.turn_heel_rad)
        return np.asarray(np.degrees(np.arctan2(tipping * most, self.room_kg_m)))


def _last(upright: Callable[[Floats], Bools], most: Floats) -> Floats:
    high = np.where(np.isfinite(most), most, 1.0)
    good = upright(high)
    if good.all():
        return most
    return np.where(good, most, last_met(upright, np.zeros(high.shape), high, HALVINGS))
