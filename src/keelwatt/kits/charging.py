"""How long chargers take to put a bank's charge back."""

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from keelwatt.boat.arrays import Floats
from keelwatt.files.catalog.parts import Charger
from keelwatt.physics.bank import CHARGE_EFFICIENCY, SLOW_END_H
from keelwatt.physics.battery import LEAD_ACID

Chargers = dict[tuple[str, int], list[tuple[int, Charger]]]
"""With their numbers, by chemistry and voltage."""


def charging_columns(usable_ah: Floats, chemistry: npt.NDArray[np.str_]) -> dict[str, Floats]:
    """What a charger has to give each bank, and the hours of the slow end on top."""
    lead = np.isin(chemistry, sorted(LEAD_ACID))
    kept, slow_end_h = (
        np.where(lead, of["lead"], of["lithium"]) for of in (CHARGE_EFFICIENCY, SLOW_END_H)
    )
    return {"charge_ah": usable_ah / kept, "slow_end_h": slow_end_h}


def by_kind(chargers: Iterable[Charger]) -> Chargers:
    """Chargers by the chemistry and voltage of banks they suit."""
    found: Chargers = {}
    for number, charger in enumerate(chargers):
        for chemistry in charger.chemistries:
            found.setdefault((chemistry, charger.system_v), []).append((number, charger))
    return found


def charging_h(charge_ah: Floats, slow_end_h: Floats, charger_a: Floats | float) -> Floats:
    """Hours, slow end and all; without end at 0 A."""
    with np.errstate(divide="ignore"):
        return np.asarray(np.divide(charge_ah, charger_a) + slow_end_h)
