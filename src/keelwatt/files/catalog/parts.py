"""The rows of the catalog, after conversion."""

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from keelwatt.files.fields import Frozen, Share, Written
from keelwatt.physics.battery import PEUKERT
from keelwatt.physics.protection import short_circuit_a
from keelwatt.units import UnitError

Chemistry = Literal["flooded", "agm", "gel", "lfp", "nmc"]

CALENDAR_YEARS: Mapping[str, float] = {"flooded": 4, "agm": 5, "gel": 6, "lfp": 10, "nmc": 8}
"""Years a battery lasts however little it is used; from memory."""

NO_LOAD_SHARE = 0.04
"""No-load current as a share of the current at full throttle; from memory."""

NO_THRUST_SPEED_M_S = 9 / 3.6
"""Boat speed at which full throttle gives no thrust; from memory."""

CHOPPER_EFFICIENCY = 0.95
"""Of a chopper built into a motor; from memory."""


def _system_class(value: object) -> object:
    if value not in (12, 24, 36, 48):
        raise UnitError("is not a system voltage", "write 12, 24, 36 or 48")
    return value


Positive = Annotated[float, Field(gt=0)]
Volts = Annotated[float, Written(unit="V"), Field(gt=0)]
Amperes = Annotated[float, Written(unit="A"), Field(gt=0)]
Kilograms = Annotated[float, Written(unit="kg"), Field(gt=0)]
Millimetres = Annotated[float, Written(unit="mm"), Field(gt=0)]
Class = Annotated[int, Written(unit="V"), BeforeValidator(_system_class)]
Count = Annotated[int, Field(ge=1)]
Cents = Annotated[int, Field(ge=0)]
Efficiency = Annotated[Share, Field(gt=0, le=1)]


class Row(Frozen):
    """What every part has."""

    id: Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$")]
    name: Annotated[str, Field(min_length=1)]


class Battery(Row):
    chemistry: Chemistry
    system_v: Class
    voltage_v: Volts
    capacity_ah: Annotated[float, Written(unit="Ah"), Field(gt=0)]
    rated_h: Annotated[float, Written(unit="h"), Field(gt=0)]
    continuous_a: Amperes
    mass_kg: Kilograms
    length_m: Millimetres
    width_m: Millimetres
    height_m: Millimetres
    upright_only: bool
    max_series: Count
    max_parallel: Count
    cycles: Count
    price_cents: Cents
    peukert: Annotated[float, Field(ge=1, le=1.6)] = Field(
        default_factory=lambda row: PEUKERT.get(row.get("chemistry", ""), 1.0)
    )
    short_circuit_a: Annotated[float | None, Written(unit="A"), Field(gt=0)] = None
    calendar_years: Annotated[float, Written(unit="years"), Field(gt=0)] = Field(
        default_factory=lambda row: CALENDAR_YEARS.get(row.get("chemistry", ""), 1.0)
    )

    @property
    def string_short_circuit_a(self) -> float:
        """What one string gives into a short: the maker's figure, else from its capacity."""
        if self.short_circuit_a is not None:
            return self.short_circuit_a
        return float(short_circuit_a(capacity_ah=self.capacity_ah))


def _no_load_a(row: dict[str, Any]) -> float:
    return NO_LOAD_SHARE * float(row.get("current_a", 0.0))


def _built_in_efficiency(row: dict[str, Any]) -> float:
    return CHOPPER_EFFICIENCY if row.get("control") == "chopper" else 1.0


class Motor(Row):
    system_v: Class
    thrust_n: Annotated[float, Written(unit="N"), Field(gt=0)]
    current_a: Amperes
    control: Literal["stepped", "chopper"]
    steps: Annotated[int, Field(ge=0, le=100)] = 0
    propeller_m: Millimetres
    shaft_m: Millimetres
    mass_kg: Kilograms
    price_cents: Cents
    no_load_a: Annotated[float, Written(unit="A"), Field(ge=0)] = Field(default_factory=_no_load_a)
    no_thrust_speed_m_s: Annotated[float, Written(unit="km/h"), Field(gt=0, le=10)] = (
        NO_THRUST_SPEED_M_S
    )
    efficiency: Efficiency = Field(default_factory=_built_in_efficiency)


class Controller(Row):
    min_system_v: Class
    max_system_v: Class
    current_a: Amperes
    efficiency: Efficiency
    mass_kg: Kilograms
    price_cents: Cents


class Cable(Row):
    size: str
    area_mm2: Positive
    insulation_c: Annotated[float, Written(unit="degC"), Field(gt=0, le=300)]
    mass_kg_m: Annotated[float, Written(unit="kg/m"), Field(gt=0)]
    price_cents_m: Annotated[float, Written("price_per_metre", "money"), Field(ge=0)]


class Fuse(Row):
    kind: Literal["fuse", "breaker"]
    rating_a: Amperes
    interrupts_a: Amperes
    max_voltage_v: Volts
    mass_kg: Kilograms
    price_cents: Cents


class Connector(Row):
    current_a: Amperes
    smallest: str
    largest: str
    smallest_mm2: Positive
    largest_mm2: Positive
    mass_kg: Kilograms
    price_cents: Cents


class Charger(Row):
    chemistries: Annotated[tuple[Chemistry, ...], Field(min_length=1)]
    system_v: Class
    current_a: Amperes
    price_cents: Cents


Part = Battery | Motor | Controller | Cable | Fuse | Connector | Charger

FILES: Mapping[str, type[Part]] = {
    "batteries": Battery,
    "motors": Motor,
    "controllers": Controller,
    "cables": Cable,
    "fuses": Fuse,
    "connectors": Connector,
    "chargers": Charger,
}
"""The catalog's files, without ``.csv``, and what a row of each is."""
