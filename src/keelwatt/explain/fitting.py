"""What battery and motor do to what holds them."""

from dataclasses import dataclass
from math import degrees

import numpy as np

from keelwatt.boat.drive import Drive
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.turned import mount_moment_n_m
from keelwatt.physics import forces
from keelwatt.physics.bank import bank_voltage_v
from keelwatt.proof import Proof

PAD_SPACING_M = 0.10
"""Of a clamp; common practice, and the force goes with its inverse."""


@dataclass(frozen=True)
class Fitting:
    """Pulls and moments of one kit.

    ``hold_down_n``: what each battery's fastening must stand, every way. ``clamp_force_n``: on each
    of two pads ``pad_spacing_m`` apart. ``yaw_moment_n_m`` is that of the hardest leg's
    ``thrust_n``; ``steering_deg`` turns a motor beside the centreline so that it pushes through
    midship.
    """

    hold_down_n: float
    mount_moment_n_m: float
    clamp_force_n: float
    pad_spacing_m: float
    thrust_n: float
    yaw_moment_n_m: float
    steering_deg: float


def fitting(case: LoadCase, proof: Proof) -> Fitting:
    """Of the kit of a proof."""
    chosen, battery = proof.chosen, proof.chosen.battery
    motor, mount = chosen.motor, chosen.mount
    fresh_v = bank_voltage_v(
        chemistry=battery.chemistry,
        nominal_voltage_v=proof.assessment.kit.series * battery.voltage_v,
        state="fresh",
    )
    drive = Drive.of_parts(case, motor, chosen.controller, mount)
    moment = mount_moment_n_m(drive, np.asarray(motor.thrust_n), np.asarray(fresh_v)).item()
    clamp_n = forces.clamp_force_n(moment_n_m=moment, spacing_m=PAD_SPACING_M)
    thrust_n = max(leg.thrust_n for leg in proof.assessment.legs)
    yaw = forces.yaw_moment_n_m(thrust_n=thrust_n, mount_y_m=mount.y_m)
    steering = forces.steering_angle_rad(mount_x_m=mount.x_m, mount_y_m=mount.y_m)
    return Fitting(
        hold_down_n=float(forces.hold_down_n(mass_kg=battery.mass_kg)),
        mount_moment_n_m=moment,
        clamp_force_n=float(clamp_n),
        pad_spacing_m=PAD_SPACING_M,
        thrust_n=thrust_n,
        yaw_moment_n_m=float(yaw),
        steering_deg=degrees(float(steering)),
    )
