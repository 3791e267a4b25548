"""What joins and guards: cable, fuses, plugs, boxes and fittings."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import Field, computed_field

from keelwatt.files.catalog.row import (
    Amperes,
    Cents,
    Kilograms,
    Millimetres,
    Row,
    Size,
    Volts,
    grown,
    looked_up,
)
from keelwatt.files.fields import Written, assumed
from keelwatt.units import cable_area_mm2, sold_by_area

FUSE_KG_A = 0.002
"""Mass of a fuse with its holder for each ampere; from memory, the heavy side."""

CABLE_KG_M_MM2 = 0.012
"""Mass of a metre of cable for each mm2, its jacket too; from memory."""

FITTING_KG: Mapping[str, float] = {
    "bus bar": 0.2, "lug": 0.01, "converter": 0.1, "inlet": 0.08, "hold-down": 0.35,
    "terminal cover": 0.01,
}  # fmt: skip
"""Of one; from memory."""

ENCLOSURE_KG: Mapping[str, float] = {"battery": 2.0, "control": 1.0}
"""Of one, from memory: more than most."""

WALLS = 1.2
"""A box outside over inside, rim and handles counted; from memory."""


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
    mass_kg: Kilograms = grown(FUSE_KG_A, "rating_a", "kg for each A", "from memory")
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
    outer_length_m: Millimetres = grown(WALLS, "inner_length_m", "times the inside", "from memory")
    """Over all."""
    outer_width_m: Millimetres = grown(WALLS, "inner_width_m", "times the inside", "from memory")
    """Over all, handles folded."""
    outer_height_m: Millimetres = grown(WALLS, "inner_height_m", "times the inside", "from memory")
    """Over all, the lid on."""
    mass_kg: Kilograms = looked_up("holds", ENCLOSURE_KG, "from memory")
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
    mass_kg: Kilograms = looked_up("what", FITTING_KG, "from memory")
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
        return cable_area_mm2(self.size) if self.size else None
