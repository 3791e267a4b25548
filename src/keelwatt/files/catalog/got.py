"""A part looked up beside the kit, or what to ask for in its place."""

from dataclasses import dataclass
from functools import cached_property

from keelwatt.files.catalog.parts import Cable, Enclosure, Fitting, Fuse
from keelwatt.physics.metric import conductor_ohm_m


@dataclass(frozen=True)
class Got:
    """A part to fit, or what to ask for where ``part`` is None; of cable by the metre.
    ``cents``: to pay, None where nobody knows; ``typical``: from memory."""

    part: Fitting | Fuse | Cable | Enclosure | None
    told: str
    cents: float | None
    grams: float
    typical: bool = False
    rating_a: float = 0.0

    @property
    def id(self) -> str | None:
        return self.part.id if self.part else None

    @property
    def to_pay(self) -> float:
        """Nothing where nobody knows."""
        return self.cents or 0.0


@dataclass(frozen=True)
class Strand:
    """What a branch is cut from: a cable, or copper to ask for."""

    got: Got
    size: str
    area_mm2: float
    ampacity_a: float
    by_area: bool
    tinned: bool

    @cached_property
    def ohm_m(self) -> float:
        return float(
            conductor_ohm_m(area_mm2=self.area_mm2, by_area=self.by_area, tinned=self.tinned)
        )

    def drop_v(self, length_m: float, current_a: float) -> float:
        """Volts lost in one conductor, copper at 30 degC."""
        return length_m * self.ohm_m * current_a
