"""Readings of how a kit makes the boat float, and lean with its motor across."""

from collections.abc import Iterator
from dataclasses import replace
from math import atan2, degrees, radians

from keelwatt.files.kit import grams
from keelwatt.files.outing import Place
from keelwatt.limits import Limit
from keelwatt.physics import forces, hull
from keelwatt.proof.held import Held, row
from keelwatt.proof.ways import Way


def afloat(held: Held) -> Iterator[Limit]:
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
    beam_m = hull_.waterline_beam_m
    if turned_deg >= 90.0:
        return -beam_m / 2
    edge_m = forces.heeled_edge_m(
        freeboard_m=depth_m - draft_m, beam_m=beam_m, heel_rad=radians(turned_deg)
    )
    return float(edge_m)


def _turned_deg(held: Held, stiffness_kg_m: float) -> float:
    """Heel with the motor across, giving what the hardest leg or the top speed takes. In the
    heaviest boat the plate allows (safe side); the hull's side force acts at half its draft."""
    outing, chosen = held.outing, held.chosen
    heaviest_kg = outing.craft.hull_mass_kg + outing.craft.payload_limit_kg
    ways = [way for leg in outing.legs if leg.driven for way in Way.of(leg)]
    for number, way in enumerate(ways):
        # No faster than its depth allows: another limit tells of the rest.
        limit_m_s = held.assessor.craft.shallow_limit_m_s(heaviest_kg, way.depth_m)
        beyond_m_s = max(0.0, way.through_m_s - limit_m_s)
        ways[number] = replace(way, ground_m_s=way.ground_m_s - beyond_m_s)
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


def mount(held: Held) -> Iterator[Limit]:
    if (holds := held.chosen.mount.holds_n_m) is not None:
        thrust_n = held.assessor.strongest_n(held.kit, held.chosen)
        shaft_m = held.chosen.motor.shaft_m
        moment = forces.mount_moment_n_m(thrust_n=thrust_n, shaft_m=shaft_m)
        yield row("mount_moment", holds, float(moment))
