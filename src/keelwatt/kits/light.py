"""Lower bounds over a whole catalog, before any table is made.

Cheap arrays over every bank type and every drive type, and what they must at least cost, weigh and
hold together. A bound never exceeds the truth: Peukert's law, the hatch and most limits are left
out, and every drive is asked only for what the lightest boat would ask.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar

import numpy as np
import numpy.typing as npt

from keelwatt.boat.facts import Facts
from keelwatt.boat.powertrain import Drive
from keelwatt.boat.resistance import Displacements
from keelwatt.files.catalog.parts import Battery, Controller, Motor
from keelwatt.files.kit import (
    bank_seasons,
    grams,
    just_below,
    season_units,
    to_buy,
    whole_grams_within,
)
from keelwatt.kits.least import NEVER, LeastCharger, LeastWiring
from keelwatt.kits.shelf import worthwhile
from keelwatt.limits import LIMITS, MEASURED
from keelwatt.physics import protection
from keelwatt.physics.battery import DEVICE_EFFICIENCY

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

UNDER = 1.0 - 1e-6
"""Takes rounding out of a lower bound."""


@dataclass(frozen=True)
class Light:
    """Every bank type and drive type the outing allows, as arrays."""

    facts: Facts
    batteries: tuple[Battery, ...]
    motors: tuple[Motor, ...]
    controllers: tuple[Controller | None, ...]
    charger: LeastCharger
    wiring: LeastWiring

    never: ClassVar[int] = NEVER

    @cached_property
    def bank_types(self) -> Ints:
        """(battery, n_s, n_p) of every type that some compartment takes, shape (n, 3)."""
        systems = {motor.system_v for motor in self.motors}
        strings = [
            (number, series, battery.max_parallel)
            for number, battery in enumerate(self.batteries)
            for series in range(1, battery.max_series + 1)
            if series * battery.system_v in systems
        ]
        one = np.array(strings, dtype=np.int64).reshape(len(strings), 3)
        most = one[:, 2]
        types = np.repeat(one, most, axis=0)
        types[:, 2] = np.arange(len(types)) - np.repeat(np.cumsum(most) - most, most) + 1
        return types[self._stowed(types)]

    def _stowed(self, types: Ints) -> Bools:
        """Whether some compartment may take the bank: a loose bound, hatch and load left out."""
        sides = np.array([(b.length_m, b.width_m, b.height_m) for b in self.batteries])
        unit, units = sides.reshape(-1, 3)[types[:, 0]], types[:, 1] * types[:, 2]
        volume = unit.prod(axis=1) * units
        craft, clearance = self.facts.outing.craft, self.facts.outing.policy.clearance_m
        longest = unit.max(axis=1)
        stowed = np.zeros(len(types), dtype=bool)
        for box in craft.compartments:
            room = np.array([box.length_m, box.width_m, box.height_m]) - 2 * clearance + 1e-6
            if (room > 0.0).all():
                stowed |= (volume <= room.prod()) & (longest <= room.max())
        return stowed

    def _of_batteries(self, values: Iterable[float]) -> Floats:
        return np.array(list(values), dtype=float)[self.bank_types[:, 0]]

    @cached_property
    def bank_system_v(self) -> Ints:
        system = self._of_batteries(b.system_v for b in self.batteries)
        return np.asarray(system.astype(np.int64) * self.bank_types[:, 1])

    @cached_property
    def fault_a(self) -> Floats:
        """Short-circuit current of every bank type."""
        one = self._of_batteries(b.string_short_circuit_a for b in self.batteries)
        return one * self.bank_types[:, 2]

    @cached_property
    def bank_measures(self) -> dict[str, Ints]:
        """Cost, mass and season price of every bank type, its cheapest charger's in the prices."""
        outing = self.facts.outing
        cost, mass, season = [], [], []
        for number, series, parallel in self.bank_types.tolist():
            battery, units = self.batteries[number], series * parallel
            price = to_buy(outing.parts, battery.id, units) * battery.price_cents
            cost.append(price)
            mass.append(units * grams(battery.mass_kg))
            seasons = bank_seasons(battery, outing.wish.outings_per_season)
            season.append(season_units(price, seasons))
        charger = self.charger.cents(
            np.array([b.chemistry for b in self.batteries])[self.bank_types[:, 0]],
            self.bank_system_v,
            self.supply["ah"],
        )
        return {
            "cost": np.minimum(_ints(cost) + charger, NEVER),
            "mass": _ints(mass),
            "season": np.minimum(_ints(season) + charger * season_units(1), NEVER),
        }

    @cached_property
    def supply(self) -> dict[str, Floats]:
        """Ampere-hours and watt-hours a bank type may give to the outing."""
        share = {
            chemistry: self.facts.usable_share(chemistry)
            for chemistry in {b.chemistry for b in self.batteries}
        }
        one = self._of_batteries(b.capacity_ah * share[b.chemistry] for b in self.batteries)
        ah = one * self.bank_types[:, 2]
        volts = self._of_batteries(b.voltage_v for b in self.batteries) * self.bank_types[:, 1]
        return {"ah": ah, "wh": ah * volts}

    @cached_property
    def drive_types(self) -> Ints:
        """(motor, controller or -1 for the motor's own control) of every type, shape (n, 2).

        Controllers that another beats for the same motor are left out: one beats another if it is
        no dearer, no heavier and no less efficient, and is truly better in price or mass or comes
        earlier in the catalog. Every limit grows with a controller's price and mass and eases with
        its efficiency, so a beaten one is in no best kit.
        """
        own = [(m, -1) for m in range(len(self.motors))] if None in self.controllers else []
        by_needs: dict[tuple[int, float], list[int]] = {}
        for number, motor in enumerate(self.motors):
            if motor.control == "stepped":
                by_needs.setdefault((motor.system_v, motor.current_a), []).append(number)
        efficiency = np.array([c.efficiency if c else 0.0 for c in self.controllers])
        low, high, amperes = self._controller_reach.T
        price, mass = (sums[:-1] for sums in self._controller_sums)

        def of(numbers: Ints, *virtues: Floats) -> Ints:
            """Those of the numbered controllers that none of them beats."""
            each = np.column_stack([efficiency, *virtues])[numbers]
            return numbers[worthwhile(price[numbers], mass[numbers], each)]

        worth = of(np.flatnonzero([c is not None for c in self.controllers]), -low, high, amperes)
        found, known = list(own), dict[bytes, list[int]]()
        for (system_v, current_a), motors in by_needs.items():
            needs = float(protection.smallest_controller_a(max_current_a=current_a))
            fits = (low <= system_v) & (system_v <= high) & (amperes >= just_below(needs))
            numbers = worth[fits[worth]]
            if numbers.tobytes() not in known:
                known[numbers.tobytes()] = of(numbers).tolist()
            for controller in known[numbers.tobytes()]:
                found += [(motor, controller) for motor in motors]
        return np.array(sorted(found), dtype=np.int64).reshape(len(found), 2)

    @cached_property
    def _controller_reach(self) -> Floats:
        """Lowest and highest system and current of each controller, shape (n, 3)."""
        return np.array(
            [
                (c.min_system_v, c.max_system_v, c.current_a) if c else (0.0, 0.0, 0.0)
                for c in self.controllers
            ]
        ).reshape(-1, 3)

    @cached_property
    def _controller_sums(self) -> tuple[Ints, Ints]:
        """Price to pay and mass of each controller; the last stands for none."""
        parts = self.facts.outing.parts
        price = [to_buy(parts, c.id, 1) * c.price_cents if c else 0 for c in self.controllers]
        mass = [grams(c.mass_kg) if c else 0 for c in self.controllers]
        return _ints([*price, 0]), _ints([*mass, 0])

    def of_motors(self, name: str) -> Floats:
        """A number of every drive type's motor."""
        return np.array([getattr(m, name) for m in self.motors], dtype=float)[
            self.drive_types[:, 0]
        ]

    @cached_property
    def drive_measures(self) -> dict[str, Ints]:
        parts = self.facts.outing.parts
        motor, controller = self.drive_types.T
        cost = _ints(to_buy(parts, m.id, 1) * m.price_cents for m in self.motors)[motor]
        mass = _ints(grams(m.mass_kg) for m in self.motors)[motor]
        extra_cost, extra_mass = (sums[controller] for sums in self._controller_sums)
        total = cost + extra_cost
        return {"cost": total, "mass": mass + extra_mass, "season": total * season_units(1)}

    @cached_property
    def displacements(self) -> Displacements:
        fastest = max((motor.no_thrust_speed_m_s for motor in self.motors), default=0.1)
        low_kg, high_kg = self.facts.bare_g / 1000.0, self.cap_g / 1000.0
        return Displacements.between(self.facts, low_kg, high_kg, fastest)

    @cached_property
    def needs(self) -> tuple[Bools, dict[str, Floats]]:
        """(chopped, charge or energy the outing asks of the bank) of every drive type.

        ``ah`` counts where the motor's own steps rule, ``wh`` where a chopper does; without end
        where the motor cannot hold a leg or the top speed.
        """
        facts, drop = self.facts, self.facts.outing.limits.voltage_drop
        lightest_g = facts.bare_g + int(self.bank_measures["mass"].min(initial=0))
        water = self.displacements.resistance(np.array([lightest_g]))
        motors = Drive.stacked(Drive.of_parts(motor, None) for motor in self.motors)
        legs = facts.legs

        def ratio_at(ground_m_s: Floats, headwind_m_s: Floats, through_m_s: Floats) -> Floats:
            thrust_n = water.water_n(through_m_s) + facts.air_n(ground_m_s, headwind_m_s)
            return motors.shaft_ratio(UNDER * thrust_n, through_m_s)

        through = legs.through_m_s(legs.ground_m_s)
        ratio = ratio_at(legs.ground_m_s, legs.headwind_m_s, through)
        top = np.array([[facts.outing.limits.top_speed_m_s or 0.0]])
        hardest = np.maximum(ratio.max(axis=0), ratio_at(top, np.zeros((1, 1)), top)[0])
        able = hardest * UNDER <= 1.0 - drop
        ratio = np.minimum(ratio, 1.0)
        stepped_a = motors.motor_a(motors.step_ratio(ratio * UNDER), through)
        device_wh = sum(d.power_w * d.duration_h for d in facts.outing.devices) / DEVICE_EFFICIENCY
        most_v = float((self.supply["wh"] / self.supply["ah"]).max(initial=1.0))
        ah = (stepped_a * legs.duration_h).sum(axis=0) + device_wh / most_v
        power = motors.power_w(ratio, motors.motor_a(ratio, through))
        wh = (power * legs.duration_h).sum(axis=0) / (1.0 - drop)
        motor, controller = self.drive_types.T
        efficiency = np.array([c.efficiency if c else 1.0 for c in self.controllers] + [1.0])
        chopped = (controller >= 0) | motors.chopper[motor]
        own = np.where(controller >= 0, 1.0, motors.efficiency[motor])
        need_wh = wh[motor] / (efficiency[controller] * own) + device_wh
        never = ~able[motor]
        return chopped, {
            "ah": np.where(never, np.inf, ah[motor] * UNDER),
            "wh": np.where(never, np.inf, need_wh * UNDER),
        }

    @cached_property
    def bearable(self) -> Bools:
        """Bank types that break no limit by themselves."""
        limits, measures = self.facts.outing.limits, self.bank_measures
        good = measures["cost"] < NEVER
        for measure, most in self.limits.items():
            good &= measures[measure] <= most
        if limits.lift_kg is not None:
            piece = self._of_batteries(grams(b.mass_kg) for b in self.batteries)
            good &= piece <= whole_grams_within(limits.lift_kg)
        return good

    @cached_property
    def limits(self) -> dict[str, int]:
        """The most a whole kit may come to in a measure."""
        most: dict[str, int] = {"mass": self.facts.room_g}
        for name, measure in MEASURED.items():
            if (bound := LIMITS[name].whole(self.facts.outing.limits)) is not None:
                most[measure] = min(bound, most.get(measure, bound))
        return most

    @property
    def couples(self) -> int:
        return len(self.bank_types) * len(self.drive_types)

    @cached_property
    def cap_g(self) -> int:
        """The heaviest boat any kit of the catalog makes."""
        heaviest = (
            int(self.bank_measures["mass"].max(initial=0)),
            max((grams(motor.mass_kg) for motor in self.motors), default=0),
            int(self._controller_sums[1].max()),
            self.wiring.heaviest_g,
        )
        return self.facts.bare_g + sum(heaviest)


def _ints(values: Iterable[int]) -> Ints:
    return np.array(list(values), dtype=np.int64)
