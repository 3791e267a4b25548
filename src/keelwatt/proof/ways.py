"""What a leg asks of a drive: a speed in some wind and stream, and the thrust it takes."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from keelwatt.files.outing import Leg
from keelwatt.physics import propeller
from keelwatt.physics.real import Floats
from keelwatt.proof.drive import Drive


@dataclass(frozen=True)
class Waters:
    """The water's resistance at one mass and depth: at the speeds asked about, and up a ladder."""

    at_n: dict[float, float]
    ladder_m_s: Floats
    ladder_n: Floats


@dataclass(frozen=True)
class Way:
    """A speed over ground in some water; ``back``: what a thrust loads the motor with."""

    ground_m_s: float
    headwind_m_s: float
    stream_m_s: float
    back: float = 1.0
    depth_m: float = inf

    @property
    def through_m_s(self) -> float:
        """Through the water: a stream against adds, the hull never goes astern."""
        return max(0.0, self.ground_m_s + self.stream_m_s)

    @classmethod
    def of(cls, leg: Leg) -> Iterator["Way"]:
        """The leg as driven; a place is held against what comes from behind as well."""
        wind, stream, depth = leg.headwind_m_s, leg.current_m_s, leg.depth_m or inf
        yield cls(leg.speed_m_s, wind, stream, depth_m=depth)
        if leg.held and (wind < 0.0 or stream < 0.0):
            back = 1.0 / propeller.ASTERN_SHARE
            yield cls(0.0, max(0.0, -wind), max(0.0, -stream), back, depth)


@dataclass(frozen=True)
class Run:
    """A drive on one way: the thrust it must give and the shaft speed and voltage that gives it."""

    drive: Drive
    way: Way
    waters: Waters
    thrust_n: float

    @property
    def ratio(self) -> float:
        return float(self.drive.shaft_ratio(self.thrust_n, self.way.through_m_s))

    @property
    def motor_v(self) -> float:
        return float(self.drive.volts(self.ratio, self.way.through_m_s)) if self.thrust_n else 0.0
