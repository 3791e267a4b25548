"""How much of one thing a kit stands while all else is as planned.
More headwind, cold, age or drag never leaves more in the bank and never lets a leg go faster, so
each amount that is stood ends at one point, found by bisection on the simulation itself."""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from keelwatt.boat.arrays import Bools, Floats
from keelwatt.boat.search import last_met
from keelwatt.chance.odds import Boat
from keelwatt.chance.spreads import COLDEST_C, Days, Spreads
from keelwatt.files.outing import Outing

Strain = Literal["headwind", "cold", "ageing", "drag"]

STRAINS: dict[Strain, str] = {"headwind": "m/s", "cold": "degC", "ageing": "share", "drag": ""}
"""What may get worse, and in which unit it is told."""

CHECKS = ("above_reserve", "above_zero", "in_time")
"""What of a run may give, in the order of a margin's last three amounts."""

MOST_WIND_M_S = 40.0
MOST_DRAG = 10.0
LEAST_HEALTH = 0.01
"""How far is looked; what is stood to the end counts as without end."""

HALVINGS = 40
"""Of spans of some tens: less than 1e-10 of what is asked stays open."""


@dataclass(frozen=True)
class Margin:
    """One strain: as planned, and how far it may go before something gives.
    Amounts are what the strain then is: the wind against on every leg beyond that planned, the
    battery's temperature, the share of the rated capacity left, the drag factor. None where it
    gives on the day as planned already; ``end`` itself where it never gives."""

    strain: Strain
    unit: str
    planned: float
    end: float
    reserve_kept: float | None
    not_flat: float | None
    speed_kept: float | None


def margins(boat: Boat) -> tuple[Margin, ...]:
    outing = boat.case.outing
    ends = _ends(outing)
    strains = [strain for strain in STRAINS for _ in CHECKS]
    planned, end = np.transpose([ends[strain] for strain in strains])

    def holds(amounts: Floats) -> Bools:
        run = boat.run(_strained(outing, strains, amounts))
        kept = np.array([getattr(run, check) for check in CHECKS])
        rows = np.arange(len(strains))
        return np.asarray(kept[rows % len(CHECKS), rows])

    begins, ever = holds(planned), holds(end)
    found = np.where(ever, end, last_met(holds, planned, end, HALVINGS))
    told = [float(amount) if begun else None for amount, begun in zip(found, begins, strict=True)]
    return tuple(
        Margin(strain, unit, *ends[strain], *told[len(CHECKS) * at :][: len(CHECKS)])
        for at, (strain, unit) in enumerate(STRAINS.items())
    )


def _ends(outing: Outing) -> dict[Strain, tuple[float, float]]:
    """(as planned, how far is looked)."""
    health, drag = outing.policy.health, outing.craft.drag_factor
    return {
        "headwind": (0.0, MOST_WIND_M_S),
        "cold": (outing.water.temperature_c, COLDEST_C),
        "ageing": (health, min(health, LEAST_HEALTH)),
        "drag": (drag, drag * MOST_DRAG),
    }


def _strained(outing: Outing, strains: list[Strain], amounts: Floats) -> Days:
    """Days as planned but for one strain each."""
    days = Spreads(outing).planned(amounts.size)

    def only(strain: Strain, otherwise: Floats) -> Floats:
        return np.where([each == strain for each in strains], amounts, otherwise)

    health = outing.policy.health
    wind = only("headwind", np.zeros(amounts.shape))
    return replace(
        days,
        headwind_m_s=days.headwind_m_s + wind[:, None],
        battery_c=only("cold", days.battery_c),
        capacity=only("ageing", health * days.capacity) / health,
        drag_factor=only("drag", days.drag_factor),
    )
