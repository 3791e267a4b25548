"""What an outing fixes before any part is chosen: masses, moments, water, legs, cable runs."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from math import tan

import numpy as np

from keelwatt.boat.legs import Legs
from keelwatt.files.catalog.parts import Motor
from keelwatt.files.kit import whole_grams_within
from keelwatt.files.outing import Compartment, Mount, Outing, Place
from keelwatt.physics import bank, battery, drag, hull, ladder, propeller, shapes, water
from keelwatt.physics.real import Floats, Real


@dataclass(frozen=True)
class LoadCase:
    """Everything about one outing that no choice of parts changes."""

    outing: Outing

    @cached_property
    def density_kg_m3(self) -> float:
        w = self.outing.water
        return float(water.density_kg_m3(kind=w.kind, temperature_c=w.temperature_c))

    @cached_property
    def viscosity_m2_s(self) -> float:
        w = self.outing.water
        return float(water.viscosity_m2_s(kind=w.kind, temperature_c=w.temperature_c))

    @cached_property
    def aboard_kg(self) -> float:
        return sum(load.mass_kg for load in self.outing.aboard)

    @cached_property
    def bare_kg(self) -> float:
        """Hull, people and gear: the displacement without the kit."""
        return self.bare_g / 1000.0

    @cached_property
    def bare_g(self) -> int:
        return round(1000.0 * (self.outing.craft.hull_mass_kg + self.aboard_kg))

    @cached_property
    def room_g(self) -> int:
        """What the builder's plate leaves for the kit."""
        outing = self.outing
        plate_kg = outing.craft.payload_limit_kg - outing.limits.payload_margin_kg
        return whole_grams_within(whole_grams_within(plate_kg) / 1000 - self.aboard_kg)

    def draft_m(self, displacement_kg: float | Floats) -> Floats:
        draft_m = hull.draft_m(
            volume_m3=np.asarray(displacement_kg, dtype=float) / self.density_kg_m3,
            **self.outing.craft.form,
        )
        return np.asarray(draft_m)

    @cached_property
    def buoyancy_height_m(self) -> float:
        """KB at the displacement without the kit (safe side: it only rises with load)."""
        buoyancy_height_m = hull.buoyancy_height_m(
            draft_m=self.draft_m(self.bare_kg), fullness=self.outing.craft.fullness
        )
        return float(buoyancy_height_m)

    @cached_property
    def trim_stiffness_kg_m(self) -> float:
        """rho * I_L: moment about midship per unit tangent of trim."""
        return self._waterplane_kg_m(hull.waterplane_longitudinal_m4)

    @cached_property
    def waterplane_stiffness_kg_m(self) -> float:
        """rho * I_T, the part of the heel stiffness that the waterplane gives."""
        return self._waterplane_kg_m(hull.waterplane_transverse_m4)

    def _waterplane_kg_m(self, second_moment_m4: Callable[..., Real]) -> float:
        craft = self.outing.craft
        moment_m4 = second_moment_m4(
            length_m=craft.waterline_length_m,
            beam_m=craft.waterline_beam_m,
            fineness=craft.waterplane_fineness,
        )
        return self.density_kg_m3 * float(moment_m4)

    @cached_property
    def bare_moments_kg_m(self) -> tuple[float, float, float]:
        """Moments of hull, people and gear: about midship, about the centreline, and m(z - KB)."""
        craft = self.outing.craft
        kb = self.buoyancy_height_m
        loads = self.outing.aboard
        return (
            sum(load.mass_kg * load.x_m for load in loads),
            sum(load.mass_kg * load.y_m for load in loads),
            craft.hull_mass_kg * (craft.hull_height_m - kb)
            + sum(load.mass_kg * (load.z_m - kb) for load in loads),
        )

    @cached_property
    def heaviest_kg(self) -> float:
        """The boat loaded to the builder's plate."""
        return self.outing.craft.hull_mass_kg + self.outing.craft.payload_limit_kg

    @cached_property
    def freeboard_m(self) -> float | None:
        """Of the boat loaded to the builder's plate, upright; None where no depth is given."""
        depth_m = self.outing.craft.depth_m
        return None if depth_m is None else depth_m - float(self.draft_m(self.heaviest_kg))

    @cached_property
    def outing_hours(self) -> float:
        return sum(leg.duration_h for leg in self.outing.legs)

    @cached_property
    def legs(self) -> Legs:
        return Legs.of_outing(self.outing)

    @property
    def ground_speeds_m_s(self) -> Floats:
        """Each leg's speed over ground, shape (legs,)."""
        return self.legs.ground_m_s[:, 0]

    @cached_property
    def water_speeds_m_s(self) -> Floats:
        """Each leg's speed through the water, never below zero, shape (legs,)."""
        return self.legs.through_m_s(self.legs.ground_m_s)[:, 0]

    def air_n(self, ground_speed_m_s: Floats, headwind_m_s: float | Floats) -> Floats:
        air_n = hull.air_resistance_n(
            ground_speed_m_s=ground_speed_m_s,
            headwind_m_s=headwind_m_s,
            drag_area_m2=self.outing.craft.wind_area_m2,
        )
        return np.asarray(air_n)

    def wetted_surface_m2(self, displacement_kg: float | Floats) -> Floats:
        return np.asarray(
            hull.wetted_surface_m2(draft_m=self.draft_m(displacement_kg), **self.outing.craft.form)
        )

    def friction_on_n(self, water_speed_m_s: Floats, wetted_surface_m2: Floats) -> Floats:
        friction_on_n = hull.friction_n(
            speed_m_s=water_speed_m_s,
            length_m=self.outing.craft.waterline_length_m,
            wetted_surface_m2=wetted_surface_m2,
            density_kg_m3=self.density_kg_m3,
            viscosity_m2_s=self.viscosity_m2_s,
        )
        return np.asarray(friction_on_n)

    @cached_property
    def towed_line(self) -> drag.TowedLine | None:
        """What the boat pulled on a rope, in place of friction, waves and drag factor."""
        points = self.outing.craft.towed
        if not points:
            return None
        speeds, pulls = zip(*points, strict=True)
        return drag.towed_line(speeds_m_s=speeds, pulls_n=pulls)

    @property
    def towed_kg(self) -> float:
        return self.outing.craft.towed_displacement_kg or self.bare_kg

    def midship_area_m2(self, draft_m: Floats) -> Floats:
        craft = self.outing.craft
        midship_area_m2 = shapes.midship_area_m2(
            beam_m=craft.waterline_beam_m, draft_m=draft_m, fullness=craft.fullness
        )
        return np.asarray(midship_area_m2)

    def shallow_limit_m_s(self, depth_m: float | Floats, displacement_kg: float) -> Floats:
        area_m2 = self.midship_area_m2(self.draft_m(displacement_kg))
        limit = drag.shallow_limit_m_s(depth_m=depth_m, midship_area_m2=area_m2)
        return np.asarray(limit)

    def rungs_for(self, fastest_m_s: float, heaviest_kg: float) -> int:
        """How many rungs the ladder needs for speeds up to one, in the depth of any leg."""
        deep_m_s = float(self.deep_speeds_m_s(fastest_m_s, heaviest_kg).max())
        length_m = self.outing.craft.waterline_length_m
        return ladder.rungs_for(speed_m_s=max(fastest_m_s, deep_m_s), length_m=length_m)

    def deep_speeds_m_s(self, through_m_s: float | Floats, displacement_kg: float) -> Floats:
        """The speeds in deep water at which the boat drags as on the legs, shape (legs,)."""
        deep_speeds_m_s = drag.deep_speed_m_s(
            speed_m_s=through_m_s,
            depth_m=self.legs.depth_m[:, 0],
            midship_area_m2=self.midship_area_m2(self.draft_m(displacement_kg)),
        )
        return np.asarray(deep_speeds_m_s)

    def rung_speeds_m_s(self, rungs: int) -> Floats:
        length_m = self.outing.craft.waterline_length_m
        return ladder.rung_speeds_m_s(rungs=rungs, length_m=length_m)

    def rung_waves_n(self, fastest_m_s: float, displacement_kg: Floats) -> Floats:
        """Wave resistance on a ladder of speeds, smooth in displacement, shape (rungs, m).
        None where a towed line holds it already."""
        rungs = self.rungs_for(fastest_m_s, float(np.max(displacement_kg)))
        if self.towed_line:
            return np.zeros((rungs, displacement_kg.size))
        return ladder.rung_resistance_n(
            rungs=rungs,
            draft_m=self.draft_m(displacement_kg),
            **self.outing.craft.form,
            density_kg_m3=self.density_kg_m3,
        )

    def thrust_n(self, motor: Motor) -> float:
        thrust_n = propeller.planned_thrust_n(
            static_thrust_n=motor.thrust_n,
            measured=motor.thrust_is == "measured",
            claimed_share=self.outing.policy.claimed_thrust,
        )
        return float(thrust_n)

    def no_thrust_speed_m_s(self, motor: Motor) -> float:
        """As the catalog says, else by the propeller that gives the planned thrust."""
        return motor.no_thrust_speed_m_s or float(
            propeller.no_thrust_speed_m_s(
                static_thrust_n=self.thrust_n(motor),
                diameter_m=motor.propeller_m,
                density_kg_m3=self.density_kg_m3,
            )
        )

    def usable_share(self, chemistry: str) -> float:
        """Share of the rated capacity this outing may take out of a bank, reserve kept back."""
        policy = self.outing.policy
        return (
            self.full_share(chemistry)
            * float(battery.usable_share(chemistry=chemistry, policy=policy.discharge))
            * (1.0 - self.outing.limits.reserve)
        )

    def full_share(self, chemistry: str) -> float:
        """Share of the rated capacity a full bank of this age holds at this temperature."""
        return self.outing.policy.health * float(
            bank.cold_factor(chemistry=chemistry, temperature_c=self.outing.water.temperature_c)
        )

    def run_m(self, compartment: Compartment, mount: Mount, *, controlled: bool) -> float:
        """One-way cable length from a compartment to a mount, over a separate control if any."""
        return self.outing.craft.run_m(compartment, mount, controlled=controlled)

    def controller_place(self, mount: Mount) -> Place:
        """Where an external controller sits: as the outing says, else beside the motor."""
        return self.outing.craft.controller_at or mount

    @cached_property
    def trim_limit_kg_m(self) -> float:
        return self.trim_stiffness_kg_m * tan(self.outing.limits.max_trim_rad)
