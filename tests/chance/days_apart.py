"""Boats of invented parts, and days that differ from the plan in one thing."""

from dataclasses import replace
from functools import cached_property
from statistics import NormalDist
from typing import Any

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.chance.odds import Boat
from keelwatt.chance.spreads import Days, Spreads
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Odds, Outing
from keelwatt.proof import Assessor
from oracle.cheap_water import CheapLoadCase
from oracle.one_of_each import CATALOG, KIT, with_leg

CHOPPED = replace(KIT, controller="controller")
UNDERWAY = with_leg(
    speed_m_s=1.2, headwind_m_s=1.0, current_m_s=0.1, duration_h=4.0, by_distance=True
)
"""The one-of-each outing with a leg that moves through water."""

NORMAL = NormalDist()

STILL: dict[str, float] = {
    "wind_spread": 0.0,
    "gust_spread_m_s": 0.0,
    "stream_spread": 0.0,
    "capacity_spread": 0.0,
    "temperature_spread_c": 0.0,
    "length_spread": 0.0,
}


def only(outing: Outing, drag: float = 0.0, **spread: float) -> Outing:
    """The outing with nothing uncertain but what is named."""
    craft = outing.craft.model_copy(update={"drag_factor_error": drag})
    return outing.model_copy(update={"craft": craft, "odds": Odds(**STILL | spread)})


class CheapBoat(Boat):
    """A boat on water without the wave integral."""

    @cached_property
    def case(self) -> CheapLoadCase:
        return CheapLoadCase(self.assessor.outing)


def boat(outing: Outing, kit: Kit = CHOPPED) -> Boat:
    return Boat(Assessor(outing, CATALOG), kit)


def days(outing: Outing, **update: Any) -> Days:
    """As many days as the longest of the values given, the rest as planned."""
    count = max(np.size(value) for value in update.values())
    planned = Spreads(outing).planned(count)
    told = {
        name: np.broadcast_to(np.asarray(value, dtype=float), getattr(planned, name).shape)
        for name, value in update.items()
    }
    return replace(planned, **told)


def column(values: Floats) -> Floats:
    """Values a day, for the one leg there is."""
    return np.asarray(values, dtype=float)[:, None]
