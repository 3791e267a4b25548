"""What no plan knows about a day on the water: how far each thing is off, and days drawn from it.
Every unknown is a standard normal number, turned into the physical one by its spread; at 0 each is
what the outing says. So the day as planned is the middle: each thing is as often worse as better.
Drawn once a day, because one cause rules the whole of it: the drag factor, the thrust, the strength
of the wind, that of the stream, what the bank holds, its temperature. Drawn for each leg by itself:
what the wind does there besides, and how long the leg turns out. Nothing else hangs together. The
speed held is not drawn: it is in the hand on the throttle."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import hypot, log
from typing import Literal, get_args

import numpy as np

from keelwatt.boat.arrays import Floats, Ints
from keelwatt.files.catalog.parts import Motor
from keelwatt.files.outing import Outing

Unknown = Literal["drag", "wind", "stream", "capacity", "temperature", "length", "thrust"]

UNKNOWNS: tuple[Unknown, ...] = get_args(Unknown)

DRAG_SPREAD = log(4 / 3) / 2
"""Of a drag factor never measured: wrong by a third at two standard deviations. From memory."""

TOWED_SPREAD = 0.1
"""Of a line the boat was towed along: scale and speed by hand, one load. From memory."""

MEASURED_THRUST = 0.05
"""Of a thrust that was measured. From memory."""

COLDEST_C, WARMEST_C = -10.0, 60.0
FASTEST_STREAM_M_S = 3.0
"""Where the laws for battery and water end; what is drawn beyond counts as there."""


@dataclass(frozen=True)
class Days:
    """Days as they turn out: shape (days,), or (days, legs) for what each leg has of its own.
    ``capacity`` and ``length`` are shares of what the outing says the bank holds and legs take;
    ``thrust`` counts in standard deviations of what the motor's thrust is off."""

    drag_factor: Floats
    headwind_m_s: Floats
    current_m_s: Floats
    capacity: Floats
    battery_c: Floats
    length: Floats
    thrust: Floats

    def __len__(self) -> int:
        return int(self.drag_factor.size)


@dataclass(frozen=True)
class Spreads:
    """How the unknowns of one outing are drawn."""

    outing: Outing

    @property
    def drag(self) -> float:
        """One standard deviation of the drag factor's logarithm."""
        craft = self.outing.craft
        if craft.towed:
            return TOWED_SPREAD
        return DRAG_SPREAD if craft.drag_factor_error is None else craft.drag_factor_error

    def thrust(self, motor: Motor) -> float:
        """One standard deviation of the logarithm of a motor's thrust.
        A log gives resistance over thrust, and its error is that of both: the log's own motor is
        off by nothing more. With another, the thrust that was taken for the first's is open too."""
        logged, claimed = self.outing.craft.drag_factor_motor, self.outing.odds.thrust_spread
        if logged == motor.id:
            return 0.0
        own = MEASURED_THRUST if motor.thrust_is == "measured" else claimed
        return hypot(own, claimed) if logged else own

    @cached_property
    def columns(self) -> Mapping[Unknown, Ints]:
        """Which of the standard normal numbers belong to each unknown."""
        legs = len(self.outing.legs)
        sizes = {"drag": 1, "wind": 1 + legs, "stream": 1, "capacity": 1, "temperature": 1}
        ends = np.cumsum([0, *sizes.values(), legs, 1])
        return {
            unknown: np.arange(start, end)
            for unknown, start, end in zip(UNKNOWNS, ends[:-1], ends[1:], strict=True)
        }

    @property
    def width(self) -> int:
        return sum(own.size for own in self.columns.values())

    def normals(self, random: np.random.Generator, days: int) -> Floats:
        """Standard normal numbers for so many days, shape (days, width)."""
        return random.standard_normal((days, self.width))

    def days(self, normals: Floats) -> Days:
        """The days those numbers stand for.
        Shares are lognormal, their spread that of the logarithm; the rest is normal."""
        outing, odds = self.outing, self.outing.odds
        of = {unknown: normals[:, own] for unknown, own in self.columns.items()}
        wind = np.array([leg.headwind_m_s for leg in outing.legs])
        stream = np.array([leg.current_m_s for leg in outing.legs])
        blows = np.exp(odds.wind_spread * of["wind"][:, :1])
        runs = np.exp(odds.stream_spread * of["stream"])
        battery_c = outing.water.temperature_c + odds.temperature_spread_c * of["temperature"][:, 0]
        return Days(
            drag_factor=outing.craft.drag_factor * np.exp(self.drag * of["drag"][:, 0]),
            headwind_m_s=wind * blows + odds.gust_spread_m_s * of["wind"][:, 1:],
            current_m_s=np.clip(stream * runs, -FASTEST_STREAM_M_S, FASTEST_STREAM_M_S),
            capacity=np.exp(odds.capacity_spread * of["capacity"][:, 0]),
            battery_c=np.clip(battery_c, COLDEST_C, WARMEST_C),
            length=np.exp(odds.length_spread * of["length"]),
            thrust=of["thrust"][:, 0],
        )

    def planned(self, days: int = 1) -> Days:
        return self.days(np.zeros((days, self.width)))
