"""One kit as the readings of its limits see it."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing
from keelwatt.limits import LIMITS, Limit, Sense
from keelwatt.proof.model import Assessment, Chosen, Totals

if TYPE_CHECKING:
    from keelwatt.proof.assess import Assessor


@dataclass(frozen=True)
class Held:
    """One kit as the readings see it."""

    assessor: "Assessor"
    chosen: Chosen
    assessment: Assessment

    @property
    def outing(self) -> Outing:
        return self.assessor.craft.outing

    @property
    def kit(self) -> Kit:
        return self.assessment.kit

    @property
    def rated_a(self) -> float:
        """What cable, fuse, connector and control are to stand."""
        return self.assessor.rated_a(self.kit, self.chosen)

    @property
    def string_a(self) -> float:
        """What fuse and cable of each string are to stand."""
        return self.assessor.string_a(self.kit, self.chosen)

    @property
    def totals(self) -> Totals:
        return self.assessment.totals

    @property
    def charging_v(self) -> float:
        """The most the bank comes to: on its charger."""
        return self.assessor.billing(self.kit, self.chosen).charging_v


def row(name: str, needs: float, has: float, sense: Sense | None = None) -> Limit:
    """In the limit's declared unit and, unless said, sense."""
    declared = LIMITS[name]
    return Limit(name, sense or declared.sense, needs, has, declared.unit)
