"""One drawn day for the proof: load_case whose bank is that day's, and kits counted one by one."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from keelwatt.chance.scenarios import drawn_outing
from keelwatt.chance.spreads import Days, Spreads
from keelwatt.files.catalog.parts import Motor
from keelwatt.files.kit import Kit
from keelwatt.physics.bank import cold_factor
from oracle.cheap_water import CheapAssessor, CheapCraft
from oracle.random_cases import Case

DEMANDS = {"hours", "leg_speed", "top_speed"}


@dataclass(frozen=True)
class DrawnCraft(CheapCraft):
    """A craft on a day on which its bank holds more or less than planned."""

    capacity: float = 1.0
    battery_c: float = 15.0

    def full_share(self, chemistry: str) -> float:
        factor = cold_factor(chemistry=chemistry, temperature_c=self.battery_c)
        return self.outing.policy.health * self.capacity * float(factor)


@dataclass(frozen=True)
class DrawnCase:
    """A random case and a few days drawn about it."""

    case: Case
    count: int

    @cached_property
    def days(self) -> Days:
        spreads = Spreads(self.case.outing)
        random = np.random.default_rng(self.case.seed)
        return spreads.days(spreads.normals(random, self.count))

    @cached_property
    def assessors(self) -> tuple[CheapAssessor, ...]:
        return tuple(self._assessor(day) for day in range(self.count))

    def _assessor(self, day: int) -> CheapAssessor:
        outing = drawn_outing(self.case.outing, self.days, day)
        assessor = CheapAssessor(outing, replace(self.case.catalog, motors=self._motors(day)))
        capacity, battery_c = self.days.capacity[day], self.days.battery_c[day]
        assessor.craft = DrawnCraft(outing, float(capacity), float(battery_c))
        return assessor

    def _motors(self, day: int) -> tuple[Motor, ...]:
        """As they pull that day; one that pulls less pulls no more at less speed."""
        spreads, case = Spreads(self.case.outing), self.case.load_case
        pulls = [float(np.exp(spreads.thrust(m) * self.days.thrust[day])) for m in self.motors]
        return tuple(
            motor.model_copy(
                update={
                    "thrust_n": motor.thrust_n * pull,
                    "no_thrust_speed_m_s": case.no_thrust_speed_m_s(motor) * pull**0.5,
                }
            )
            for motor, pull in zip(self.motors, pulls, strict=True)
        )

    @property
    def motors(self) -> tuple[Motor, ...]:
        return self.case.catalog.motors

    def met(self, kit: Kit) -> int:
        """On how many of the days the kit meets every demand, by the proof."""
        return sum(
            not DEMANDS & {limit.name for limit in assessor.assess(kit).broken}
            for assessor in self.assessors
        )
