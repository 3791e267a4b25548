"""How the craft floats with a kit aboard: how deep, about which centre, tilted how far."""

from dataclasses import dataclass

from keelwatt.boat.load_case import LoadCase
from keelwatt.files.kit import grams
from keelwatt.files.outing import Place
from keelwatt.physics import hull, stowage
from keelwatt.proof import Proof


@dataclass(frozen=True)
class Balance:
    """A laden craft at rest.

    ``mass`` and ``buoyancy`` are the centres of mass and of buoyancy, upright and level. Trim and
    heel are the proof's, on the safe side; ``mass`` tells to which end and side. ``block`` is the
    bank as it stands, None where it does not fit, ``floor_m`` the height of its compartment's
    floor.
    """

    displacement_kg: float
    draft_m: float
    mass: Place
    buoyancy: Place
    trim_deg: float
    heel_deg: float
    block: stowage.Block | None
    floor_m: float


def balance(case: LoadCase, proof: Proof) -> Balance:
    """The craft with the kit of a proof aboard."""
    craft, totals, chosen = case.outing.craft, proof.assessment.totals, proof.chosen
    has = {limit.name: limit.has for limit in proof.assessment.limits}
    draft_m = float(case.draft_m(totals.displacement_kg))
    box, (unit_m, upright_only) = chosen.compartment, chosen.unit
    block = stowage.block(
        units=proof.assessment.kit.units,
        unit_m=unit_m,
        upright_only=upright_only,
        room_m=(box.length_m, box.width_m, box.height_m),
        clearance_m=case.outing.policy.clearance_m,
    )
    below_m = block.size[2] / 2 + case.outing.policy.clearance_m if block else box.height_m / 2
    return Balance(
        displacement_kg=totals.displacement_kg,
        draft_m=draft_m,
        mass=_centre_of_mass(case, proof),
        buoyancy=Place(
            x_m=0.0,
            y_m=0.0,
            z_m=float(hull.buoyancy_height_m(draft_m=draft_m, fullness=craft.fullness)),
        ),
        trim_deg=has["trim"],
        heel_deg=has["heel"],
        block=block,
        floor_m=box.z_m - below_m,
    )


def _centre_of_mass(case: LoadCase, proof: Proof) -> Place:
    """Of everything afloat, the wiring taken halfway between bank and motor."""
    outing, kit, chosen = case.outing, proof.assessment.kit, proof.chosen
    box, mount = chosen.compartment, chosen.mount
    keel = Place(x_m=0.0, y_m=0.0, z_m=outing.craft.hull_height_m)
    halfway = Place(
        x_m=(box.x_m + mount.x_m) / 2,
        y_m=(box.y_m + mount.y_m) / 2,
        z_m=(box.z_m + mount.z_m) / 2,
    )
    totals = proof.assessment.totals
    bank_g = kit.units * grams(chosen.battery.mass_kg) + totals.held_g + totals.beside_bank_g
    bank_kg = bank_g / 1000
    motor_kg = grams(chosen.motor.mass_kg) / 1000
    controller_kg = chosen.controller_g / 1000
    wiring_kg = totals.mass_g / 1000 - bank_kg - motor_kg - controller_kg
    loads: list[tuple[float, Place]] = [
        (outing.craft.hull_mass_kg, keel),
        *((load.mass_kg, load) for load in outing.aboard),
        (bank_kg, box),
        (motor_kg, mount),
        (controller_kg, case.controller_place(mount)),
        (wiring_kg, halfway),
    ]
    whole_kg = sum(mass_kg for mass_kg, _ in loads)
    return Place(
        x_m=sum(mass_kg * at.x_m for mass_kg, at in loads) / whole_kg,
        y_m=sum(mass_kg * at.y_m for mass_kg, at in loads) / whole_kg,
        z_m=sum(mass_kg * at.z_m for mass_kg, at in loads) / whole_kg,
    )
