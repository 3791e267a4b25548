"""The kit: which parts, how many, where; and their exact sums in grams and cents."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from keelwatt.physics.joining import whole_lengths

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    from keelwatt.files.catalog.parts import Battery
    from keelwatt.files.outing import Parts

Bound = TypeVar("Bound", float, "npt.NDArray[np.float64]")

OTHER_PARTS_SEASONS = 10
"""Seasons every part but the battery is taken to last. Common practice."""

SEASON_UNITS_PER_CENT = 100
"""Season prices are whole hundredths of a cent, so that sums are exact."""


@dataclass(frozen=True)
class Kit:
    """A complete choice: ids and names, the bank's counts, and the one-way cable run."""

    battery: str
    series: int
    parallel: int
    compartment: str
    motor: str
    mount: str
    controller: str | None
    cable: str
    run_m: float
    fuse: str
    connector: str
    charger: str | None
    box: str | None = None
    """Each battery's own; without one it is strapped down, its posts covered."""

    @property
    def units(self) -> int:
        return self.series * self.parallel

    @property
    def ids(self) -> frozenset[str]:
        parts = (self.battery, self.motor, self.cable, self.fuse, self.connector)
        return frozenset(parts) | {id_ for id_ in (self.controller, self.charger, self.box) if id_}


ROUNDING = 1e-9
"""Relative slack for the last digits of floating point; whole grams and cents need none."""


def just_below(bound: Bound) -> Bound:
    """What a value must reach to count as at least ``bound``, in tables and proof alike."""
    return bound - ROUNDING * abs(bound)


def just_above(bound: Bound) -> Bound:
    """What a value must not pass to count as at most ``bound``, in tables and proof alike."""
    return bound + ROUNDING * abs(bound)


def grams(mass_kg: float) -> int:
    return round(mass_kg * 1000.0)


def whole_grams_within(mass_kg: float) -> int:
    """The limit in whole grams, on the safe side of a unit conversion's last digit."""
    return int(mass_kg * 1000.0 + 1e-6)


def length_g(grams_m: float, length_m: float) -> int:
    """One colour of a circuit's cable, as long as it is used."""
    return round(length_m * grams_m)


def length_cents(cents_m: float, length_m: float, unit_m: float) -> int:
    """One colour of a circuit's cable, by the whole metre or foot as it is sold."""
    return round(lengths_cents(cents_m, length_m, unit_m))


def lengths_cents(cents_m: Bound, length_m: float, unit_m: float) -> Bound:
    """The same of one cable or of many, before it is rounded."""
    return whole_lengths(length_m=length_m, unit_m=unit_m) * (cents_m * unit_m)


def bank_seasons(battery: "Battery", outings_per_season: float) -> float:
    """Seasons a bank lasts: the lesser of its cycles and its calendar life."""
    return min(battery.cycles / outings_per_season, battery.calendar_years)


def season_units(price_cents: int, seasons: float = OTHER_PARTS_SEASONS) -> int:
    """A price spread over a life, in hundredths of a cent a season."""
    return round(price_cents * SEASON_UNITS_PER_CENT / seasons)


def to_buy(parts: "Parts", part_id: str, count: int) -> int:
    """How many of ``count`` pieces are not owned yet."""
    if part_id not in parts.own:
        return count
    return max(0, count - parts.own_pieces.get(part_id, count))
