"""Many days with one kit: what is left in its bank, and whether it keeps the speeds wanted.
A leg on which the motor cannot make the speed wanted is run at full throttle, as fast as that goes:
one given by its distance then takes longer, one given by its hours does not. Where not even its
place can be held, the day counts as not home. Devices run longer or shorter as the day does."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property
from math import sqrt
from typing import Any

import numpy as np

from keelwatt.boat.arrays import Bools, Floats
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.running import HALVINGS, Running
from keelwatt.boat.search import last_met
from keelwatt.chance.spreads import Days, Spreads
from keelwatt.files.kit import Kit, just_above
from keelwatt.physics.bank import cold_factor
from keelwatt.proof import Assessment, Assessor
from keelwatt.proof.model import Chosen

Z_95 = 1.959963984540054
"""Standard deviations about the mean that hold 95 % of a normal distribution."""

DAYS, SEED = 10_000, 1
FEWEST_DAYS, MOST_DAYS = 100, 1_000_000
CHUNK = 20_000
"""Days worked out at a time, to keep arrays small."""


@dataclass(frozen=True)
class Run:
    """Days worked out, shape (days,).
    ``left_share``: of what a full bank holds that day, below 0 where it was flat before home and
    minus infinity where the craft never came home; ``full_ah`` what that is; ``in_time``: every leg
    at its speed; ``top_speed``: the top speed wished could be reached, None where none is."""

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
        met = self.above_reserve & self.in_time
        return met if self.top_speed is None else met & self.top_speed


@dataclass(frozen=True)
class Boat:
    """An outing's craft with one kit, ready for any day."""

    assessor: Assessor
    kit: Kit

    @cached_property
    def case(self) -> LoadCase:
        return LoadCase(self.assessor.outing)

    @cached_property
    def chosen(self) -> Chosen:
        return self.assessor.chosen(self.kit)

    @cached_property
    def assessment(self) -> Assessment:
        return self.assessor.assess(self.kit)

    @cached_property
    def running(self) -> Running:
        """The day as planned, the water's resistance worked out once."""
        chosen = self.chosen
        parts = (chosen.battery, chosen.motor, chosen.controller)
        kilograms = self.assessment.totals.displacement_kg
        return Running.of_kit(self.case, self.kit, parts, kilograms)

    @property
    def keep_share(self) -> float:
        """What must stay in the bank, as a share of what it holds when full."""
        chemistry = self.chosen.battery.chemistry
        return 1.0 - self.case.usable_share(chemistry) / self.case.full_share(chemistry)

    def run(self, days: Days) -> Run:
        """Every day by itself: nothing is carried over from one to the next."""
        running = self._drawn(days)
        wanted = np.broadcast_to(running.legs.ground_m_s, days.headwind_m_s.T.shape)
        met = running.on_legs(wanted, reach_only=True).feasible
        late = np.flatnonzero(~met.all(axis=0))
        ground = wanted.copy()
        reached = _reached_m_s(running.of(late), wanted[:, late])
        ground[:, late] = np.where(met[:, late], wanted[:, late], reached)
        stuck = np.isnan(ground).any(axis=0)
        ground[:, stuck] = wanted[:, stuck]
        used = np.where(stuck, np.inf, _used_ah(running, ground))
        battery, policy = self.chosen.battery, self.case.outing.policy
        full = battery.capacity_ah * self.kit.parallel * policy.health * days.capacity
        full = full * cold_factor(chemistry=battery.chemistry, temperature_c=days.battery_c)
        top = self.case.outing.limits.top_speed_m_s
        return Run(
            left_share=1.0 - used / full,
            full_ah=full,
            in_time=np.asarray(met.all(axis=0)),
            top_speed=None if top is None else running.in_calm(np.array([top])).feasible,
            keep_share=self.keep_share,
        )

    def _drawn(self, days: Days) -> Running:
        """The legs as the days turn out, shape (legs, days)."""
        planned = self.running
        legs = replace(
            planned.legs,
            headwind_m_s=days.headwind_m_s.T,
            stream_m_s=days.current_m_s.T,
            duration_h=planned.legs.duration_h * days.length.T,
        )
        spread = Spreads(self.case.outing).thrust(self.chosen.motor)
        drive = planned.train.drive.pulling(np.exp(spread * days.thrust))
        return replace(
            planned,
            legs=legs,
            train=replace(planned.train, drive=drive),
            water=replace(planned.water, factor=days.drag_factor),
        )


def _used_ah(running: Running, ground_m_s: Floats) -> Floats:
    """Charge of each day; devices run longer or shorter as the day does."""
    hours = running.legs.hours_at(ground_m_s)
    longer = hours.sum(axis=0) / running.case.outing_hours
    legs = replace(running.legs, device_h=running.legs.device_h * longer)
    return replace(running, legs=legs).used_ah(running.on_legs(ground_m_s).battery_a, hours)


def _reached_m_s(running: Running, wanted_m_s: Floats) -> Floats:
    """The greatest speed over ground below one out of reach; NaN where not even 0."""

    def feasible(ground_m_s: Floats) -> Bools:
        return running.on_legs(ground_m_s, reach_only=True).feasible

    still = np.zeros(wanted_m_s.shape)
    return np.where(feasible(still), last_met(feasible, still, wanted_m_s, HALVINGS), np.nan)


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
class Chance:
    """How many of the days drawn were so."""

    hits: int
    days: int

    @property
    def share(self) -> float:
        return self.hits / self.days

    @property
    def standard_error(self) -> float:
        """Of the share, from the days drawn alone."""
        return sqrt(self.share * (1.0 - self.share) / self.days)

    @property
    def interval(self) -> tuple[float, float]:
        """Holds the true chance 95 times in 100 (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927).

        >>> low, high = Chance(9, 10).interval
        >>> f"{low:.4f} {high:.4f}"
        '0.5958 0.9821'
        """
        n, p, z = self.days, self.share, Z_95
        middle = p + z * z / (2 * n)
        reach = z * sqrt(p * (1 - p) / n + z * z / (4 * n * n))
        scale = 1 + z * z / n
        low, high = (middle - reach) / scale, (middle + reach) / scale
        return (0.0 if not self.hits else low), (1.0 if self.hits == n else high)


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
    """The chance of whatever a run tells under the same name."""
    counted: dict[str, Any] = {}
    for name in (field.name for field in fields(Chances)):
        days = getattr(run, name)
        counted[name] = None if days is None else Chance(int(days.sum()), int(days.size))
    return Chances(**counted)
