"""What a motor's thrust and the sea do to the boat and its fittings: heel, moments, hold-down."""

import numpy as np

from keelwatt.physics.real import Real
from keelwatt.physics.water import G

HOLD_DOWN_N = 90 * 4.4482216
"""Pull a battery must stand, 90 lbf, unless twice its weight is less (33 CFR 183.420(a))."""


def turning_heel_rad(*, thrust_n: Real, arm_m: Real, stiffness_kg_m: Real) -> Real:
    """Heel of a boat whose motor is turned across.
    Small angles; the hull's side force is taken to act at half the draft.
    ``arm_m``: from the propeller's axis up to half the draft. ``stiffness_kg_m``: see
    :func:`keelwatt.physics.stowage.stiffness_kg_m`.
    Source: Righting moment, displacement times GM times the tangent of heel (Barrass and Derrett,
    Ship Stability for Masters and Mates).

    >>> heel = turning_heel_rad(thrust_n=130.0, arm_m=0.46, stiffness_kg_m=87.6)
    >>> f"{np.degrees(heel):.1f}"
    '4.0'
    """
    heel: Real = np.arctan2(thrust_n * arm_m, G * np.asarray(stiffness_kg_m))
    return heel


def mount_moment_n_m(*, thrust_n: Real, shaft_m: Real) -> Real:
    """Moment on a mount, ``shaft_m`` above the propeller's axis: statics, common practice.

    >>> f"{mount_moment_n_m(thrust_n=130.0, shaft_m=0.76):.1f}"
    '98.8'
    """
    return thrust_n * shaft_m


def clamp_force_n(*, moment_n_m: Real, spacing_m: Real) -> Real:
    """Force on each of two pads that hold a moment: statics, common practice.

    >>> f"{clamp_force_n(moment_n_m=98.8, spacing_m=0.1):.0f}"
    '988'
    """
    return moment_n_m / spacing_m


def yaw_moment_n_m(*, thrust_n: Real, mount_y_m: Real) -> Real:
    """Moment that turns the boat, of a motor beside the centreline: statics, common practice.

    >>> float(yaw_moment_n_m(thrust_n=50.0, mount_y_m=-0.5))
    25.0
    """
    moment: Real = thrust_n * np.abs(mount_y_m)
    return moment


def steering_angle_rad(*, mount_x_m: Real, mount_y_m: Real) -> Real:
    """Angle a motor beside the centreline is turned by to push through midship.
    Statics, common practice; a motor abeam of midship wants a right angle.

    >>> f"{np.degrees(steering_angle_rad(mount_x_m=-1.0, mount_y_m=0.4)):.1f}"
    '21.8'
    """
    angle: Real = np.arctan2(np.abs(mount_y_m), np.abs(mount_x_m))
    return angle


def hold_down_n(*, mass_kg: Real) -> Real:
    """Pull in each direction, for a minute, that may move a battery an inch at most.
    33 CFR 183.420(a): 90 lbf or twice the battery's weight, whichever is less.

    >>> f"{hold_down_n(mass_kg=6.2):.0f}"
    '122'
    """
    pull: Real = np.minimum(HOLD_DOWN_N, 2 * np.asarray(mass_kg) * G)
    return pull


def heeled_edge_m(*, freeboard_m: Real, beam_m: Real, heel_rad: Real) -> Real:
    """Height of that edge above water with the boat heeled; below 0 water comes in.
    Its geometry, the boat turning about the centreline: common practice.

    >>> f"{heeled_edge_m(freeboard_m=0.20, beam_m=0.8, heel_rad=np.radians(12)):.3f}"
    '0.115'
    """
    edge: Real = freeboard_m - beam_m / 2 * np.tan(heel_rad)
    return edge


def trim_end_m(*, length_m: Real, trim_rad: Real) -> Real:
    """How much deeper one end floats and shallower the other: half the length times tan of trim.
    Geometry, common practice.

    >>> f"{100 * trim_end_m(length_m=3.8, trim_rad=np.radians(2)):.1f} cm"
    '6.6 cm'
    """
    end: Real = length_m / 2 * np.tan(trim_rad)
    return end


def levelling_distance_m(*, moment_kg_m: Real, mass_kg: Real) -> Real:
    """How far a mass is moved to level the boat: the moment over the mass. Statics.

    >>> levelling_distance_m(moment_kg_m=6.0, mass_kg=12.0)
    0.5
    """
    return moment_kg_m / mass_kg
