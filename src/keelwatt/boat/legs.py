"""The legs of a day, and the devices that run meanwhile."""

from dataclasses import dataclass

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Record
from keelwatt.files.outing import Outing


@dataclass(frozen=True)
class Legs(Record):
    """Shapes (legs, 1), one day for all, or (legs, n); devices (devices, 1) or (devices, n).
    A stream is positive against the boat, as a headwind is. A leg is ``driven``, or the motor is
    off; it is ``held`` where the motor keeps the boat in its place. Only a driven leg takes its
    time ``by_distance``: nothing here hastens a paddler. ``depth_m`` is infinite in deep water."""

    ground_m_s: Floats
    headwind_m_s: Floats
    stream_m_s: Floats
    depth_m: Floats
    duration_h: Floats
    by_distance: Bools
    driven: Bools
    held: Bools
    device_w: Floats
    device_h: Floats

    @classmethod
    def of_outing(cls, outing: Outing) -> "Legs":
        legs, devices = outing.legs, outing.devices
        return cls(
            np.array([[leg.speed_m_s if leg.driven else 0.0] for leg in legs]),
            np.array([[leg.headwind_m_s] for leg in legs]),
            np.array([[leg.current_m_s] for leg in legs]),
            np.array([[leg.depth_m or np.inf] for leg in legs]),
            np.array([[leg.duration_h] for leg in legs]),
            np.array([[leg.by_distance and leg.driven] for leg in legs]),
            np.array([[leg.driven] for leg in legs]),
            np.array([[leg.held] for leg in legs]),
            np.array([[device.power_w] for device in devices]).reshape(-1, 1),
            np.array([[device.duration_h] for device in devices]).reshape(-1, 1),
        )

    def through_m_s(self, ground_m_s: Floats) -> Floats:
        return through_m_s(ground_m_s, self.stream_m_s)

    def hours_at(self, ground_m_s: Floats) -> Floats:
        """Hours of each leg at other speeds: one by distance takes as long as it takes."""
        wanted = np.broadcast_to(self.ground_m_s, ground_m_s.shape)
        return self.duration_h * np.where(self.by_distance, over(wanted, ground_m_s), 1.0)


def through_m_s(ground_m_s: Floats, stream_m_s: Floats) -> Floats:
    """Speed through the water, never below zero; a stream is positive against the boat."""
    return np.maximum(0.0, ground_m_s + stream_m_s)


def over(dividend: Floats, divisor: Floats) -> Floats:
    """Without end where the divisor is 0."""
    shape = np.broadcast_shapes(dividend.shape, divisor.shape)
    return np.asarray(np.divide(dividend, divisor, out=np.full(shape, np.inf), where=divisor > 0.0))
