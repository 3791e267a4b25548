"""Many days with one kit: what is left in its bank, and whether it keeps the speeds wanted.

A leg on which the motor cannot make the speed wanted is run at full throttle, as fast as that goes:
one given by its distance then takes longer, one given by its hours does not. Where not even its
place can be held, the day counts as not home. Devices run longer or shorter as the day does.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from keelwatt.boat.facts import Facts
from keelwatt.chance.chance import Chance
from keelwatt.chance.spreads import Days, Floats, Spreads
from keelwatt.files.kit import Kit, just_above
from keelwatt.physics import battery as battery_physics
from keelwatt.physics import propeller
from keelwatt.prove import Assessment, Assessor
from keelwatt.prove.model import Chosen

Bools = npt.NDArray[np.bool_]

DAYS, SEED = 10_000, 1
FEWEST_DAYS, MOST_DAYS = 100, 1_000_000
CHUNK = 20_000
"""Days worked out at a time, to keep arrays small."""

BISECTIONS = 26
"""Halvings from the speed wanted down to the speed reached: to less than 1e-7 m/s, safe side."""


@dataclass(frozen=True)
class Run:
    """Days worked out, shape (days,).

    ``left_share``: of what a full bank holds that day, below 0 where it was flat before home and
    minus infinity where the craft never came home; ``full_ah`` what that is; ``in_time``: every leg
    at its speed; ``top_speed``: the top speed wished could be reached, None where none is.
    """

    left_share: Floats
    full_ah: Floats
    in_time: Bools
    top_speed: Bools | None
    keep_share: float

    @property
    def above_reserve(self) -> Bools:
        used, usable = 1.0 - self.left_share, 1.0 - self.keep_share
        return np.asarray(used <= just_above(usable))

    @property
    def above_zero(self) -> Bools:
        return np.asarray(self.left_share >= 0.0)

    @property
    def adrift(self) -> Bools:
        """Whether full throttle could not even hold the craft's place on some leg."""
        return np.asarray(np.isneginf(self.left_share))

    @property
    def as_planned(self) -> Bools:
        """Whether the day went as the outing asks."""
        met = self.above_reserve & self.in_time
        return met if self.top_speed is None else met & self.top_speed


@dataclass(frozen=True)
class Boat:
    """An outing's craft with one kit, ready for any day."""

    assessor: Assessor
    kit: Kit

    @cached_property
    def facts(self) -> Facts:
        return Facts(self.assessor.outing)

    @cached_property
    def chosen(self) -> Chosen:
        return self.assessor.chosen(self.kit)

    @cached_property
    def assessment(self) -> Assessment:
        """The day as planned."""
        return self.assessor.assess(self.kit)

    @cached_property
    def _fastest_m_s(self) -> float:
        """Beyond, all is out of the motor's reach: the water's resistance no longer counts."""
        top = self.facts.outing.limits.top_speed_m_s or 0.0
        wanted = float(self.facts.water_speeds_m_s.max())
        return max(self.chosen.motor.no_thrust_speed_m_s, wanted, top)

    @cached_property
    def _wetted_m2(self) -> Floats:
        return self.facts.wetted_surface_m2(self.assessment.totals.displacement_kg)

    @cached_property
    def _rung_waves_n(self) -> Floats:
        displacement_kg = np.array([self.assessment.totals.displacement_kg])
        return self.facts.rung_waves_n(self._fastest_m_s, displacement_kg)

    @property
    def keep_share(self) -> float:
        """What must stay in the bank, as a share of what it holds when full."""
        chemistry = self.chosen.battery.chemistry
        return 1.0 - self.facts.usable_share(chemistry) / self.facts.full_share(chemistry)

    def bare_resistance_n(self, water_speed_m_s: Floats) -> Floats:
        """Friction and waves before the drag factor, shape as the speeds."""
        speed = np.minimum(water_speed_m_s, self._fastest_m_s).ravel()
        waves = self.facts.waves_n(speed, self._rung_waves_n)[:, 0]
        friction = self.facts.friction_on_n(speed, self._wetted_m2)
        return np.asarray((friction + waves).reshape(water_speed_m_s.shape))

    def run(self, days: Days) -> Run:
        """Every day by itself: nothing is carried over from one to the next."""
        wanted = np.broadcast_to(self.facts.ground_speeds_m_s, days.headwind_m_s.shape)
        drag = np.broadcast_to(days.drag_factor[:, None], wanted.shape)
        met = self._reaches(wanted, drag, days.headwind_m_s, days.current_m_s)
        ground = wanted.copy()
        ground[~met] = self._reached_m_s(
            wanted[~met], drag[~met], days.headwind_m_s[~met], days.current_m_s[~met]
        )
        stuck = np.isnan(ground)
        ground[stuck] = 0.0
        used = self._used_ah(ground, drag, days)
        used[stuck.any(axis=1)] = np.inf
        battery, policy = self.chosen.battery, self.facts.outing.policy
        full = battery.capacity_ah * self.kit.parallel * policy.health * days.capacity
        full = full * battery_physics.temperature_factor(
            chemistry=battery.chemistry, temperature_c=days.battery_c
        )
        return Run(
            left_share=1.0 - used / full,
            full_ah=full,
            in_time=np.asarray(met.all(axis=1)),
            top_speed=self._makes_top_speed(days.drag_factor),
            keep_share=self.keep_share,
        )

    def _turns(
        self, ground: Floats, drag: Floats, headwind: Floats, current: Floats
    ) -> tuple[Floats, Floats]:
        """(shaft ratio, speed through the water) at speeds over ground."""
        through = np.maximum(0.0, ground + current)
        thrust = drag * self.bare_resistance_n(through) + self.facts.air_n(ground, headwind)
        motor = self.chosen.motor
        ratio = propeller.shaft_ratio(
            thrust_fraction=thrust / motor.thrust_n,
            speed_fraction=through / motor.no_thrust_speed_m_s,
        )
        return np.asarray(ratio), through

    def _reaches(self, ground: Floats, drag: Floats, headwind: Floats, current: Floats) -> Bools:
        ratio, through = self._turns(ground, drag, headwind, current)
        return self.assessor.reaches(self.kit, self.chosen, ratio, through)

    def _reached_m_s(
        self, wanted: Floats, drag: Floats, headwind: Floats, current: Floats
    ) -> Floats:
        """The greatest speed over ground below one out of reach; NaN where not even 0."""
        good, bad = np.zeros(wanted.shape), wanted.copy()
        stuck = ~self._reaches(good, drag, headwind, current)
        for _ in range(BISECTIONS):
            middle = (good + bad) / 2.0
            met = self._reaches(middle, drag, headwind, current)
            good, bad = np.where(met, middle, good), np.where(met, bad, middle)
        return np.where(stuck, np.nan, good)

    def _used_ah(self, ground: Floats, drag: Floats, days: Days) -> Floats:
        facts, kit, battery = self.facts, self.kit, self.chosen.battery

        def charge_ah(duration_h: Floats, bank_a: float | Floats) -> Floats:
            used = battery_physics.charge_used_ah(
                duration_h=duration_h,
                current_a=bank_a / kit.parallel,
                capacity_ah=battery.capacity_ah,
                rated_h=battery.rated_h,
                peukert=battery.peukert,
            )
            return np.asarray(kit.parallel * used)

        ratio, through = self._turns(ground, drag, days.headwind_m_s, days.current_m_s)
        _, bank_a = self.assessor.currents(kit, self.chosen, ratio, through)
        hours = facts.durations_h * days.length * self._slower(ground)
        used = charge_ah(hours, bank_a).sum(axis=1)
        longer = hours.sum(axis=1) / facts.outing_hours
        amperes = self.assessor.device_currents_a(kit, self.chosen)
        for device, device_a in zip(facts.outing.devices, amperes, strict=True):
            used = used + charge_ah(device.duration_h * longer, device_a)
        return np.asarray(used)

    def _slower(self, ground: Floats) -> Floats:
        """How many times its hours each leg takes at these speeds; without end where it stops."""
        by_distance = np.array([leg.by_distance for leg in self.facts.outing.legs])
        wanted = np.broadcast_to(self.facts.ground_speeds_m_s, ground.shape)
        times = np.divide(wanted, ground, out=np.full(ground.shape, np.inf), where=ground > 0.0)
        return np.asarray(np.where(by_distance, times, 1.0))

    def _makes_top_speed(self, drag: Floats) -> Bools | None:
        top = self.facts.outing.limits.top_speed_m_s
        if top is None:
            return None
        still = np.zeros(drag.shape)
        return self._reaches(np.full(drag.shape, top), drag, still, still)


def simulate(boat: Boat, spreads: Spreads, days: int, seed: int | Sequence[int]) -> Run:
    """So many days drawn afresh; the same seed draws the same days."""
    random = np.random.default_rng(seed)
    runs = [
        boat.run(spreads.days(spreads.normals(random, min(CHUNK, days - done))))
        for done in range(0, days, CHUNK)
    ]
    top = [run.top_speed for run in runs if run.top_speed is not None]
    return Run(
        left_share=np.concatenate([run.left_share for run in runs]),
        full_ah=np.concatenate([run.full_ah for run in runs]),
        in_time=np.concatenate([run.in_time for run in runs]),
        top_speed=np.concatenate(top) if top else None,
        keep_share=boat.keep_share,
    )


@dataclass(frozen=True)
class Chances:
    """What came of the days drawn; ``top_speed`` is None where none is wished."""

    above_reserve: Chance
    above_zero: Chance
    in_time: Chance
    top_speed: Chance | None
    as_planned: Chance
    adrift: Chance


def chances(run: Run) -> Chances:
    def chance(of: Bools) -> Chance:
        return Chance(int(of.sum()), int(of.size))

    return Chances(
        above_reserve=chance(run.above_reserve),
        above_zero=chance(run.above_zero),
        in_time=chance(run.in_time),
        top_speed=None if run.top_speed is None else chance(run.top_speed),
        as_planned=chance(run.as_planned),
        adrift=chance(run.adrift),
    )
