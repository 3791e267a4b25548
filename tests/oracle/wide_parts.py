"""Random shelves of what small cases leave out: every system voltage, and parts at odds.

Banks below and above a motor's nominal voltage, controllers heavier than motors, fuses rated below,
at and above the banks' voltages, compartments that bear so much and no more. All invented.
"""

from random import Random
from typing import Any, Literal

from keelwatt.files.catalog.parts import Battery, Chemistry, Controller, Fuse, Motor
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing
from oracle.random_parts import (
    CENTS_AH,
    CONTROLS,
    KG_AH,
    catalog_of,
    small_catalog,
    step_currents,
)

SYSTEMS = (12, 24, 36, 48)

BLOCK_V: dict[Chemistry, tuple[float, ...]] = {
    "flooded": (12.0,),
    "agm": (12.0,),
    "gel": (12.0,),
    "lfp": (12.8, 12.8, 9.6),
    "nmc": (11.1, 14.8, 11.7),
}
"""Nominal voltages of what is sold for 12 V; three to five cells of lithium in series."""

FUSE_V = (11.0, 14.0, 25.6, 32.0, 48.0, 51.2, 58.0, 58.0, 80.0, 80.0)


def wide_catalog_of(r: Random) -> Catalog:
    """A small catalog about one or two system voltages."""
    system = r.choice(SYSTEMS)
    other = r.choice([system, r.choice(SYSTEMS)])
    rest = catalog_of(r)
    chargers = tuple(
        charger.model_copy(update={"system_v": r.choice([system, other])})
        for charger in rest.chargers
    )
    return small_catalog(
        batteries=tuple(
            _battery(r, f"battery-{n}", r.choice([system, system, other]))
            for n in range(r.choice([2, 3, 4]))
        ),
        motors=tuple(
            _motor(r, f"motor-{n}", system if n == 0 else other) for n in range(r.choice([1, 2]))
        ),
        controllers=tuple(
            _controller(r, f"controller-{n}", system) for n in range(r.choice([0, 1, 2]))
        ),
        cables=rest.cables,
        fuses=tuple(_fuse(r, f"fuse-{n}") for n in range(r.choice([2, 3, 4]))),
        connectors=rest.connectors,
        chargers=chargers,
    )


def load_limits(r: Random, outing: Outing, catalog: Catalog) -> Outing:
    """The outing whose compartments bear, half of them, just some bank, or a gram less."""
    boxes = []
    for box in outing.craft.compartments:
        battery = r.choice(catalog.batteries)
        bank_kg = battery.mass_kg * r.randint(1, battery.max_series * battery.max_parallel)
        most = r.choice([box.max_load_kg, box.max_load_kg, bank_kg, bank_kg - 0.001])
        boxes.append(box.model_copy(update={"max_load_kg": most}))
    craft: dict[str, Any] = {"compartments": tuple(boxes)}
    return outing.model_copy(update={"craft": outing.craft.model_copy(update=craft)})


def _battery(r: Random, id_: str, wanted_v: int) -> Battery:
    """A battery of which one or more in series serve a system voltage."""
    chemistry = r.choice(list(KG_AH))
    system = r.choice([v for v in SYSTEMS if wanted_v % v == 0])
    blocks = system // 12
    capacity = r.choice([30, 50, 80, 100]) // (1 if blocks == 1 else 2)
    return Battery(
        id=id_,
        name=id_,
        chemistry=chemistry,
        system_v=system,
        voltage_v=r.choice(BLOCK_V[chemistry]) * blocks,
        capacity_ah=capacity,
        rated_h=r.choice([5, 20]),
        continuous_a=r.choice([0.6, 1.0, 1.5]) * capacity,
        mass_kg=round(KG_AH[chemistry] * capacity * blocks, 1) + r.choice([0.0, 0.0004, 0.25]),
        length_m=r.choice([0.13, 0.2, 0.26]),
        width_m=r.choice([0.1, 0.17]),
        height_m=r.choice([0.17, 0.21]),
        upright_only=chemistry == "flooded",
        max_series=max(r.choice([1, 2, 4]), wanted_v // system),
        max_parallel=r.choice([1, 2, 3]),
        cycles=r.choice([60, 200, 2000]),
        price_cents=CENTS_AH[chemistry] * capacity * blocks,
        short_circuit_a=r.choice([None, 800.0]),
        calendar_years=r.choice([3.0, 10.0]),
    )


def _motor(r: Random, id_: str, system: int) -> Motor:
    control: Literal["stepped", "chopper"] = r.choice(CONTROLS)
    current = r.choice([14.0, 17.0, 26.0, 34.0])
    steps = r.choice([3, 5]) if control == "stepped" else 0
    return Motor(
        id=id_,
        name=id_,
        system_v=system,
        thrust_n=r.choice([4.2, 5.2]) * current * (system / 12) ** 0.67,
        current_a=current,
        control=control,
        steps=steps,
        propeller_m=0.25,
        shaft_m=r.choice([0.61, 0.76]),
        no_load_a=r.choice([0.5, 0.04 * current]),
        no_thrust_speed_m_s=r.choice([None, 2.2, 2.5, 3.5]),
        thrust_is=r.choice(["claimed", "measured"]),
        winding=r.choice([0.0, 0.15, 0.2, 0.25]),
        step_currents_a=step_currents(r, current, steps),
        tube_m=r.choice([0.025, 0.028, 0.035]),
        pod_m=r.choice([0.08, 0.09, 0.1]),
        mass_kg=r.choice([4.5, 6.0, 8.0]),
        price_cents=r.choice([10000, 15000, 20000]),
    )


def _controller(r: Random, id_: str, system: int) -> Controller:
    return Controller(
        id=id_,
        name=id_,
        min_system_v=r.choice([12, 24, system]),
        max_system_v=r.choice([24, 48, 48]),
        current_a=r.choice([37.5, 50.0, 75.0, 100.0]),
        efficiency=r.choice([0.92, 0.95]),
        mass_kg=r.choice([5.0, 7.0, 9.5]),
        price_cents=r.choice([3000, 8000]),
    )


def _fuse(r: Random, id_: str) -> Fuse:
    return Fuse(
        id=id_,
        name=id_,
        kind=r.choice(["fuse", "breaker"]),
        rating_a=r.choice([22, 33, 40, 55, 60]),
        interrupts_a=r.choice([1000, 2500, 5000, 5000]),
        max_voltage_v=r.choice(FUSE_V),
        mass_kg=r.choice([0.05, 0.1]),
        price_cents=r.choice([500, 1000]),
    )
