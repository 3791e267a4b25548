"""Every limit of an outing, each a small reading of one chosen kit."""

from bisect import bisect_left
from collections.abc import Callable, Container, Iterator
from dataclasses import dataclass, replace
from math import atan2, degrees, inf, radians
from typing import TYPE_CHECKING

from keelwatt.files.kit import Kit, grams, whole_grams_within
from keelwatt.files.outing import Outing, Place
from keelwatt.limits import LIMITS, Limit, Sense, enters
from keelwatt.physics import bank, chopper, forces, hull, protection, stowage
from keelwatt.physics import cable as cable_physics
from keelwatt.proof.craft import Craft
from keelwatt.proof.model import Assessment, Chosen, Totals
from keelwatt.proof.ways import Way

if TYPE_CHECKING:
    from keelwatt.proof.assess import Assessor

BARELY_M_S = 1e-6
"""How far a speed just out of reach is said to fall short, at the least."""


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


READINGS: dict[str, Callable[[Held], float]] = {
    "budget": lambda held: held.totals.price_cents / 100,
    "season": lambda held: held.totals.season_cents / 100,
    "kit_mass": lambda held: held.totals.mass_g / 1000,
}
"""What a kit has of a wish, in the wish's unit; the outing's file sets the bound."""

ROWS: dict[str, Callable[[Held], Iterator[Limit]]] = {}
"""The rows of the limits that find their bound themselves."""


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


def row(name: str, needs: float, has: float, sense: Sense | None = None) -> Limit:
    """In the limit's declared unit and, unless said, sense."""
    declared = LIMITS[name]
    return Limit(name, sense or declared.sense, needs, has, declared.unit)


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


@enters(ROWS, "trim", "heel", "turn_heel", "freeboard", "stability")
def _balance(held: Held) -> Iterator[Limit]:
    """Trim, heel, freeboard. Wiring, at the worse end, and controller never right the boat.
    The centre of buoyancy is taken where it is without the kit: it only rises with load."""
    craft, chosen, totals = held.assessor.craft, held.chosen, held.totals
    outing, hull_ = held.outing, held.outing.craft
    bank_g = held.kit.units * grams(chosen.battery.mass_kg)
    bank_kg = (bank_g + totals.held_g + totals.beside_bank_g) / 1000
    motor_kg = grams(chosen.motor.mass_kg) / 1000
    controller_kg = chosen.controller_g / 1000
    wiring_kg = totals.mass_g / 1000 - bank_kg - motor_kg - controller_kg
    box, mount, at = chosen.compartment, chosen.mount, hull_.controller_at or chosen.mount
    stops = (box, mount, at) if chosen.controller else (box, mount)
    kb = float(
        hull.buoyancy_height_m(draft_m=craft.draft_m(craft.bare_g / 1000), fullness=hull_.fullness)
    )
    keel = Place(x_m=0.0, y_m=0.0, z_m=hull_.hull_height_m)
    placed: list[tuple[float, Place]] = [
        (hull_.hull_mass_kg, keel),
        *((load.mass_kg, load) for load in outing.aboard),
        (bank_kg, box),
        (motor_kg, mount),
    ]
    trim = abs(sum(kg * place.x_m for kg, place in placed))
    trim += wiring_kg * max(abs(stop.x_m) for stop in stops) + controller_kg * abs(at.x_m)
    heel = abs(sum(kg * place.y_m for kg, place in placed))
    heel += wiring_kg * max(abs(stop.y_m) for stop in stops) + controller_kg * abs(at.y_m)
    rising = sum(kg * (place.z_m - kb) for kg, place in placed)
    rising += wiring_kg * max(0.0, max(stop.z_m for stop in stops) - kb)
    rising += controller_kg * max(0.0, at.z_m - kb)
    length_m, beam_m = hull_.waterline_length_m, hull_.waterline_beam_m
    p = hull_.waterplane_fineness
    lengthwise = hull.waterplane_longitudinal_m4(length_m=length_m, beam_m=beam_m, fineness=p)
    sideways = hull.waterplane_transverse_m4(length_m=length_m, beam_m=beam_m, fineness=p)
    stiffness = craft.density_kg_m3 * float(sideways) - rising
    trimmed = degrees(atan2(trim, craft.density_kg_m3 * float(lengthwise)))
    yield row("trim", degrees(outing.limits.max_trim_rad), trimmed)
    heeled = degrees(atan2(heel, stiffness)) if stiffness > 0.0 else 90.0
    yield row("heel", degrees(outing.limits.max_heel_rad), heeled)
    yield row("turn_heel", degrees(outing.limits.turn_heel_rad), _turned_deg(held, stiffness))
    yield row("stability", 0.0, stiffness / totals.displacement_kg)
    if hull_.depth_m is not None:
        yield row("freeboard", 0.0, _edge_m(held, hull_.depth_m, stiffness))


def _edge_m(held: Held, depth_m: float, stiffness_kg_m: float) -> float:
    """Freeboard of the heaviest boat the plate allows, at its lower edge, the motor across.
    At full throttle, a claimed thrust taken whole, whatever speeds are wished for."""
    hull_ = held.outing.craft
    turned_deg = _lean_deg(held, held.chosen.motor.thrust_n, stiffness_kg_m)
    draft_m = held.assessor.craft.draft_m(hull_.hull_mass_kg + hull_.payload_limit_kg)
    freeboard_m = forces.freeboard_m(depth_m=depth_m, draft_m=draft_m)
    beam_m = hull_.waterline_beam_m
    if turned_deg >= 90.0:
        return -beam_m / 2
    edge_m = forces.heeled_edge_m(
        freeboard_m=freeboard_m, beam_m=beam_m, heel_rad=radians(turned_deg)
    )
    return float(edge_m)


def _no_faster(way: Way, craft: Craft, kilograms: float) -> Way:
    """The way at a speed that its depth allows: another limit tells of the rest."""
    beyond_m_s = way.through_m_s - craft.shallow_limit_m_s(kilograms, way.depth_m)
    return replace(way, ground_m_s=way.ground_m_s - max(0.0, beyond_m_s))


def _turned_deg(held: Held, stiffness_kg_m: float) -> float:
    """Heel with the motor across, giving what the hardest leg or the top speed takes. In the
    heaviest boat the plate allows (safe side); the hull's side force acts at half its draft."""
    outing, chosen = held.outing, held.chosen
    heaviest_kg = outing.craft.hull_mass_kg + outing.craft.payload_limit_kg
    ways = [way for leg in outing.legs if leg.driven for way in Way.of(leg)]
    ways = [_no_faster(way, held.assessor.craft, heaviest_kg) for way in ways]
    ways.append(Way(outing.limits.top_speed_m_s or 0.0, 0.0, 0.0))
    runs = (held.assessor.run(held.kit, chosen, round(1000 * heaviest_kg), way) for way in ways)
    return _lean_deg(held, max(run.thrust_n / run.way.back for run in runs), stiffness_kg_m)


def _lean_deg(held: Held, thrust_n: float, stiffness_kg_m: float) -> float:
    """Heel by a thrust across, of the boat loaded to its plate."""
    craft, chosen = held.outing.craft, held.chosen
    heaviest_kg = craft.hull_mass_kg + craft.payload_limit_kg
    axis_m = chosen.mount.z_m - chosen.motor.shaft_m
    arm_m = max(0.0, held.assessor.craft.draft_m(heaviest_kg) / 2 - axis_m)
    if not chosen.mount.turns or not thrust_n * arm_m:
        return 0.0
    if stiffness_kg_m <= 0.0:
        return 90.0
    lean = forces.turning_heel_rad(thrust_n=thrust_n, arm_m=arm_m, stiffness_kg_m=stiffness_kg_m)
    return degrees(float(lean))


@enters(ROWS, "mount_moment")
def _mount(held: Held) -> Iterator[Limit]:
    if (holds := held.chosen.mount.holds_n_m) is not None:
        thrust_n = held.assessor.strongest_n(held.kit, held.chosen)
        shaft_m = held.chosen.motor.shaft_m
        moment = forces.mount_moment_n_m(thrust_n=thrust_n, shaft_m=shaft_m)
        yield row("mount_moment", holds, float(moment))


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

    def fits(units: int) -> bool:
        return (
            stowage.block(
                units=units,
                unit_m=unit_m,
                upright_only=upright_only,
                room_m=(box.length_m, box.width_m, box.height_m),
                clearance_m=outing.policy.clearance_m,
            )
            is not None
        )

    if not stowage.passes_hatch(unit_m=unit_m, opening_m=box.opening_m):
        return 0
    inner_m, size_m = chosen.box and chosen.box.inner_m, chosen.battery.size_m
    if inner_m and not stowage.stands_in(unit_m=size_m, inner_m=inner_m):
        return 0
    too_many = 1
    while fits(too_many):
        too_many *= 2
    return bisect_left(range(1, too_many), True, key=lambda n: not fits(n))


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
    of_string_a = held.string_a if kit.parallel > 1 else 0.0
    smallest = float(protection.smallest_fuse_a(max_current_a=max(held.rated_a, of_string_a)))
    yield row("protection", smallest, fuse.rating_a)
    yield row("fuse_voltage", held.charging_v, fuse.max_voltage_v)
    yield row("interrupting", kit.parallel * unit.string_short_circuit_a, fuse.interrupts_a)
    yield row("connector_rating", held.rated_a, plug.current_a)
    yield row("connector_size", plug.largest_mm2, chosen.cable.area_mm2)
    yield row("connector_size", plug.smallest_mm2, chosen.cable.area_mm2, "at least")
