"""One part of each kind and a plain outing, both invented, with numbers easy to reckon with.

Air pushes back with as many newtons as the square of the wind in m/s (``WIND_AREA_M2``), and the
only leg holds station, so the water adds nothing: thrust is the wind squared, and the shaft turns
at the square root of thrust over 100 N. The motor loses no voltage in its winding, so that ratio is
the share of its 12 V that it needs; its tube and pod are as thin as a hair. On its bank of 12 V,
5 % of which the cable may lose, its steps turn the shaft at 0.2, 0.4, 0.6, 0.8 and 0.95: they pull
4, 16, 36, 64 and 90.25 N and draw 1 + 20 r^2 = 1.8, 4.2, 8.2, 13.8 and 19.05 A.
"""

from dataclasses import replace
from math import sqrt
from typing import Any

from keelwatt.files.catalog.parts import (
    Battery,
    Cable,
    Charger,
    Connector,
    Controller,
    Enclosure,
    Fitting,
    Fuse,
    Motor,
)
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import (
    Compartment,
    Craft,
    Leg,
    Limits,
    Load,
    Mount,
    Outing,
    Policy,
    Water,
)
from oracle.random_parts import small_catalog

WIND_AREA_M2 = 1.0 / (0.5 * 1.225)
HAIR_M = 1e-9


def tethered_a(shaft_ratio: float) -> float:
    """Current of a step at 12 V that turns the shaft so fast at 11.4 V.

    Its resistance leaves 12 r V to the motor, R = (11.4 - 12 r) / (1 + 20 r^2); at 12 V
    12 x + R (1 + 20 x^2) = 12.
    """
    ohm = (11.4 - 12.0 * shaft_ratio) / (1.0 + 20.0 * shaft_ratio**2)
    turned = 2.0 * (12.0 - ohm) / (12.0 + sqrt(144.0 + 80.0 * ohm * (12.0 - ohm)))
    return 1.0 + 20.0 * turned**2


BATTERY = Battery(
    id="battery",
    name="100 Ah",
    chemistry="agm",
    system_v=12,
    voltage_v=12.0,
    capacity_ah=100.0,
    rated_h=20.0,
    continuous_a=60.0,
    mass_kg=20.0,
    length_m=0.30,
    width_m=0.17,
    height_m=0.20,
    upright_only=True,
    max_series=1,
    max_parallel=1,
    cycles=100,
    price_cents=20000,
    peukert=1.5,
    short_circuit_a=2000.0,
    calendar_years=5.0,
)
MOTOR = Motor(
    id="motor",
    name="100 N in five steps",
    system_v=12,
    thrust_n=100.0,
    current_a=21.0,
    control="stepped",
    steps=5,
    propeller_m=0.25,
    shaft_m=0.76,
    mass_kg=5.0,
    price_cents=10000,
    no_load_a=1.0,
    no_thrust_speed_m_s=3.0,
    thrust_is="measured",
    winding=0.0,
    step_currents_a=(*(tethered_a(ratio) for ratio in (0.2, 0.4, 0.6, 0.8)), 21.0),
    tube_m=HAIR_M,
    pod_m=HAIR_M,
    lead_m=0.0,
)
CONTROLLER = Controller(
    id="controller",
    name="30 A",
    min_system_v=12,
    max_system_v=24,
    current_a=30.0,
    efficiency=0.9,
    mass_kg=0.5,
    price_cents=5000,
)
CABLE = Cable(
    id="cable",
    name="8 AWG",
    size="8 AWG",
    insulation_c=105,
    mass_kg_m=0.1,
    price_cents_m=250,
)
FUSE = Fuse(
    id="fuse",
    name="40 A",
    kind="fuse",
    rating_a=40,
    interrupts_a=5000,
    max_voltage_v=32,
    mass_kg=0.1,
    price_cents=1000,
)
CONNECTOR = Connector(
    id="connector",
    name="50 A",
    current_a=50.0,
    smallest="10 AWG",
    largest="6 AWG",
    mass_kg=0.1,
    price_cents=1500,
)
CHARGER = Charger(
    id="charger",
    name="8 A",
    chemistries=("flooded", "agm", "gel"),
    system_v=12,
    current_a=8.0,
    price_cents=6000,
)

LIGHT: dict[str, Any] = {"mass_kg": 1e-4, "price_cents": 0}
FITTINGS = (
    *(
        Fitting(id=f"lug-{mm2}", name="lug", what="lug", size=f"{mm2} mm2", **LIGHT)
        for mm2 in (10, 18)
    ),
    Fitting(id="strap", name="strap", what="hold-down", **LIGHT),
    Fitting(id="cover", name="cover", what="terminal cover", **LIGHT),
)
"""Fittings that cost nothing and weigh less than a gram, so that sums stay easy."""

BOX = Enclosure(
    id="box",
    name="Box",
    holds="battery",
    inner_length_m=0.35,
    inner_width_m=0.21,
    inner_height_m=0.245,
    outer_length_m=0.356,
    outer_width_m=0.216,
    outer_height_m=0.251,
    mass_kg=1.0,
    price_cents=1200,
    outlets=1,
)
"""The battery's, in no catalog here."""

CATALOG = small_catalog(
    batteries=(BATTERY,),
    motors=(MOTOR,),
    controllers=(CONTROLLER,),
    cables=(CABLE,),
    fuses=(FUSE,),
    connectors=(CONNECTOR,),
    chargers=(CHARGER,),
    fittings=FITTINGS,
)

OUTING = Outing(
    title="holding in the wind",
    currency="USD",
    water=Water(kind="fresh", temperature_c=25.0),
    craft=Craft(
        fineness=2,
        fullness=2,
        waterplane_fineness=2,
        drag_factor=1.3,
        waterline_length_m=4.0,
        waterline_beam_m=0.9,
        hull_mass_kg=30.0,
        hull_height_m=0.15,
        payload_limit_kg=200.0,
        wind_area_m2=WIND_AREA_M2,
        compartments=(
            Compartment(
                name="stern", length_m=0.5, width_m=0.4, height_m=0.3, x_m=-1.0, y_m=0.1, z_m=0.1
            ),
        ),
        mounts=(Mount(name="transom", x_m=-2.0, y_m=0.0, z_m=0.4),),
        cable_run_m={("stern", "transom"): 2.0},
    ),
    aboard=(Load(name="paddler", mass_kg=80.0, x_m=0.0, y_m=0.0, z_m=0.3),),
    legs=(Leg(name="hold", speed_m_s=0.0, duration_h=5.0, headwind_m_s=4.0),),
    limits=Limits(reserve=0.2, voltage_drop=0.05),
    policy=Policy(health=1.0, typical_prices=False),
)

KIT = Kit(
    battery="battery",
    series=1,
    parallel=1,
    compartment="stern",
    motor="motor",
    mount="transom",
    controller=None,
    cable="cable",
    run_m=2.0,
    fuse="fuse",
    connector="connector",
    charger=None,
)


def with_part(kind: str, **update: Any) -> Catalog:
    """The catalog with its one part of a kind changed."""
    (part,) = CATALOG.kinds()[kind]
    changed: dict[str, Any] = {kind: (part.model_copy(update=update),)}
    return replace(CATALOG, **changed)


def with_craft(**update: Any) -> Outing:
    return OUTING.model_copy(update={"craft": OUTING.craft.model_copy(update=update)})


def with_limits(**update: Any) -> Outing:
    return OUTING.model_copy(update={"limits": OUTING.limits.model_copy(update=update)})


def with_policy(**update: Any) -> Outing:
    return OUTING.model_copy(update={"policy": OUTING.policy.model_copy(update=update)})


def with_leg(**update: Any) -> Outing:
    return OUTING.model_copy(update={"legs": (OUTING.legs[0].model_copy(update=update),)})
