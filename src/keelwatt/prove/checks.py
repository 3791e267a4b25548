"""Every limit of an outing, each a small reading of one chosen kit."""

from collections.abc import Iterator
from math import atan2, degrees, inf
from typing import Any, Protocol

from keelwatt.files.kit import Kit, grams, whole_grams_within
from keelwatt.files.outing import Outing, Place
from keelwatt.limits import Limit
from keelwatt.physics import cable as cable_physics
from keelwatt.physics import hull, protection, stowage
from keelwatt.physics.battery import LEAD_ACID
from keelwatt.prove.craft import Craft
from keelwatt.prove.model import Assessment, Chosen, Totals

LEAD_ACID_IN, LITHIUM_IN = 1.2, 1.05
"""Ampere-hours put in for each taken out. Common practice."""

BARELY_M_S = 1e-6
"""How far a speed just out of reach is said to fall short, at the least."""


class Driver(Protocol):
    """What ``speeds`` asks of an assessor."""

    outing: Outing

    def reaches(
        self, kit: Kit, chosen: Chosen, shaft_ratio: float, water_speed_m_s: float
    ) -> Any: ...

    def top_ratio(self, chosen: Chosen, totals: Totals) -> float: ...

    def speed_reached_m_s(
        self,
        kit: Kit,
        chosen: Chosen,
        displacement_g: int,
        *,
        headwind_m_s: float,
        current_m_s: float,
    ) -> float: ...


def wishes(outing: Outing, chosen: Chosen, assessment: Assessment) -> Iterator[Limit]:
    limits, totals = outing.limits, assessment.totals
    if limits.budget_cents is not None:
        yield Limit(
            "budget", "at most", limits.budget_cents / 100, totals.price_cents / 100, "money"
        )
    if limits.season_cents is not None:
        yield Limit(
            "season", "at most", limits.season_cents / 100, totals.season_cents / 100, "money"
        )
    if limits.kit_mass_kg is not None:
        bound = whole_grams_within(limits.kit_mass_kg) / 1000
        yield Limit("kit_mass", "at most", bound, totals.mass_g / 1000, "kg")
    if limits.lift_kg is not None:
        pieces = [chosen.battery.mass_kg, chosen.motor.mass_kg]
        if chosen.controller:
            pieces.append(chosen.controller.mass_kg)
        heaviest = grams(max(pieces)) / 1000
        yield Limit("lift", "at most", whole_grams_within(limits.lift_kg) / 1000, heaviest, "kg")
    hours = sum(leg.duration_h for leg in outing.legs)
    yield Limit("hours", "at least", hours, hours * assessment.hours_at_limit, "h")
    if limits.recharge_within_h is not None:
        into = LEAD_ACID_IN if chosen.battery.chemistry in LEAD_ACID else LITHIUM_IN
        needed_ah = assessment.usable_ah * into
        has = needed_ah / chosen.charger.current_a if chosen.charger else inf
        yield Limit("recharge", "at most", limits.recharge_within_h, has, "h")


def speeds(driver: Driver, chosen: Chosen, assessment: Assessment) -> Iterator[Limit]:
    outing, kit, totals = driver.outing, assessment.kit, assessment.totals

    def limit(
        name: str, wanted: float, ratio: float, headwind_m_s: float, current_m_s: float
    ) -> Limit:
        reached = driver.speed_reached_m_s(
            kit,
            chosen,
            totals.displacement_g,
            headwind_m_s=headwind_m_s,
            current_m_s=current_m_s,
        )
        if driver.reaches(kit, chosen, ratio, max(0.0, wanted + current_m_s)):
            return Limit(name, "at least", wanted, max(reached, wanted), "m/s")
        return Limit(name, "at least", wanted, min(reached, wanted - BARELY_M_S), "m/s")

    for leg, result in zip(outing.legs, assessment.legs, strict=True):
        yield limit(
            "leg_speed", leg.speed_m_s, result.shaft_ratio, leg.headwind_m_s, leg.current_m_s
        )
    if (top := outing.limits.top_speed_m_s) is not None:
        yield limit("top_speed", top, driver.top_ratio(chosen, totals), 0.0, 0.0)


def balance(craft: Craft, chosen: Chosen, kit: Kit, totals: Totals) -> Iterator[Limit]:
    """Trim and heel. Wiring, at the worse end of its run, and controller never right the boat.

    The centre of buoyancy is taken where it is without the kit: it only rises with load.
    """
    outing, hull_ = craft.outing, craft.outing.craft
    bank_kg = kit.units * grams(chosen.battery.mass_kg) / 1000
    motor_kg = grams(chosen.motor.mass_kg) / 1000
    controller_kg = grams(chosen.controller.mass_kg) / 1000 if chosen.controller else 0.0
    wiring_kg = totals.mass_g / 1000 - bank_kg - motor_kg - controller_kg
    box, mount, at = chosen.compartment, chosen.mount, craft.controller_place(chosen.mount)
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
    trim += wiring_kg * max(abs(box.x_m), abs(mount.x_m)) + controller_kg * abs(at.x_m)
    heel = abs(sum(kg * place.y_m for kg, place in placed))
    heel += wiring_kg * max(abs(box.y_m), abs(mount.y_m)) + controller_kg * abs(at.y_m)
    rising = sum(kg * (place.z_m - kb) for kg, place in placed)
    rising += wiring_kg * max(0.0, max(box.z_m, mount.z_m) - kb)
    rising += controller_kg * max(0.0, at.z_m - kb)
    length_m, beam_m, p = hull_.waterline_length_m, hull_.waterline_beam_m, hull_.fineness
    lengthwise = hull.waterplane_longitudinal_m4(length_m=length_m, beam_m=beam_m, fineness=p)
    sideways = hull.waterplane_transverse_m4(length_m=length_m, beam_m=beam_m, fineness=p)
    stiffness = craft.density_kg_m3 * float(sideways) - rising
    trimmed = degrees(atan2(trim, craft.density_kg_m3 * float(lengthwise)))
    yield Limit("trim", "at most", degrees(outing.limits.max_trim_rad), trimmed, "deg")
    heeled = degrees(atan2(heel, stiffness)) if stiffness > 0.0 else 90.0
    yield Limit("heel", "at most", degrees(outing.limits.max_heel_rad), heeled, "deg")
    yield Limit("stability", "at least", 0.0, stiffness / totals.displacement_kg, "m")


def loads(craft: Craft, chosen: Chosen, kit: Kit, totals: Totals) -> Iterator[Limit]:
    """Plate, compartment, mount, bank size and the parts asked for or refused."""
    outing, box, unit = craft.outing, chosen.compartment, chosen.battery
    plate = whole_grams_within(outing.craft.payload_limit_kg - outing.limits.payload_margin_kg)
    aboard = totals.mass_g / 1000 + craft.aboard_kg
    yield Limit("payload", "at most", plate / 1000, aboard, "kg")
    yield _packing(outing, chosen, kit)
    if box.max_load_kg is not None:
        bank_kg = kit.units * grams(unit.mass_kg) / 1000
        bound = whole_grams_within(box.max_load_kg) / 1000
        yield Limit("compartment_load", "at most", bound, bank_kg, "kg")
    if chosen.mount.shaft_needed_m is not None:
        yield Limit(
            "shaft",
            "at least",
            chosen.mount.shaft_needed_m * 1000,
            chosen.motor.shaft_m * 1000,
            "mm",
        )
    yield Limit("bank_size", "at most", unit.max_series, kit.series, "")
    yield Limit("bank_size", "at most", unit.max_parallel, kit.parallel, "")
    wanted, used = outing.parts, kit.ids
    missing = sum(id_ not in used for id_ in wanted.require)
    unwanted = sum(id_ in used for id_ in wanted.refuse)
    yield Limit("parts", "equal", 0, missing + unwanted, "")


def _packing(outing: Outing, chosen: Chosen, kit: Kit) -> Limit:
    """How many such batteries fit the compartment, against how many the bank has."""
    box, unit = chosen.compartment, chosen.battery
    unit_m = (unit.length_m, unit.width_m, unit.height_m)

    def fits(units: int) -> bool:
        return (
            stowage.block(
                units=units,
                unit_m=unit_m,
                upright_only=unit.upright_only,
                room_m=(box.length_m, box.width_m, box.height_m),
                clearance_m=outing.policy.clearance_m,
            )
            is not None
        )

    room = 0
    if stowage.passes_hatch(unit_m=unit_m, opening_m=box.opening_m):
        room = next((n - 1 for n in range(1, kit.units + 2) if not fits(n)), kit.units + 1)
    return Limit("compartment", "at most", room, kit.units, "")


def wiring(outing: Outing, chosen: Chosen, kit: Kit, full_throttle_a: float) -> Iterator[Limit]:
    """Voltages, currents, cable, fuse, connector, controller and charger."""
    policy, limits = outing.policy, outing.limits
    motor, unit, cable, fuse = chosen.motor, chosen.battery, chosen.cable, chosen.fuse
    system_v = kit.series * unit.system_v
    yield Limit("voltage_match", "equal", motor.system_v, system_v, "V")
    yield Limit("bank_current", "at least", full_throttle_a, kit.parallel * unit.continuous_a, "A")
    drop = cable_physics.voltage_drop_v(
        run_m=kit.run_m, area_mm2=cable.area_mm2, current_a=motor.current_a
    )
    yield Limit("voltage_drop", "at most", limits.voltage_drop * motor.system_v, float(drop), "V")
    ampacity = cable_physics.ampacity_a(
        area_mm2=cable.area_mm2,
        insulation_c=cable.insulation_c,
        place_temperature_c=policy.place_temperature_c,
    )
    largest = protection.largest_fuse_a(
        ampacity_a=ampacity, over_ampacity=policy.fuse_over_ampacity
    )
    yield Limit("ampacity", "at least", fuse.rating_a, float(largest), "A")
    yield Limit("conductor", "at least", protection.SMALLEST_CONDUCTOR_MM2, cable.area_mm2, "mm2")
    smallest = float(protection.smallest_fuse_a(max_current_a=motor.current_a))
    yield Limit("protection", "at least", smallest, fuse.rating_a, "A")
    yield Limit("fuse_voltage", "at least", kit.series * unit.voltage_v, fuse.max_voltage_v, "V")
    yield Limit(
        "interrupting",
        "at least",
        kit.parallel * unit.string_short_circuit_a,
        fuse.interrupts_a,
        "A",
    )
    plug = chosen.connector
    yield Limit("connector_rating", "at least", motor.current_a, plug.current_a, "A")
    yield Limit("connector_size", "at most", plug.largest_mm2, cable.area_mm2, "mm2")
    yield Limit("connector_size", "at least", plug.smallest_mm2, cable.area_mm2, "mm2")
    if controller := chosen.controller:
        needs = float(protection.smallest_controller_a(max_current_a=motor.current_a))
        yield Limit("controller_rating", "at least", needs, controller.current_a, "A")
        yield Limit("voltage_match", "at most", controller.max_system_v, motor.system_v, "V")
        yield Limit("voltage_match", "at least", controller.min_system_v, motor.system_v, "V")
        if motor.control == "chopper":
            yield Limit("controller_rating", "at most", 0, 1, "")
    if charger := chosen.charger:
        suits = float(unit.chemistry in charger.chemistries)
        yield Limit("chemistry", "equal", 1, suits, "match")
        yield Limit("voltage_match", "equal", system_v, charger.system_v, "V")
