"""Random small catalogs of invented parts; prices and masses are coarse, so kits often tie."""

from dataclasses import replace
from random import Random
from typing import Literal

from keelwatt.files.catalog.parts import (
    Battery,
    Cable,
    Charger,
    Chemistry,
    Connector,
    Controller,
    Enclosure,
    Fitting,
    Fuse,
    Motor,
)
from keelwatt.files.catalog.reader import Catalog

KG_AH: dict[Chemistry, float] = {
    "flooded": 0.25,
    "agm": 0.30,
    "gel": 0.31,
    "lfp": 0.12,
    "nmc": 0.10,
}
CENTS_AH: dict[Chemistry, int] = {"flooded": 150, "agm": 250, "gel": 300, "lfp": 500, "nmc": 700}
CELL_V: dict[Chemistry, float] = {
    "flooded": 12.0,
    "agm": 12.0,
    "gel": 12.0,
    "lfp": 12.8,
    "nmc": 11.1,
}


CONTROLS: tuple[Literal["stepped", "chopper"], ...] = ("stepped", "chopper")


def catalog_of(r: Random) -> Catalog:
    """A small catalog; part ids tell the row they were drawn in."""
    batteries = [_battery(r, f"battery-{n}") for n in range(r.choice([2, 3, 4]))]
    if r.random() < 0.3:
        batteries[-1] = batteries[0].model_copy(update={"id": "battery-twin"})
    fuses = [_fuse(r, f"fuse-{n}") for n in range(r.choice([2, 3]))]
    if r.random() < 0.3:
        fuses[-1] = fuses[0].model_copy(update={"id": "fuse-twin"})
    return small_catalog(
        batteries=tuple(batteries),
        motors=tuple(_motor(r, f"motor-{n}") for n in range(r.choice([2, 3]))),
        controllers=tuple(_controller(r, f"controller-{n}") for n in range(r.choice([0, 1, 2]))),
        cables=tuple(_cable(r, f"cable-{n}") for n in range(r.choice([2, 3]))),
        fuses=tuple(fuses),
        connectors=tuple(_connector(r, f"connector-{n}") for n in range(r.choice([1, 2]))),
        chargers=tuple(_charger(r, f"charger-{n}") for n in range(r.choice([0, 1, 2]))),
    )


def small_catalog(
    *,
    batteries: tuple[Battery, ...],
    motors: tuple[Motor, ...],
    controllers: tuple[Controller, ...] = (),
    cables: tuple[Cable, ...],
    fuses: tuple[Fuse, ...],
    connectors: tuple[Connector, ...],
    chargers: tuple[Charger, ...] = (),
    fittings: tuple[Fitting, ...] = (),
) -> Catalog:
    """A catalog that never was a folder."""
    return Catalog(
        batteries=batteries,
        motors=motors,
        controllers=controllers,
        cables=cables,
        fuses=fuses,
        connectors=connectors,
        chargers=chargers,
        fittings=fittings,
        sha256="",
        folder="",
        warnings=(),
        rows={},
    )


def _battery(r: Random, id_: str) -> Battery:
    chemistry = r.choice(list(KG_AH))
    capacity = r.choice([30, 50, 80, 100])
    system = r.choice([12, 12, 12, 24])
    blocks = system // 12
    return Battery(
        id=id_,
        name=id_,
        chemistry=chemistry,
        system_v=system,
        voltage_v=CELL_V[chemistry] * blocks,
        capacity_ah=capacity,
        rated_h=r.choice([5, 20]),
        continuous_a=r.choice([0.6, 1.0, 1.5]) * capacity,
        mass_kg=round(KG_AH[chemistry] * capacity * blocks, 1) + r.choice([0.0, 0.0004, 0.25]),
        length_m=r.choice([0.2, 0.26, 0.33]),
        width_m=0.17,
        height_m=r.choice([0.17, 0.21]),
        upright_only=chemistry == "flooded",
        max_series=r.choice([1, 2]),
        max_parallel=r.choice([1, 2, 3]),
        cycles=r.choice([200, 500, 2000]),
        price_cents=CENTS_AH[chemistry] * capacity * blocks,
        short_circuit_a=r.choice([None, 800.0]),
    )


def _motor(r: Random, id_: str) -> Motor:
    control = r.choice(CONTROLS)
    current = r.choice([16.0, 24.0, 34.0, 44.0])
    system = r.choice([12, 12, 12, 24])
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
        shaft_m=(shaft_m := r.choice([0.61, 0.76])),
        lead_m=0.0 if shaft_m < 0.7 else 0.4,
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


def step_currents(r: Random, current_a: float, steps: int) -> tuple[float, ...] | None:
    """As a maker may print them, evenly apart up to full current; or a blank."""
    if not steps or r.random() < 0.6:
        return None
    lowest = r.choice([0.2, 0.3, 0.4])
    rise = (1.0 - lowest) / (steps - 1)
    return tuple(current_a * (lowest + rise * step) for step in range(steps))


def _controller(r: Random, id_: str) -> Controller:
    return Controller(
        id=id_,
        name=id_,
        min_system_v=12,
        max_system_v=r.choice([12, 24]),
        current_a=r.choice([30.0, 50.0, 60.0]),
        efficiency=r.choice([0.92, 0.95]),
        mass_kg=r.choice([0.4, 4.0]),
        price_cents=r.choice([5000, 8000]),
    )


def _cable(r: Random, id_: str) -> Cable:
    size = r.choice(["10 AWG", "8 AWG", "16 mm2", "4 AWG"])
    return Cable(
        id=id_,
        name=id_,
        size=size,
        insulation_c=r.choice([75, 105]),
        mass_kg_m=r.choice([0.05, 0.1, 0.2]),
        price_cents_m=r.choice([150, 300, 600]),
    )


def _fuse(r: Random, id_: str) -> Fuse:
    return Fuse(
        id=id_,
        name=id_,
        kind=r.choice(["fuse", "breaker"]),
        rating_a=r.choice([33, 45, 60, 66, 66]),
        interrupts_a=r.choice([1500, 4000, 5000, 8000]),
        max_voltage_v=r.choice([14.5, 32, 32, 58]),
        mass_kg=r.choice([0.05, 0.1]),
        price_cents=r.choice([500, 1000]),
    )


def _connector(r: Random, id_: str) -> Connector:
    smallest, largest = r.choice([(14, 6), (12, 4), (8, 2)])
    return Connector(
        id=id_,
        name=id_,
        current_a=r.choice([35.0, 60.0, 60.0]),
        smallest=f"{smallest} AWG",
        largest=f"{largest} AWG",
        mass_kg=0.1,
        price_cents=r.choice([900, 1800]),
    )


def _charger(r: Random, id_: str) -> Charger:
    kinds: list[tuple[Chemistry, ...]] = [("flooded", "agm", "gel"), ("lfp", "nmc"), tuple(KG_AH)]
    return Charger(
        id=id_,
        name=id_,
        chemistries=r.choice(kinds),
        system_v=r.choice([12, 12, 24]),
        current_a=r.choice([5.0, 10.0, 20.0]),
        price_cents=r.choice([4000, 6000]),
    )


def furnished(r: Random, catalog: Catalog) -> Catalog:
    """The catalog with small fuses and fittings, some of them missing."""
    small = [
        _fuse(r, f"small-{n}").model_copy(
            update={"rating_a": r.choice([2, 6, 12, 25]), "max_voltage_v": r.choice([32, 58])}
        )
        for n in range(r.choice([0, 1, 3]))
    ]
    fittings = tuple(_fitting(r, f"fitting-{n}") for n in range(r.choice([0, 4, 12])))
    return replace(catalog, fuses=(*catalog.fuses, *small), fittings=fittings)


def _fitting(r: Random, id_: str) -> Fitting:
    return Fitting(
        id=id_,
        name=id_,
        what=r.choice(["bus bar", "lug", "lug", "converter", "inlet"]),
        mass_kg=r.choice([0.004, 0.06, 0.3]),
        price_cents=r.choice([50, 400, 2500]),
        rating_a=r.choice([None, 15.0, 120.0, 200.0]),
        size=r.choice([None, "6 mm2", "10 mm2", "16 mm2", "25 mm2"]),
        studs=r.choice([4, 6]),
        output_v=r.choice([5.0, 12.0]),
        max_voltage_v=r.choice([16.0, 32.0, 58.0]),
    )


def boxed(r: Random, catalog: Catalog) -> Catalog:
    """The catalog with boxes for batteries and controls, and what holds batteries without."""
    cases = tuple(_box(r, f"case-{n}", "battery") for n in range(r.choice([0, 2, 3])))
    controls = tuple(_box(r, f"control-case-{n}", "control") for n in range(r.choice([0, 2])))
    held = tuple(
        Fitting(
            id=f"{what[:4]}-{n}",
            name=what,
            what=what,
            mass_kg=r.choice([0.01, 0.3, 1.0]),
            price_cents=r.choice([50, 400, 1500]),
        )
        for what in HELD
        for n in range(r.choice([0, 1, 2]))
    )
    return replace(catalog, boxes=(*cases, *controls), fittings=(*catalog.fittings, *held))


HELD: tuple[Literal["hold-down", "terminal cover"], ...] = ("hold-down", "terminal cover")


def _box(r: Random, id_: str, holds: Literal["battery", "control"]) -> Enclosure:
    length_m, width_m, height_m = (
        (r.choice([0.22, 0.28, 0.34]), r.choice([0.17, 0.19]), r.choice([0.18, 0.215]))
        if holds == "battery"
        else (r.choice([0.18, 0.24]), 0.14, r.choice([0.05, 0.09]))
    )
    wall_m = r.choice([0.003, 0.012])
    return Enclosure(
        id=id_,
        name=id_,
        holds=holds,
        inner_length_m=length_m,
        inner_width_m=width_m,
        inner_height_m=height_m,
        outer_length_m=length_m + 2 * wall_m,
        outer_width_m=width_m + 2 * wall_m,
        outer_height_m=height_m + wall_m,
        mass_kg=r.choice([0.02, 0.4, 0.9, 22.0]),
        price_cents=r.choice([100, 800, 1600, 3000]),
    )
