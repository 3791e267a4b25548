"""Forces of the motor: heel by the righting arm of a whole box, mounts, edges, trim's ends."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from keelwatt.physics import hull
from keelwatt.physics.chopper import box_area_m2, box_rise_k
from keelwatt.physics.forces import (
    clamp_force_n,
    heeled_edge_m,
    levelling_distance_m,
    mount_moment_n_m,
    steering_angle_rad,
    trim_end_m,
    turning_heel_rad,
    yaw_moment_n_m,
)
from keelwatt.physics.stowage import stiffness_kg_m
from keelwatt.physics.water import G

HUGE = 1e12


def righting_arm_m(heel: float, beam: float, draft: float, mass_height: float) -> float:
    """Of a heeled box, by the polygon of its section under water (shoelace), no small angles.

    The waterline turns about the centreline, where the area under it does not change.
    """
    rise = beam / 2 * math.tan(heel)
    half = beam / 2
    section = np.array([(-half, 0.0), (half, 0.0), (half, draft + rise), (-half, draft - rise)])
    y, z = section.T
    y2, z2 = np.roll(y, -1), np.roll(z, -1)
    cross = y * z2 - y2 * z
    area = cross.sum() / 2
    across, up = ((y + y2) @ cross) / (6 * area), ((z + z2) @ cross) / (6 * area)
    return float(across * math.cos(heel) - (mass_height - up) * math.sin(heel))


def test_a_box_with_its_motor_turned_across() -> None:
    """4 x 0.74 m, 175 kg, KG 0.30 m, 130 N, 0.46 m: by the formula and by the heeled box itself."""
    length, beam, mass, rho = 4.0, 0.74, 175.0, 1000.0
    draft = mass / rho / length / beam
    assert f"{draft:.3f}" == "0.059"
    kb = float(hull.buoyancy_height_m(draft_m=draft, fullness=HUGE))
    assert f"{kb:.4f}" == "0.0296"
    stiffness = stiffness_kg_m(
        density_kg_m3=rho,
        waterplane_m4=hull.waterplane_transverse_m4(length_m=length, beam_m=beam, fineness=HUGE),
        rising_moment_kg_m=mass * (0.30 - kb),
    )
    heel = turning_heel_rad(thrust_n=130.0, arm_m=0.46, stiffness_kg_m=stiffness)
    by_hand = 130 * 0.46 / (9.80665 * (rho * 0.74**3 * 4 / 12 - 175 * (0.30 - 0.0296)))
    assert math.tan(heel) == pytest.approx(by_hand, rel=1e-4)
    assert f"{math.tan(heel):.4f}" == "0.0695"
    # Thrust across times its arm, square to the heeled boat's upright axis.
    whole = brentq(
        lambda phi: mass * G * righting_arm_m(phi, beam, draft, 0.30) - 130 * 0.46 * math.cos(phi),
        0.0,
        0.15,
    )
    assert heel == pytest.approx(whole, rel=0.01)


@given(st.floats(1, 60), st.floats(0.1, 1), st.floats(10, 500))
def test_the_share_of_throttle_that_keeps_a_heel(
    heel_degrees: float, arm: float, stiff: float
) -> None:
    heel = math.radians(heel_degrees)
    thrust = G * stiff * math.tan(heel) / arm
    back = turning_heel_rad(thrust_n=thrust, arm_m=arm, stiffness_kg_m=stiff)
    assert back == pytest.approx(heel, rel=1e-12)


def test_an_unstable_boat_leans_beyond_a_right_angle() -> None:
    assert turning_heel_rad(thrust_n=1.0, arm_m=0.4, stiffness_kg_m=-5.0) > math.pi / 2


def test_mounts() -> None:
    """130 N at 0.76 m: 98.8 N m, 988 N at 100 mm, computed."""
    moment = mount_moment_n_m(thrust_n=130.0, shaft_m=0.76)
    assert f"{moment:.1f}" == "98.8"
    assert f"{clamp_force_n(moment_n_m=moment, spacing_m=0.1):.0f}" == "988"


def test_a_motor_on_the_side_pushes_through_midship() -> None:
    """Turned by the angle, its thrust has no moment about midship."""
    x, y, thrust = -1.3, 0.4, 60.0
    assert yaw_moment_n_m(thrust_n=thrust, mount_y_m=y) == pytest.approx(24.0)
    angle = float(steering_angle_rad(mount_x_m=x, mount_y_m=y))
    ahead, across = thrust * math.cos(angle), -thrust * math.sin(angle)
    assert x * across - y * ahead == pytest.approx(0.0, abs=1e-12)
    assert math.degrees(float(steering_angle_rad(mount_x_m=0.0, mount_y_m=0.4))) == 90.0


def test_edges() -> None:
    edge = 0.30 - 0.12
    level = heeled_edge_m(freeboard_m=edge, beam_m=0.8, heel_rad=0.0)
    assert level == pytest.approx(0.18)
    swamped = math.atan(0.18 / 0.4)
    assert heeled_edge_m(freeboard_m=edge, beam_m=0.8, heel_rad=swamped) == pytest.approx(0.0)


def test_trim_as_people_see_it() -> None:
    """3.8 m at 2 degrees: 6.6 cm at either end, computed; and what levels the moment of it."""
    assert f"{100 * trim_end_m(length_m=3.8, trim_rad=math.radians(2)):.1f}" == "6.6"
    moment = 500.0 * math.tan(math.radians(2))
    assert 12.0 * levelling_distance_m(moment_kg_m=moment, mass_kg=12.0) == pytest.approx(moment)


def test_a_control_in_a_box() -> None:
    """200 W, 0.95, 0.09 m2: 20.2 K, computed; a box of 20 x 15 x 8 cm has 0.116 m2."""
    assert f"{box_rise_k(power_w=200.0, efficiency=0.95, area_m2=0.09):.1f}" == "20.2"
    assert box_area_m2(length_m=0.2, width_m=0.15, height_m=0.08) == pytest.approx(0.116)
