"""Stability and plates against published values and numerical hydrostatics."""

import math

import pytest
from scipy.integrate import dblquad, quad
from scipy.optimize import brentq

from keelwatt.physics import hull
from keelwatt.physics.forces import hold_down_n
from keelwatt.physics.stowage import stiffness_kg_m

RHO = 1000.0


def test_box_of_ship_stability() -> None:
    """Box 65 x 12 x 8 m at 4 m draft, KG 4 m: GM 1 m.

    Barrass and Derrett, Ship Stability for Masters and Mates.
    """
    mass_kg = RHO * 65 * 12 * 4
    stiffness = stiffness_kg_m(
        density_kg_m3=RHO,
        waterplane_m4=hull.waterplane_transverse_m4(length_m=65.0, beam_m=12.0, fineness=1e12),
        rising_moment_kg_m=mass_kg * (4.0 - 2.0),
    )
    assert f"{stiffness / mass_kg:.6f}" == "1.000000"


def test_trim_limit_by_the_wedges() -> None:
    """Moment of the wedges that go in and out of the water as the craft trims."""
    length, beam, p, trim = 4.5, 0.8, 2, math.radians(1.5)

    def wedge(x: float) -> float:
        width = beam * (1 - float(abs(2 * x / length) ** p))
        return width * x * math.tan(trim) * x

    moment, _ = quad(wedge, -length / 2, length / 2, points=[0.0])
    stiffness = stiffness_kg_m(
        density_kg_m3=RHO,
        waterplane_m4=hull.waterplane_longitudinal_m4(length_m=length, beam_m=beam, fineness=p),
        rising_moment_kg_m=0.0,
    )
    assert stiffness * math.tan(trim) == pytest.approx(RHO * moment, rel=1e-9)


def test_heel_limit_by_the_righting_arm_of_a_box() -> None:
    """A heeled box: the arm from centre of mass to the upthrust of its trapezium, solved."""
    length, beam, draft, height, mass_height = 2.0, 0.8, 0.1, 0.4, 0.15
    mass_kg = RHO * length * beam * draft

    def righting_kg_m(heel: float) -> float:
        def depth(y: float) -> float:
            return draft + y * math.tan(heel)

        area, _ = quad(depth, -beam / 2, beam / 2)
        across = quad(lambda y: y * depth(y), -beam / 2, beam / 2)[0] / area
        rise, _ = dblquad(lambda z, _: z, -beam / 2, beam / 2, 0, depth)
        up = rise / area
        arm = across * math.cos(heel) - (mass_height - up) * math.sin(heel)
        return float(mass_kg * arm / math.cos(heel))

    shifted_kg_m = 3.0
    heel = brentq(lambda angle: righting_kg_m(angle) - shifted_kg_m, 0.0, 0.2)
    assert draft + beam / 2 * math.tan(heel) < height
    stiffness = stiffness_kg_m(
        density_kg_m3=RHO,
        waterplane_m4=length * beam**3 / 12,
        rising_moment_kg_m=mass_kg * (mass_height - draft / 2),
    )
    assert stiffness * math.tan(heel) == pytest.approx(shifted_kg_m, rel=2e-3)


@pytest.mark.parametrize(("mass_kg", "newton"), [(6.2, "122"), (13.6, "267"), (30.0, "400")])
def test_hold_down(mass_kg: float, newton: str) -> None:
    """33 CFR 183.420(a): 90 lb or twice the battery's weight, whichever is less."""
    assert f"{hold_down_n(mass_kg=mass_kg):.0f}" == newton
    pounds = min(90.0, 2 * mass_kg / 0.45359237)
    assert hold_down_n(mass_kg=mass_kg) == pytest.approx(pounds * 4.4482216, rel=1e-6)
