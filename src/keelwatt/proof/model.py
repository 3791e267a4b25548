"""What an assessment is made of: plain frozen data."""

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

from keelwatt.files.catalog import parts
from keelwatt.files.catalog.got import Got
from keelwatt.files.kit import SEASON_UNITS_PER_CENT, Kit, grams
from keelwatt.files.outing import Compartment, Mount
from keelwatt.limits import Limit
from keelwatt.physics.stowage import Triple

if TYPE_CHECKING:
    from keelwatt.proof.bill import Bill


@dataclass(frozen=True)
class LegResult:
    """One leg with this kit: speed over ground, what the motor does, what the bank gives.
    ``charge_ah`` is the motor's alone. ``motor_v`` is what the speed asks for at the motor's leads.
    A chopper runs at a ``throttle``, a share of the voltage it has; on a switch two ``steps`` are
    alternated: (lower, 0 for off, upper, share of time on the upper)."""

    name: str
    speed_m_s: float
    through_m_s: float
    thrust_n: float
    shaft_ratio: float
    motor_v: float
    motor_a: float
    battery_a: float
    hours: float
    charge_ah: float
    throttle: float | None
    steps: tuple[int, int, float] | None


@dataclass(frozen=True)
class Totals:
    """Sums over the kit; ``mass_g`` is what is carried (the charger stays ashore)."""

    price_cents: int
    season_units: int
    mass_g: int
    displacement_g: int
    beside_bank_g: int = 0
    """Of branches, which are counted in the bank's compartment."""
    held_g: int = 0
    """Of boxes, or straps and covers, which stand on the compartment's floor with the batteries."""

    @property
    def displacement_kg(self) -> float:
        return self.displacement_g / 1000.0

    @property
    def season_cents(self) -> float:
        return self.season_units / SEASON_UNITS_PER_CENT


@dataclass(frozen=True)
class Assessment:
    """A kit with its sums, its legs, and one row for every limit. ``device_ah``: what the devices
    add to the charge of the legs, the motor's own draw on the bank being the dearer for theirs."""

    kit: Kit
    totals: Totals
    legs: tuple[LegResult, ...]
    device_ah: float
    usable_ah: float
    limits: tuple[Limit, ...]
    bill: "Bill | None" = None

    @property
    def used_ah(self) -> float:
        return sum(leg.charge_ah for leg in self.legs) + self.device_ah

    def hardest_w(self, battery: parts.Battery) -> float:
        """What the bank gives the motor on the hardest leg."""
        volts = self.kit.series * battery.voltage_v
        return volts * max((leg.battery_a for leg in self.legs), default=0.0)

    @property
    def hours_at_limit(self) -> float:
        return self.usable_ah / self.used_ah if self.used_ah > 0.0 else inf

    @property
    def broken(self) -> tuple[Limit, ...]:
        return tuple(limit for limit in self.limits if not limit.holds)

    @property
    def holds(self) -> bool:
        return not self.broken


@dataclass(frozen=True)
class Chosen:
    """The parts and places a kit names."""

    battery: parts.Battery
    compartment: Compartment
    motor: parts.Motor
    mount: Mount
    controller: parts.Controller | None
    cable: parts.Cable
    fuse: parts.Fuse
    connector: parts.Connector
    charger: parts.Charger | None
    box: parts.Enclosure | None = None
    control_box: Got | None = None

    @property
    def controller_g(self) -> int:
        """In its box, if it has one."""
        control_g = grams(self.controller.mass_kg) if self.controller else 0
        return control_g + (round(self.control_box.grams) if self.control_box else 0)

    @property
    def unit(self) -> tuple[Triple, bool]:
        """Sides of what stands in the compartment, and whether it stands upright only."""
        if self.box:
            return self.box.outer_m, True
        return self.battery.size_m, self.battery.upright_only

    @property
    def chopper(self) -> bool:
        return self.controller is not None or self.motor.control == "chopper"

    @property
    def efficiency(self) -> float:
        """Of the chopper, external or built in; 1 for stepped control."""
        return self.controller.efficiency if self.controller else self.motor.efficiency
