"""The chance limit as one more W_max per pair of bank and drive.
All that is uncertain of a day lies in W_max, the largest all-up mass at which a pair still meets
it. A kit meets so many of the days drawn if and only if it is no heavier than that many of the
pair's W_max over those days allow: a number found by bisection like W_max itself, so tables, search
and program stay what they are."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.resistance import Resistance
from keelwatt.boat.running import Running
from keelwatt.boat.search import largest_met
from keelwatt.chance.spreads import Days, Spreads
from keelwatt.files.outing import Outing
from keelwatt.kits import DEMANDS, NEVER, Pairs, Types
from keelwatt.physics.bank import cold_factor


def drawn_outing(outing: Outing, days: Days, day: int) -> Outing:
    """The outing as one day turns out, but for the bank: its age and warmth are not an outing's."""
    legs = tuple(
        leg.model_copy(
            update={
                "headwind_m_s": float(days.headwind_m_s[day, at]),
                "current_m_s": float(days.current_m_s[day, at]),
                "duration_h": leg.duration_h * float(days.length[day, at]),
            }
        )
        for at, leg in enumerate(outing.legs)
    )
    longer = sum(leg.duration_h for leg in legs) / sum(leg.duration_h for leg in outing.legs)
    devices = tuple(
        device.model_copy(update={"duration_h": device.duration_h * longer})
        for device in outing.devices
    )
    craft = outing.craft.model_copy(update={"drag_factor": float(days.drag_factor[day])})
    return outing.model_copy(update={"craft": craft, "legs": legs, "devices": devices})


def holds_share(case: LoadCase, chemistry: str, days: Days) -> Floats:
    """What a bank holds on each day, as a share of what the outing plans on, shape (days,)."""
    planned = cold_factor(chemistry=chemistry, temperature_c=case.outing.water.temperature_c)
    factor = cold_factor(chemistry=chemistry, temperature_c=days.battery_c)
    return np.asarray(days.capacity * factor / planned)


@dataclass(frozen=True)
class Scenarios:
    """Days for couples of bank and drive types, the hardest first. ``holds``: by chemistry, what a
    bank holds on each day, as a share of what the outing plans on."""

    types: Types
    days: tuple[LoadCase, ...]
    thrust: Floats
    holds: dict[str, Floats]

    @classmethod
    def of(cls, types: Types, days: Days) -> "Scenarios":
        case = types.case
        made = [LoadCase(drawn_outing(case.outing, days, day)) for day in range(len(days))]
        bare = types.displacements.resistance(np.array([case.bare_g]))
        efforts = np.array([_effort(day, bare) for day in made])
        weak = np.exp(-case.outing.odds.thrust_spread * days.thrust)
        hardest = np.argsort(-efforts * weak / days.capacity, kind="stable")
        kinds = np.unique(types.bank["chemistry"]).tolist()
        holds = {kind: holds_share(case, kind, days)[hardest] for kind in kinds}
        thrust = days.thrust[hardest]
        return cls(types, tuple(made[day] for day in hardest), thrust, holds)

    @cached_property
    def fastest_m_s(self) -> float:
        top_m_s = self.types.case.outing.limits.top_speed_m_s or 0.0
        return max(top_m_s, *(float(day.water_speeds_m_s.max()) for day in self.days))

    @cached_property
    def _spread(self) -> Floats:
        spreads = Spreads(self.types.case.outing)
        return np.array([spreads.thrust(motor) for motor in self.types.motors])

    def enough(self, bank_type: Ints, drive_type: Ints, mass_g: Ints, needed: int) -> Bools:
        """Whether couples of these masses meet so many of the days, shape (n,)."""
        spare = len(self.days) - needed
        water = self.types.displacements.resistance(mass_g, self.fastest_m_s)
        trains = self.types.day.train(bank_type, drive_type)
        kinds, kind = np.unique(self.types.bank["chemistry"][bank_type], return_inverse=True)
        holds = np.array([self.holds[name] for name in kinds.tolist()])
        spread = self._spread[self.types.drive_types[drive_type, 0]]
        missed = np.zeros(mass_g.shape, dtype=np.int64)
        open_ = np.arange(mass_g.size)
        for number, case in enumerate(self.days):
            if not open_.size:
                break
            train = trains.of(open_)
            usable_ah = train.bank.usable_ah * holds[kind.ravel()[open_], number]
            pulls = np.exp(spread[open_] * self.thrust[number])
            bank, drive = replace(train.bank, usable_ah=usable_ah), train.drive.pulling(pulls)
            train = replace(train, bank=bank, drive=drive)
            factor = np.asarray(case.outing.craft.drag_factor)
            boats = replace(water.of(open_), factor=factor)
            day = Running(case, case.legs, train, boats)
            missed[open_] += ~np.logical_and.reduce([day.met(demand) for demand in DEMANDS])
            open_ = open_[missed[open_] <= spare]
        return np.asarray(missed <= spare)

    def demanding(self, pairs: Pairs, needed: int) -> Pairs:
        """The couples with what they may weigh to meet so many of the days besides.
        The chance is put into W_max for ``hours``."""
        planned = np.minimum.reduce([pairs.w_max_g[demand] for demand in DEMANDS])
        w_max = np.full(planned.shape, NEVER)
        asked = np.flatnonzero(planned != NEVER)
        if asked.size:
            w_max[asked] = self._largest(pairs, asked, planned[asked], needed)
        w_max_g = pairs.w_max_g | {"hours": np.minimum(w_max, pairs.w_max_g["hours"])}
        return replace(pairs, w_max_g=w_max_g)

    def _largest(self, pairs: Pairs, asked: Ints, planned_g: Ints, needed: int) -> Ints:
        """By couple, the largest whole gram that meets enough days, NEVER where none does."""
        every = pairs.bank, pairs.drive, pairs.low_g, pairs.high_g
        b, d, low, high = (of[asked] for of in every)
        high = np.minimum(planned_g, high)

        def met(places: Ints, mass_g: Ints) -> Bools:
            return self.enough(b[places], d[places], mass_g, needed)

        at_high = met(np.arange(b.size), high)
        at_low, rest = at_high.copy(), np.flatnonzero(~at_high)
        at_low[rest] = met(rest, low[rest])
        found = largest_met(met, low, high, at_low=at_low, at_high=at_high, never=NEVER)
        return np.where(at_high, planned_g, found)


def _effort(case: LoadCase, bare: Resistance) -> float:
    """How hard a day is: the boat's pull without a kit times hours."""
    legs = case.legs
    water = replace(bare, factor=np.asarray(case.outing.craft.drag_factor))
    pull_n = water.water_n(legs.through_m_s(legs.ground_m_s), legs.depth_m)
    pull_n = pull_n + case.air_n(legs.ground_m_s, legs.headwind_m_s)
    return float((legs.duration_h * pull_n).sum())
