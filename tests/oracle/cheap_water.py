"""Tables and a proof that cost next to nothing, so that whole catalogs can be enumerated.

The wave integral gives way to a plain law of its kind: it grows as the fourth power of speed and in
proportion to draft. Tables and proof take the same law, each in its own way, so the comparison is
as sharp as with the integral, which has tests of its own.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from keelwatt.boat.load_case import LoadCase
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing
from keelwatt.physics.water import G
from keelwatt.proof import Assessor
from keelwatt.proof.craft import Craft

Floats = npt.NDArray[np.float64]

WAVES = 1.2


@dataclass(frozen=True)
class CheapLoadCase(LoadCase):
    """LoadCase without the wave integral."""

    def rung_waves_n(self, fastest_m_s: float, displacement_kg: Floats) -> Floats:
        craft = self.outing.craft
        speeds = self.rung_speeds_m_s(self.rungs_for(fastest_m_s, displacement_kg.max()))
        froude = speeds / np.sqrt(G * craft.waterline_length_m)
        scale = WAVES * self.density_kg_m3 * G * craft.waterline_beam_m**2
        return np.asarray(scale * np.multiply.outer(froude**4, self.draft_m(displacement_kg)))


@dataclass(frozen=True)
class CheapCraft(Craft):
    """The proof's craft without the wave integral."""

    def waves_n(self, through_m_s: Floats, displacement_kg: float) -> Floats:
        craft = self.outing.craft
        froude = through_m_s / np.sqrt(G * craft.waterline_length_m)
        scale = WAVES * self.density_kg_m3 * G * craft.waterline_beam_m**2
        return np.asarray(scale * froude**4 * self.draft_m(displacement_kg))


class CheapWater(Assessor):
    """A proof without the wave integral."""

    def __init__(self, outing: Outing, catalog: Catalog) -> None:
        super().__init__(outing, catalog)
        self.craft = CheapCraft(outing)


class CheapAssessor(CheapWater):
    """Without the search for the speed reached, which a verdict never needs, only its picture."""

    def speed_reached_m_s(self, *_: Any, **__: Any) -> float:
        return 0.0
