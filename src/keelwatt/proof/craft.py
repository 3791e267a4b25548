"""The craft without its kit, as the proof works it out: from the outing and the physics alone."""

from dataclasses import dataclass
from functools import cached_property
from math import inf

import numpy as np

from keelwatt.files.outing import Compartment, Mount, Outing, Place
from keelwatt.physics import bank, battery, drag, hull, ladder, water
from keelwatt.physics.real import Floats

TERMINALS_M = 0.6
"""Cable beyond the way along, across and up, for each section of which the outing gives no length.
Common practice."""


@dataclass(frozen=True)
class Craft:
    """What is aboard, how it floats, what water and wind hold against it."""

    outing: Outing

    @cached_property
    def density_kg_m3(self) -> float:
        asked = self.outing.water
        return float(water.density_kg_m3(kind=asked.kind, temperature_c=asked.temperature_c))

    @cached_property
    def aboard_kg(self) -> float:
        return sum(load.mass_kg for load in self.outing.aboard)

    @cached_property
    def bare_g(self) -> int:
        return round(1000.0 * (self.outing.craft.hull_mass_kg + self.aboard_kg))

    def draft_m(self, displacement_kg: float) -> float:
        return float(
            hull.draft_m(volume_m3=displacement_kg / self.density_kg_m3, **self.outing.craft.form)
        )

    def water_n(self, through_m_s: Floats, displacement_kg: float, depth_m: float = inf) -> Floats:
        """Resistance of the water at speeds through it, the drag factor in it."""
        if depth_m == inf:
            return self._deep_n(through_m_s, displacement_kg)
        section_m2 = self.midship_m2(displacement_kg)
        as_deep_m_s = drag.deep_speed_m_s(
            speed_m_s=through_m_s, depth_m=depth_m, midship_area_m2=section_m2
        )
        beyond_n = drag.beyond_limit_n(
            speed_m_s=through_m_s, depth_m=depth_m, midship_area_m2=section_m2
        )
        return np.asarray(self._deep_n(np.asarray(as_deep_m_s), displacement_kg) + beyond_n)

    def midship_m2(self, displacement_kg: float) -> float:
        """Of the section under water: the volume over length and prismatic share."""
        craft = self.outing.craft
        prism_m = craft.waterline_length_m * craft.fineness / (craft.fineness + 1)
        return displacement_kg / self.density_kg_m3 / prism_m

    def shallow_limit_m_s(self, displacement_kg: float, depth_m: float) -> float:
        section_m2 = self.midship_m2(displacement_kg)
        return float(drag.shallow_limit_m_s(depth_m=depth_m, midship_area_m2=section_m2))

    def _deep_n(self, through_m_s: Floats, displacement_kg: float) -> Floats:
        if self.outing.craft.towed:
            return self.outing.craft.drag_factor * self._towed_n(through_m_s, displacement_kg)
        friction = self._friction_n(through_m_s, displacement_kg)
        waves = self.waves_n(through_m_s, displacement_kg)
        return np.asarray(self.outing.craft.drag_factor * (friction + waves))

    def _towed_n(self, through_m_s: Floats, displacement_kg: float) -> Floats:
        """By what the boat pulled on a rope, grown with the mass to the power 2/3."""
        craft = self.outing.craft
        speeds, pulls = zip(*craft.towed, strict=True)
        line = drag.towed_line(speeds_m_s=speeds, pulls_n=pulls)
        towed_kg = craft.towed_displacement_kg or self.bare_g / 1000
        heavier = (displacement_kg / towed_kg) ** (2 / 3)
        return np.asarray(line.newton * heavier * np.asarray(through_m_s) ** line.exponent)

    def _friction_n(self, through_m_s: Floats, displacement_kg: float) -> Floats:
        craft, asked = self.outing.craft, self.outing.water
        wetted_m2 = hull.wetted_surface_m2(
            draft_m=self.draft_m(displacement_kg), **self.outing.craft.form
        )
        viscosity = water.viscosity_m2_s(kind=asked.kind, temperature_c=asked.temperature_c)
        friction_n = hull.friction_n(
            speed_m_s=through_m_s,
            length_m=craft.waterline_length_m,
            wetted_surface_m2=wetted_m2,
            density_kg_m3=self.density_kg_m3,
            viscosity_m2_s=viscosity,
        )
        return np.asarray(friction_n)

    def waves_n(self, through_m_s: Floats, displacement_kg: float) -> Floats:
        waves_n = ladder.running_maximum_n(
            speed_m_s=through_m_s,
            draft_m=self.draft_m(displacement_kg),
            **self.outing.craft.form,
            density_kg_m3=self.density_kg_m3,
        )
        return np.asarray(waves_n)

    def air_n(self, ground_m_s: float | Floats, headwind_m_s: float) -> Floats:
        air_n = hull.air_resistance_n(
            ground_speed_m_s=ground_m_s,
            headwind_m_s=headwind_m_s,
            drag_area_m2=self.outing.craft.wind_area_m2,
        )
        return np.asarray(air_n)

    def full_share(self, chemistry: str) -> float:
        """Share of the rated capacity in a full bank of this age on this day."""
        warmth = bank.cold_factor(
            chemistry=chemistry, temperature_c=self.outing.water.temperature_c
        )
        return float(warmth) * self.outing.policy.health

    def usable_share(self, chemistry: str) -> float:
        """Share of the rated capacity the day may take, the reserve kept back."""
        allowed = battery.usable_share(chemistry=chemistry, policy=self.outing.policy.discharge)
        return self.full_share(chemistry) * allowed * (1.0 - self.outing.limits.reserve)

    def run_m(self, box: Compartment, mount: Mount, *, controlled: bool) -> float:
        """One-way cable length, in one section, or in two with a separate control between.
        A control of which the outing says nothing sits on the motor: the run is as without. Where
        only the whole run is measured, two sections that are guessed are no shorter."""
        measured, at = self.outing.craft.cable_run_m, self.outing.craft.controller_at
        whole = measured.get((box.name, mount.name), 0.0)
        straight_m = whole or _guess_m(box, mount)
        first = measured.get((box.name, "control"), 0.0)
        last = measured.get(("control", mount.name), 0.0)
        if not controlled or not (at or first or last):
            return straight_m
        guessed = (_guess_m(box, at), _guess_m(at, mount)) if at else (straight_m, 0.0)
        if first or last:
            return (first or guessed[0]) + (last or guessed[1])
        return max(whole, sum(guessed))


def _guess_m(here: Place, there: Place) -> float:
    """Along, across and up."""
    sides = ((here.x_m, there.x_m), (here.y_m, there.y_m), (here.z_m, there.z_m))
    return sum(abs(end - start) for start, end in sides) + TERMINALS_M
