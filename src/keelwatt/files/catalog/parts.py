"""The rows of the catalog, after conversion: batteries, motors, controls and chargers."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from keelwatt.files.catalog import shop
from keelwatt.files.catalog.fitted import Cable, Connector, Enclosure, Fitting, Fuse
from keelwatt.files.catalog.row import (
    Amperes,
    Cents,
    Chemistry,
    Class,
    Count,
    Efficiency,
    Kilograms,
    Millimetres,
    Parallel,
    Row,
    Series,
    ShopChemistry,
    Size,
    Volts,
    grown,
    looked_up,
    of_lead_acid,
    times,
    unless,
)
from keelwatt.files.fields import Share, Written, assumed
from keelwatt.physics.battery import PEUKERT
from keelwatt.physics.chopper import MOST_CONTROL_C
from keelwatt.physics.drag import POD_M, TUBE_M
from keelwatt.physics.metric import LEAD_M, lead_area_mm2
from keelwatt.physics.motor import NO_LOAD_FRACTION, WINDING_FRACTION
from keelwatt.physics.protection import short_circuit_a
from keelwatt.units import cable_area_mm2, sold_by_area

__all__ = [
    "FILES", "OPTIONAL", "Battery", "Cable", "Charger", "Chemistry", "Connector", "Controller",
    "Enclosure", "Fitting", "Fuse", "Motor", "Part", "Piece",
]  # fmt: skip

CALENDAR_YEARS: Mapping[str, float] = {"flooded": 4, "agm": 5, "gel": 6, "lfp": 10, "nmc": 8}
"""Years a battery lasts however little it is used; from memory."""

CYCLES: Mapping[str, float] = {"flooded": 200, "agm": 300, "gel": 400, "lfp": 2000, "nmc": 500}
"""Outings a battery lasts at everyday depth; from memory, the low end of what is printed."""

CONTINUOUS_A_AH = 0.5
"""Amperes a battery may give for long, for each ampere-hour; from memory, the safe side."""

PROPELLER_M, PROPELLER_POWER = 0.054, 0.3
"""A small motor's propeller: so wide times its thrust in newtons to this power; from memory."""

MOTOR_KG_N, CONTROL_KG_A = 0.045, 0.015
"""Mass of a motor for each newton, of a control for each ampere; from memory, the heavy side."""

CHOPPER_EFFICIENCY = 0.95
"""Of a chopper built into a motor; from memory."""


class Battery(Row):
    chemistry: ShopChemistry = assumed(
        lambda row: shop.chemistry_named(row.get("name", "")),
        "from the name",
        "as shops print it: AGM, LiFePO4",
        unsure=True,
    )
    """Flooded, agm and gel are lead-acid; lfp (LiFePO4) and nmc are lithium."""
    voltage_v: Volts
    """Nominal, as on the label: 12.8 for many lithium ones."""
    system_v: Class = assumed(
        lambda row: row.get("voltage_v", 12),
        "from its voltage",
        "10.8 to 15 V on the label is 12 V",
        unsure=True,
    )
    """Its class: 12, 24, 36 or 48."""
    capacity_ah: Annotated[float, Written(unit="Ah"), Field(gt=0)]
    """Rated, as on the label."""
    rated_h: Annotated[float, Written(unit="h"), Field(gt=0)] = assumed(
        20.0, source="common practice"
    )
    """The hours over which that capacity is rated; 20 for most."""
    continuous_a: Amperes = grown(
        CONTINUOUS_A_AH, "capacity_ah", "A for each Ah", "from memory, the safe side"
    )
    """The most it may give for long: "max continuous discharge" in its data sheet."""
    mass_kg: Kilograms
    """Its weight, of one."""
    length_m: Millimetres
    """Over all, terminals included."""
    width_m: Millimetres
    """Over all."""
    height_m: Millimetres
    """Over all, terminals included."""
    upright_only: bool = assumed(
        unless("flooded", then=True, otherwise=False), "yes for flooded, else no", "common practice"
    )
    """Whether it must stand upright, as what can spill must."""
    max_series: Series = of_lead_acid(4)
    """The most of them the maker allows in series."""
    max_parallel: Parallel = of_lead_acid(4)
    """The most strings the maker allows in parallel."""
    cycles: Count = looked_up("chemistry", CYCLES, "from memory, the low end of what is printed")
    """Outings it lasts, drawn down as the outing's policy says."""
    price_cents: Cents
    """What one costs."""
    peukert: Annotated[float, Field(ge=1, le=1.6)] = looked_up(
        "chemistry", PEUKERT, "inside the ranges commonly printed; nmc from memory"
    )
    """Peukert's exponent: charge lost to high currents."""
    short_circuit_a: Annotated[float | None, Written(unit="A"), Field(gt=0)] = assumed(
        None, "25 A for each Ah", "from memory"
    )
    """The current into a dead short."""
    calendar_years: Annotated[float, Written(unit="years"), Field(gt=0)] = looked_up(
        "chemistry", CALENDAR_YEARS, "from memory"
    )
    """How long it lasts however little it is used."""

    @property
    def size_m(self) -> tuple[float, float, float]:
        return self.length_m, self.width_m, self.height_m

    @property
    def string_short_circuit_a(self) -> float:
        """What one string gives into a short: the maker's figure, else from its capacity."""
        if self.short_circuit_a is not None:
            return self.short_circuit_a
        return float(short_circuit_a(capacity_ah=self.capacity_ah))


def _propeller_m(row: dict[str, Any]) -> float:
    thrust_n: float = row.get("thrust_n", 1.0)
    return float(round(PROPELLER_M * thrust_n**PROPELLER_POWER, 3))


class Motor(Row):
    system_v: Class
    """The class of battery it needs: 12, 24, 36 or 48."""
    thrust_n: Annotated[float, Written(unit="N"), Field(gt=0)]
    """At full throttle, tethered: "55 lb thrust" on the box."""
    current_a: Amperes
    """At full throttle: "max amp draw" on the box or in the manual."""
    control: Literal["stepped", "chopper"] = assumed("stepped", source="from memory, the safe side")
    """Its own speed control: a switch with steps, or electronic."""
    steps: Annotated[int, Field(ge=0, le=100)] = assumed(
        unless("chopper", 0, 5), "5 for a stepped motor", "common practice"
    )
    """Forward speeds of its switch; a chopper has none."""
    propeller_m: Millimetres = assumed(
        _propeller_m,
        f"{PROPELLER_M:g} m x (thrust in N)^{PROPELLER_POWER:g}",
        "from memory, the wide side",
    )
    """Diameter."""
    shaft_m: Millimetres
    """Length below the mount, as the shop prints it."""
    mass_kg: Kilograms = grown(
        MOTOR_KG_N, "thrust_n", "kg for each N", "from memory, the heavy side"
    )
    """Its weight, all that hangs on the boat."""
    price_cents: Cents
    """What one costs."""
    no_load_a: Annotated[float, Written(unit="A"), Field(ge=0)] = assumed(
        times(NO_LOAD_FRACTION, "current_a"),
        f"{NO_LOAD_FRACTION:.0%} of the current",
        "from memory",
    )
    """The current with the propeller off."""
    no_thrust_speed_m_s: Annotated[float | None, Written(unit="km/h"), Field(gt=0, le=10)] = (
        assumed(None, "from thrust and propeller", "Wageningen B-series, 2 blades, pitch ratio 0.6")
    )
    """The boat's speed at which the propeller, turning as it does tethered, pushes no more."""
    thrust_is: Literal["claimed", "measured"] = assumed(
        "claimed", source="the outing's policy says how much of a claim to plan with"
    )
    """Whether the thrust is the maker's claim or was measured on a tether."""
    winding: Annotated[Share, Written(unit="%"), Field(ge=0, le=0.5)] = assumed(
        WINDING_FRACTION, source="from memory, 15 to 25 %"
    )
    """Part of the voltage lost in winding, brushes and leads at full throttle."""
    step_currents_a: Annotated[
        tuple[Annotated[float, Field(gt=0)], ...] | None, Written(unit="A")
    ] = assumed(None, "28 % to 100 % in equal ratios", "common practice, from memory")
    """Tethered current of each step, lowest first, with | between: 8|11|16|22|30."""
    tube_m: Millimetres = assumed(TUBE_M, source="from memory")
    """Diameter of the tube that goes into the water."""
    pod_m: Millimetres = assumed(POD_M, source="from memory")
    """Diameter of the motor under water."""
    efficiency: Efficiency = assumed(
        unless("chopper", CHOPPER_EFFICIENCY, 1.0),
        f"{CHOPPER_EFFICIENCY:g} for a chopper, else 1",
        "from memory",
    )
    """Of a chopper built into the motor."""
    lead_m: Annotated[float, Written(unit="m"), Field(ge=0, le=10)] = assumed(
        LEAD_M, source="from memory"
    )
    """Length of its own lead; 0 where your cable goes to its terminals."""
    lead_size: Size | None = assumed(
        None, "the thinnest AWG that carries its current at 75 degC", "from memory"
    )
    """Of the lead's conductors: "10 AWG" or "6 mm2"."""

    @property
    def lead(self) -> tuple[float, bool]:
        """Area of the lead's conductors, and whether it is sold by area."""
        if self.lead_size is None:
            return float(lead_area_mm2(max_current_a=self.current_a)), False
        return cable_area_mm2(self.lead_size), sold_by_area(self.lead_size)


class Controller(Row):
    min_system_v: Annotated[int, Written(unit="V"), BeforeValidator(shop.least_class)]
    """The lowest class of battery it works on; "12-60 V" may stand in one column voltage."""
    max_system_v: Annotated[int, Written(unit="V"), BeforeValidator(shop.most_class)]
    """The highest; of 60 V it is 48, as a 48 V battery reaches 58.4 V on its charger."""
    current_a: Amperes
    """The most it may carry for long, as the shop prints it."""
    efficiency: Efficiency = assumed(0.90, source="from memory, the safe side")
    """Power out over power in."""
    mass_kg: Kilograms = grown(
        CONTROL_KG_A, "current_a", "kg for each A", "from memory, the heavy side"
    )
    """Of one."""
    price_cents: Cents
    """What one costs."""
    max_temperature_c: Annotated[float, Written(unit="degC"), Field(gt=0, le=200)] = assumed(
        MOST_CONTROL_C, source="from memory"
    )
    """The warmest air round it that it stands."""


class Charger(Row):
    chemistries: Annotated[
        tuple[Chemistry, ...], BeforeValidator(shop.chemistries), Field(min_length=1)
    ]
    """What it may charge, with | between: agm|gel."""
    system_v: Class
    """The class of battery it charges; 14.6 V is of 12."""
    current_a: Amperes
    """What it puts in, as "10 A"."""
    price_cents: Cents
    """What one costs; it stays ashore."""


Piece = Battery | Motor | Controller | Fuse | Connector | Charger | Enclosure
"""What is sold by the piece and named by a kit."""

Part = Piece | Cable | Fitting

FILES: Mapping[str, type[Part]] = {
    "batteries": Battery,
    "motors": Motor,
    "controllers": Controller,
    "cables": Cable,
    "fuses": Fuse,
    "connectors": Connector,
    "chargers": Charger,
    "fittings": Fitting,
    "boxes": Enclosure,
}
"""The catalog's files, without ``.csv``, and what a row of each is."""

OPTIONAL = frozenset({"fittings", "boxes"})
"""Files that may be missing; of their parts a kit names at most a box for batteries."""
