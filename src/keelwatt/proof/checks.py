"""Every limit of an outing, each a small reading of one chosen kit."""

from bisect import bisect_left
from collections.abc import Callable, Container, Iterator
from functools import partial
from math import inf

from keelwatt.files.kit import grams, whole_grams_within
from keelwatt.files.outing import Outing
from keelwatt.limits import LIMITS, Limit, enters
from keelwatt.physics import bank, chopper, protection, stowage
from keelwatt.physics import cable as cable_physics
from keelwatt.proof import balance
from keelwatt.proof.held import Held, row
from keelwatt.proof.model import Chosen
from keelwatt.proof.ways import Way

BARELY_M_S = 1e-6
"""How far a speed just out of reach is said to fall short, at the least."""


READINGS: dict[str, Callable[[Held], float]] = {
    "budget": lambda held: held.totals.price_cents / 100,
    "season": lambda held: held.totals.season_cents / 100,
    "kit_mass": lambda held: held.totals.mass_g / 1000,
}
"""What a kit has of a wish, in the wish's unit; the outing's file sets the bound."""

ROWS: dict[str, Callable[[Held], Iterator[Limit]]] = {}
"""The rows of the limits that find their bound themselves."""

enters(ROWS, "trim", "heel", "turn_heel", "freeboard", "stability")(balance.afloat)
enters(ROWS, "mount_moment")(balance.mount)


def limits(held: Held, names: Container[str] = LIMITS) -> Iterator[Limit]:
    """Every row of the named limits that the outing asks for."""
    for name, reading in READINGS.items():
        bound = LIMITS[name].asked(held.outing.limits)
        if name in names and bound is not None:
            if LIMITS[name].unit == "kg":
                bound = whole_grams_within(bound) / 1000
            yield row(name, bound, reading(held))
    for rows in dict.fromkeys(rows for name, rows in ROWS.items() if name in names):
        yield from (limit for limit in rows(held) if limit.name in names)


@enters(READINGS, "lift")
def _heaviest(held: Held) -> float:
    chosen = held.chosen
    pieces = (chosen.battery, chosen.motor, chosen.controller, chosen.box)
    return grams(max(piece.mass_kg for piece in pieces if piece)) / 1000


@enters(READINGS, "recharge")
def _recharge(held: Held) -> float:
    if (charger := held.chosen.charger) is None:
        return inf
    hours = bank.charging_h(
        chemistry=held.chosen.battery.chemistry,
        charge_ah=held.assessment.usable_ah,
        charger_a=charger.current_a,
    )
    return float(hours)


@enters(ROWS, "hours")
def _hours(held: Held) -> Iterator[Limit]:
    hours = sum(leg.duration_h for leg in held.outing.legs)
    yield row("hours", hours, hours * held.assessment.hours_at_limit)


@enters(ROWS, "leg_speed", "top_speed")
def _speeds(held: Held) -> Iterator[Limit]:
    assessor, displacement_g = held.assessor, held.totals.displacement_g
    asked = [("leg_speed", way) for leg in held.outing.legs if leg.driven for way in Way.of(leg)]
    if (top := held.outing.limits.top_speed_m_s) is not None:
        asked.append(("top_speed", Way(top, 0.0, 0.0)))
    for name, way in asked:
        run = assessor.run(held.kit, held.chosen, displacement_g, way)
        reached, wanted = assessor.speed_reached_m_s(run), way.ground_m_s
        has = max(reached, wanted) if assessor.reaches(run) else min(reached, wanted - BARELY_M_S)
        yield Limit(name, "at least", wanted, has, "m/s")


@enters(ROWS, "payload", "compartment", "compartment_load", "shaft", "bank_size", "parts")
def _loads(held: Held) -> Iterator[Limit]:
    outing, kit, chosen = held.outing, held.kit, held.chosen
    box, unit, motor = chosen.compartment, chosen.battery, chosen.motor
    plate = whole_grams_within(outing.craft.payload_limit_kg - outing.limits.payload_margin_kg)
    yield row("payload", plate / 1000, held.totals.mass_g / 1000 + held.assessor.craft.aboard_kg)
    yield row("compartment", _room(outing, chosen), kit.units)
    if box.max_load_kg is not None:
        bank_g = kit.units * grams(unit.mass_kg) + held.totals.held_g
        yield row("compartment_load", whole_grams_within(box.max_load_kg) / 1000, bank_g / 1000)
    if chosen.mount.shaft_needed_m is not None:
        yield row("shaft", chosen.mount.shaft_needed_m * 1000, motor.shaft_m * 1000)
    yield row("bank_size", unit.max_series, kit.series)
    yield row("bank_size", unit.max_parallel, kit.parallel)
    wanted, used = outing.parts, kit.ids
    missing = sum(id_ not in used for id_ in wanted.require)
    unwanted = sum(id_ in used for id_ in wanted.refuse)
    against = "never" if kit.box else "always"
    yield row("parts", 0, missing + unwanted + (outing.policy.battery_box == against))


def _room(outing: Outing, chosen: Chosen) -> int:
    """How many such batteries fit the compartment, each in its box if they have one."""
    box, (unit_m, upright_only) = chosen.compartment, chosen.unit
    if not stowage.passes_hatch(unit_m=unit_m, opening_m=box.opening_m):
        return 0
    inner_m, size_m = chosen.box and chosen.box.inner_m, chosen.battery.size_m
    if inner_m and not stowage.stands_in(unit_m=size_m, inner_m=inner_m):
        return 0
    block = partial(
        stowage.block,
        unit_m=unit_m,
        upright_only=upright_only,
        room_m=box.size_m,
        clearance_m=outing.policy.clearance_m,
    )
    too_many = 1
    while block(units=too_many):
        too_many *= 2
    return bisect_left(range(1, too_many), True, key=lambda n: block(units=n) is None)


@enters(ROWS, "voltage_match", "bank_current", "controller_rating", "chemistry")
def _currents(held: Held) -> Iterator[Limit]:
    kit, chosen, motor, unit = held.kit, held.chosen, held.chosen.motor, held.chosen.battery
    system_v = kit.series * unit.system_v
    yield row("voltage_match", motor.system_v, system_v)
    full_throttle_a = held.assessor.full_throttle_a(kit, chosen)
    yield row("bank_current", full_throttle_a, kit.parallel * unit.continuous_a)
    if controller := chosen.controller:
        needs = float(protection.smallest_controller_a(max_current_a=held.rated_a))
        yield row("controller_rating", needs, controller.current_a)
        yield row("voltage_match", controller.max_system_v, motor.system_v, "at most")
        yield row("voltage_match", controller.min_system_v, motor.system_v, "at least")
        if motor.control == "chopper":
            yield Limit("controller_rating", "at most", 0, 1, "")
    if charger := chosen.charger:
        yield row("chemistry", 1, float(unit.chemistry in charger.chemistries))
        yield row("voltage_match", system_v, charger.system_v)


@enters(ROWS, "control_heat")
def _control(held: Held) -> Iterator[Limit]:
    """On the hardest leg, once a closed box is as warm as it gets."""
    box, controller = held.outing.craft.control_box, held.chosen.controller
    if box and controller:
        rise = chopper.box_rise_k(
            power_w=held.assessment.hardest_w(held.chosen.battery),
            efficiency=controller.efficiency,
            area_m2=chopper.box_area_m2(
                length_m=box.length_m, width_m=box.width_m, height_m=box.height_m
            ),
        )
        place_c = held.outing.policy.place_temperature_c
        yield row("control_heat", controller.max_temperature_c, place_c + float(rise))


@enters(ROWS, "voltage_drop", "ampacity", "conductor")
def _cable(held: Held) -> Iterator[Limit]:
    policy, motor, cable = held.outing.policy, held.chosen.motor, held.chosen.cable
    drop = motor.current_a * held.assessor.circuit_ohm(held.kit, held.chosen)
    yield row("voltage_drop", held.outing.limits.voltage_drop * motor.system_v, drop)
    ampacity = cable_physics.ampacity_a(
        area_mm2=cable.area_mm2,
        insulation_c=cable.insulation_c,
        place_temperature_c=policy.place_temperature_c,
    )
    largest = protection.largest_fuse_at_a(
        ampacity_a=ampacity, over_ampacity=policy.fuse_over_ampacity, bank_voltage_v=held.charging_v
    )
    yield row("ampacity", held.chosen.fuse.rating_a, float(largest))
    yield row("ampacity", max(held.rated_a, held.string_a), float(ampacity))
    yield row("conductor", protection.SMALLEST_CONDUCTOR_MM2, cable.area_mm2)


@enters(ROWS, "protection", "fuse_voltage", "interrupting", "connector_rating", "connector_size")
def _fuse_and_plug(held: Held) -> Iterator[Limit]:
    kit, chosen = held.kit, held.chosen
    unit, fuse, plug = chosen.battery, chosen.fuse, chosen.connector
    most_a = max(held.rated_a, held.string_a) if kit.parallel > 1 else held.rated_a
    smallest = float(protection.smallest_fuse_a(max_current_a=most_a))
    yield row("protection", smallest, fuse.rating_a)
    yield row("fuse_voltage", held.charging_v, fuse.max_voltage_v)
    yield row("interrupting", kit.parallel * unit.string_short_circuit_a, fuse.interrupts_a)
    yield row("connector_rating", held.rated_a, plug.current_a)
    yield row("connector_size", plug.largest_mm2, chosen.cable.area_mm2)
    yield row("connector_size", plug.smallest_mm2, chosen.cable.area_mm2, "at least")
