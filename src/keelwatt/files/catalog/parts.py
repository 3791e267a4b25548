"""The rows of the catalog, after conversion."""

from collections.abc import Callable, Mapping
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, computed_field

from keelwatt.files.catalog import shop
from keelwatt.files.fields import Frozen, Share, Written, assumed, slug
from keelwatt.physics.battery import PEUKERT
from keelwatt.physics.chopper import MOST_CONTROL_C
from keelwatt.physics.drag import POD_M, TUBE_M
from keelwatt.physics.metric import LEAD_M, lead_area_mm2
from keelwatt.physics.motor import WINDING_FRACTION
from keelwatt.physics.protection import short_circuit_a
from keelwatt.units import cable_area_mm2, sold_by_area

Chemistry = Literal["flooded", "agm", "gel", "lfp", "nmc"]
ShopChemistry = Annotated[Chemistry, BeforeValidator(shop.chemistry)]

CALENDAR_YEARS: Mapping[str, float] = {"flooded": 4, "agm": 5, "gel": 6, "lfp": 10, "nmc": 8}
"""Years a battery lasts however little it is used; from memory."""

CYCLES: Mapping[str, float] = {"flooded": 200, "agm": 300, "gel": 400, "lfp": 2000, "nmc": 500}
"""Outings a battery lasts at everyday depth; from memory, the low end of what is printed."""

CONTINUOUS_A_AH = 0.5
"""Amperes a battery may give for long, for each ampere-hour; from memory, the safe side."""

PROPELLER_M, PROPELLER_POWER = 0.054, 0.3
"""A small motor's propeller: so wide times its thrust in newtons to this power; from memory."""

MOTOR_KG_N, CONTROL_KG_A, FUSE_KG_A = 0.045, 0.015, 0.002
"""Mass of a motor for each newton, of a control and of a fuse with its holder for each ampere;
from memory, the heavy side."""

CABLE_KG_M_MM2 = 0.012
"""Mass of a metre of cable for each mm2, its jacket too; from memory."""

FITTING_KG: Mapping[str, float] = {
    "bus bar": 0.2,
    "lug": 0.01,
    "converter": 0.1,
    "inlet": 0.08,
    "hold-down": 0.35,
    "terminal cover": 0.01,
}
"""Of one; from memory."""

ENCLOSURE_KG: Mapping[str, float] = {"battery": 2.0, "control": 1.0}
"""Of one, from memory: more than most."""

WALLS = 1.2
"""A box outside over inside, rim and handles counted; from memory."""

NO_LOAD_SHARE = 0.04
"""No-load current as a share of the current at full throttle; from memory."""

CHOPPER_EFFICIENCY = 0.95
"""Of a chopper built into a motor; from memory."""


def _cable_size(text: str) -> str:
    cable_area_mm2(text)
    return text


def _each(table: Mapping[str, float]) -> str:
    """As in "flooded 4, agm 5"."""
    return ", ".join(f"{name} {value:g}" for name, value in table.items())


def _by(field: str, table: Mapping[str, float]) -> Callable[[dict[str, Any]], Any]:
    """A default looked up by a word of the row; 1 where that cannot be read."""
    return lambda row: table.get(row.get(field, ""), 1)


def _times(factor: float, field: str) -> Callable[[dict[str, Any]], float]:
    """A default that grows with another value of the row; a little where that cannot be read."""
    return lambda row: round(factor * float(row.get(field, 1.0)), 6)


def _unless(word: str, then: Any, otherwise: Any) -> Callable[[dict[str, Any]], Any]:
    """A default that is another where the row holds this chemistry or control."""
    return lambda row: then if word in (row.get("chemistry"), row.get("control")) else otherwise


def _lithium(then: int, otherwise: int) -> Callable[[dict[str, Any]], int]:
    return lambda row: then if row.get("chemistry") in ("lfp", "nmc") else otherwise


Volts = Annotated[float, Written(unit="V"), Field(gt=0)]
Amperes = Annotated[float, Written(unit="A"), Field(gt=0)]
Kilograms = Annotated[float, Written(unit="kg"), Field(gt=0)]
Millimetres = Annotated[float, Written(unit="mm"), Field(gt=0)]
Class = Annotated[int, Written(unit="V"), BeforeValidator(shop.system_class)]
Count = Annotated[int, Field(ge=1, le=1_000_000)]
Series = Annotated[int, Field(ge=1, le=16)]
Parallel = Annotated[int, Field(ge=1, le=64)]
Cents = Annotated[int, Field(ge=0)]
Size = Annotated[str, AfterValidator(_cable_size)]
Efficiency = Annotated[Share, Field(gt=0, le=1)]


class Row(Frozen):
    """What every part has."""

    name: Annotated[str, Field(min_length=1)]
    """As you would call it in the shop."""
    id: Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")] = assumed(
        lambda row: slug(row.get("name", "")),
        "made from the name",
        "lowercase, with dashes",
        unsure=True,
    )
    """lowercase-with-dashes, once in the whole catalog."""


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
    continuous_a: Amperes = assumed(
        _times(CONTINUOUS_A_AH, "capacity_ah"),
        f"{CONTINUOUS_A_AH:g} A for each Ah",
        "from memory, the safe side",
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
        _unless("flooded", then=True, otherwise=False),
        "yes for flooded, else no",
        "common practice",
    )
    """Whether it must stand upright, as what can spill must."""
    max_series: Series = assumed(
        _lithium(1, 4), "4 for lead-acid, 1 for lithium", "from memory, the safe side"
    )
    """The most of them the maker allows in series."""
    max_parallel: Parallel = assumed(
        _lithium(1, 4), "4 for lead-acid, 1 for lithium", "from memory, the safe side"
    )
    """The most strings the maker allows in parallel."""
    cycles: Count = assumed(
        _by("chemistry", CYCLES), _each(CYCLES), "from memory, the low end of what is printed"
    )
    """Outings it lasts, drawn down as the outing's policy says."""
    price_cents: Cents
    """What one costs."""
    peukert: Annotated[float, Field(ge=1, le=1.6)] = assumed(
        _by("chemistry", PEUKERT),
        _each(PEUKERT),
        "inside the ranges commonly printed; nmc from memory",
    )
    """Peukert's exponent: charge lost to high currents."""
    short_circuit_a: Annotated[float | None, Written(unit="A"), Field(gt=0)] = assumed(
        None, "25 A for each Ah", "from memory"
    )
    """The current into a dead short."""
    calendar_years: Annotated[float, Written(unit="years"), Field(gt=0)] = assumed(
        _by("chemistry", CALENDAR_YEARS), _each(CALENDAR_YEARS), "from memory"
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
        _unless("chopper", 0, 5), "5 for a stepped motor", "common practice"
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
    mass_kg: Kilograms = assumed(
        _times(MOTOR_KG_N, "thrust_n"),
        f"{MOTOR_KG_N:g} kg for each N",
        "from memory, the heavy side",
    )
    """Its weight, all that hangs on the boat."""
    price_cents: Cents
    """What one costs."""
    no_load_a: Annotated[float, Written(unit="A"), Field(ge=0)] = assumed(
        _times(NO_LOAD_SHARE, "current_a"), f"{NO_LOAD_SHARE:.0%} of the current", "from memory"
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
        _unless("chopper", CHOPPER_EFFICIENCY, 1.0),
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
    mass_kg: Kilograms = assumed(
        _times(CONTROL_KG_A, "current_a"),
        f"{CONTROL_KG_A:g} kg for each A",
        "from memory, the heavy side",
    )
    """Of one."""
    price_cents: Cents
    """What one costs."""
    max_temperature_c: Annotated[float, Written(unit="degC"), Field(gt=0, le=200)] = assumed(
        MOST_CONTROL_C, source="from memory"
    )
    """The warmest air round it that it stands."""


def _mass_kg_m(row: dict[str, Any]) -> float:
    return CABLE_KG_M_MM2 * (cable_area_mm2(row["size"]) if "size" in row else 1.0)


class Cable(Row):
    size: Size
    """Of the conductor: "6 AWG" or "16 mm2"."""
    insulation_c: Annotated[float, Written(unit="degC"), Field(gt=0, le=300)] = assumed(
        60.0, source="33 CFR 183.425, its lowest column"
    )
    """The temperature printed on the jacket."""
    mass_kg_m: Annotated[float, Written(unit="kg/m"), Field(gt=0)] = assumed(
        _mass_kg_m, f"{CABLE_KG_M_MM2:g} kg/m for each mm2", "from memory, copper and jacket"
    )
    """Of one conductor."""
    price_cents_m: Annotated[float, Written("price_per_metre", "money"), Field(ge=0)]
    """What a metre of one conductor costs; price_per_foot will do as well."""
    tinned: bool = assumed(False, "no", "from memory")
    """Whether its strands are tinned; counts for sizes in mm2."""

    @computed_field  # type: ignore[prop-decorator]
    @property
    def area_mm2(self) -> float:
        return cable_area_mm2(self.size)

    @property
    def by_area(self) -> bool:
        """Whether its size is in mm2."""
        return sold_by_area(self.size)


class Fuse(Row):
    kind: Literal["fuse", "breaker"] = assumed("fuse", source="common practice")
    """Which of the two."""
    rating_a: Amperes
    """The current it is marked with."""
    interrupts_a: Amperes = assumed(1000.0, source="from memory, the safe side")
    """How much current it can break: "interrupting rating" on its body or data sheet."""
    max_voltage_v: Volts = assumed(32.0, source="from memory, the safe side")
    """The highest voltage it may break at, on its body."""
    mass_kg: Kilograms = assumed(
        _times(FUSE_KG_A, "rating_a"), f"{FUSE_KG_A:g} kg for each A", "from memory"
    )
    """With its holder."""
    price_cents: Cents
    """What it costs with its holder."""


class Connector(Row):
    current_a: Amperes
    """The most it may carry for long."""
    smallest: Size
    """The thinnest cable it takes, as "10 AWG"."""
    largest: Size
    """The thickest cable it takes, as "6 AWG"."""
    mass_kg: Kilograms = assumed(0.1, source="from memory")
    """Of a mated pair."""
    price_cents: Cents
    """What a mated pair costs."""

    @computed_field  # type: ignore[prop-decorator]
    @property
    def smallest_mm2(self) -> float:
        return cable_area_mm2(self.smallest)

    @computed_field  # type: ignore[prop-decorator]
    @property
    def largest_mm2(self) -> float:
        return cable_area_mm2(self.largest)


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


class Enclosure(Row):
    holds: Literal["battery", "control"]
    """What it is for: one battery, whose posts its lid covers, or a speed control."""
    inner_length_m: Millimetres
    """Room inside."""
    inner_width_m: Millimetres
    """Room inside."""
    inner_height_m: Millimetres
    """Room inside, the lid on."""
    price_cents: Cents
    """What one costs, with the strap that holds it down."""
    outer_length_m: Millimetres = assumed(
        _times(WALLS, "inner_length_m"), f"{WALLS:g} times the inside", "from memory"
    )
    """Over all."""
    outer_width_m: Millimetres = assumed(
        _times(WALLS, "inner_width_m"), f"{WALLS:g} times the inside", "from memory"
    )
    """Over all, handles folded."""
    outer_height_m: Millimetres = assumed(
        _times(WALLS, "inner_height_m"), f"{WALLS:g} times the inside", "from memory"
    )
    """Over all, the lid on."""
    mass_kg: Kilograms = assumed(_by("holds", ENCLOSURE_KG), _each(ENCLOSURE_KG), "from memory")
    """Of one, with the strap that holds it down."""
    outlets: Annotated[int, Field(ge=0, le=99)] = assumed(2, source="from memory")
    """Openings for cable; what is missing is drilled."""

    @property
    def outer_m(self) -> tuple[float, float, float]:
        return self.outer_length_m, self.outer_width_m, self.outer_height_m

    @property
    def inner_m(self) -> tuple[float, float, float]:
        return self.inner_length_m, self.inner_width_m, self.inner_height_m


class Fitting(Row):
    what: Literal["bus bar", "lug", "converter", "inlet", "hold-down", "terminal cover"]
    """Which of them; a lug comes with its shrink tube, a bar with its cover, a hold-down with
    strap, tray and screws."""
    mass_kg: Kilograms = assumed(_by("what", FITTING_KG), _each(FITTING_KG), "from memory")
    """Of one."""
    price_cents: Cents
    """What one costs."""
    rating_a: Annotated[float | None, Written(unit="A"), Field(gt=0)] = assumed(
        None, "suits no current", "the safe side"
    )
    """The most it may carry for long; a converter's at its outlet."""
    size: Size | None = assumed(None, "suits no cable", "the safe side")
    """The cable a lug is made for: "6 AWG" or "16 mm2"."""
    studs: Annotated[int, Field(ge=1, le=99)] = assumed(4, source="from memory")
    """A bus bar's, a lug on each."""
    output_v: Annotated[float | None, Written(unit="V"), Field(gt=0)] = assumed(
        None, "suits no device", "the safe side"
    )
    """What a converter gives."""
    max_voltage_v: Volts = assumed(32.0, source="from memory")
    """The highest it stands."""

    @property
    def area_mm2(self) -> float | None:
        """Of the cable a lug is made for."""
        return cable_area_mm2(self.size) if self.size else None


Part = Battery | Motor | Controller | Cable | Fuse | Connector | Charger | Fitting | Enclosure

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
