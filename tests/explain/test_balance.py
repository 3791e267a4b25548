"""How the craft floats with a kit, against the proof's trim and heel and plain hydrostatics."""

from dataclasses import replace
from math import atan2, degrees

import pytest
from hypothesis import HealthCheck, given, settings

from drawings.boats import POSSIBLE, advised, laden, with_kit
from keelwatt.boat.load_case import LoadCase
from keelwatt.explain.balance import balance
from keelwatt.files.kit import Kit, grams
from keelwatt.files.outing import Outing
from keelwatt.physics import hull
from keelwatt.proof import Assessor
from keelwatt.proof.checks import limits
from keelwatt.proof.held import Held


@pytest.mark.parametrize("name", POSSIBLE)
def test_the_draught_carries_the_displacement(name: str) -> None:
    advice = advised(name)
    assert advice.proof is not None
    load_case, craft = advice.case, advice.outing.craft
    afloat = balance(load_case, advice.proof)
    volume_m3 = hull.displaced_volume_m3(
        length_m=craft.waterline_length_m,
        beam_m=craft.waterline_beam_m,
        draft_m=afloat.draft_m,
        fineness=craft.fineness,
        fullness=craft.fullness,
    )
    assert volume_m3 * load_case.density_kg_m3 == pytest.approx(afloat.displacement_kg)
    assert 0 < afloat.buoyancy.z_m < afloat.draft_m


@given(laden())
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_the_centre_of_mass_tilts_no_more_than_was_proved(
    outing_and_kit: tuple[Outing, Kit],
) -> None:
    advice = with_kit(*outing_and_kit)
    assert advice.proof is not None
    load_case = LoadCase(advice.outing)
    afloat = balance(load_case, advice.proof)
    moment = afloat.displacement_kg * abs(afloat.mass.x_m)
    trim_deg = degrees(atan2(moment, load_case.trim_stiffness_kg_m))
    assert trim_deg <= afloat.trim_deg + 1e-3


@pytest.mark.parametrize("name", POSSIBLE)
def test_without_wiring_and_controller_both_agree(name: str) -> None:
    """These the proof counts on the worse side; of all else it knows the place."""
    advice = advised(name)
    assert advice.proof is not None
    load_case, proof = advice.case, advice.proof
    kit, chosen = proof.assessment.kit, replace(proof.chosen, controller=None)
    mass_g = kit.units * grams(chosen.battery.mass_kg) + grams(chosen.motor.mass_kg)
    mass_g += proof.assessment.totals.held_g
    totals = replace(
        proof.assessment.totals,
        mass_g=mass_g,
        displacement_g=load_case.bare_g + mass_g,
        beside_bank_g=0,
    )
    bare = replace(proof, chosen=chosen, assessment=replace(proof.assessment, totals=totals))
    mass = balance(load_case, bare).mass
    held = Held(Assessor(advice.outing, advice.catalog), chosen, bare.assessment)
    trim, heel, stability = limits(held, {"trim", "heel", "stability"})
    along, across = (totals.displacement_kg * abs(at) for at in (mass.x_m, mass.y_m))
    assert degrees(atan2(along, load_case.trim_stiffness_kg_m)) == pytest.approx(trim.has, rel=1e-5)
    stiffness = stability.has * totals.displacement_kg
    assert degrees(atan2(across, stiffness)) == pytest.approx(heel.has, rel=1e-5)
    kg_m = totals.displacement_kg * (mass.z_m - load_case.buoyancy_height_m)
    assert load_case.waterplane_stiffness_kg_m - kg_m == pytest.approx(stiffness, rel=1e-4)


def test_the_bank_stands_on_its_floor() -> None:
    advice = advised(POSSIBLE[0])
    assert advice.proof is not None
    afloat = balance(advice.case, advice.proof)
    assert afloat.block is not None
    bottom_m = advice.proof.chosen.compartment.z_m - afloat.block.size[2] / 2
    assert bottom_m - afloat.floor_m == pytest.approx(advice.outing.policy.clearance_m)
