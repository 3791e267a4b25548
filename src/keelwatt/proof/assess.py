"""One kit held against every limit of an outing, from the parts and the physics."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from keelwatt.files.catalog.parts import Battery, Connector, Controller, Fuse, Motor
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit, cable_cents, cable_g, grams, season_units, to_buy
from keelwatt.files.outing import Leg, Outing
from keelwatt.limits import narrowest
from keelwatt.physics import battery as battery_physics
from keelwatt.physics import metric, propeller
from keelwatt.physics import motor as motor_physics
from keelwatt.proof import checks
from keelwatt.proof.craft import Craft
from keelwatt.proof.model import Assessment, Chosen, LegResult, Totals

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]

SPEED_LADDER = 480
FINE_LADDER = 8000


@dataclass(frozen=True)
class Waters:
    """The water's resistance at one displacement."""

    legs_n: Floats
    top_n: float
    ladder_m_s: Floats
    ladder_n: Floats


class Assessor:
    """Holds one outing and one catalog, so that many kits can be held against them."""

    def __init__(self, outing: Outing, catalog: Catalog) -> None:
        self.outing = outing
        self.craft = Craft(outing)
        self._batteries = {p.id: p for p in catalog.batteries}
        self._motors = {p.id: p for p in catalog.motors}
        self._controllers = {p.id: p for p in catalog.controllers}
        self._cables = {p.id: p for p in catalog.cables}
        self._fuses = {p.id: p for p in catalog.fuses}
        self._connectors = {p.id: p for p in catalog.connectors}
        self._chargers = {p.id: p for p in catalog.chargers}
        self._compartments = {c.name: c for c in self.outing.craft.compartments}
        self._mounts = {m.name: m for m in self.outing.craft.mounts}
        self._waters = lru_cache(maxsize=4096)(self._waters_at)

    def chosen(self, kit: Kit) -> Chosen:
        return Chosen(
            battery=self._batteries[kit.battery],
            compartment=self._compartments[kit.compartment],
            motor=self._motors[kit.motor],
            mount=self._mounts[kit.mount],
            controller=self._controllers[kit.controller] if kit.controller else None,
            cable=self._cables[kit.cable],
            fuse=self._fuses[kit.fuse],
            connector=self._connectors[kit.connector],
            charger=self._chargers[kit.charger] if kit.charger else None,
        )

    def planned_run_m(self, kit: Kit) -> float:
        """One-way cable length between the kit's places, whatever the kit itself says."""
        return self.craft.run_m(self._compartments[kit.compartment], self._mounts[kit.mount])

    def _waters_at(self, displacement_g: int, fastest_m_s: float) -> Waters:
        """The water's resistance on the legs, at the wished top speed, and up a ladder."""
        legs = [through_m_s(leg) for leg in self.outing.legs]
        top = self.outing.limits.top_speed_m_s or 0.0
        ladder = np.linspace(0.0, fastest_m_s, SPEED_LADDER)
        water = self.craft.water_n(np.array([*legs, top, *ladder]), displacement_g / 1000.0)
        return Waters(water[: len(legs)], float(water[len(legs)]), ladder, water[len(legs) + 1 :])

    def _waters_of(self, chosen: Chosen, displacement_g: int) -> Waters:
        return self._waters(displacement_g, chosen.motor.no_thrust_speed_m_s)

    def assess(self, kit: Kit) -> Assessment:
        """Every limit of the outing for this kit, whose names must exist."""
        chosen = self.chosen(kit)
        totals = self._totals(kit, chosen)
        legs = tuple(self._legs(kit, chosen, totals))
        device_ah = self._device_ah(kit, chosen)
        usable_ah = (
            chosen.battery.capacity_ah
            * kit.parallel
            * self.craft.usable_share(chosen.battery.chemistry)
        )
        assessment = Assessment(kit, totals, legs, device_ah, usable_ah, ())
        limits = narrowest(checks.limits(checks.Held(self, chosen, assessment)))
        return Assessment(kit, totals, legs, device_ah, usable_ah, limits)

    def _totals(self, kit: Kit, chosen: Chosen) -> Totals:
        parts = self.outing.parts
        single: list[Motor | Fuse | Connector | Controller]
        single = [chosen.motor, chosen.fuse, chosen.connector]
        if chosen.controller:
            single.append(chosen.controller)
        prices = [to_buy(parts, part.id, 1) * part.price_cents for part in single]
        prices.append(to_buy(parts, chosen.cable.id, 1) * cable_cents(chosen.cable, kit.run_m))
        if chosen.charger:
            prices.append(to_buy(parts, chosen.charger.id, 1) * chosen.charger.price_cents)
        bank_cents = to_buy(parts, chosen.battery.id, kit.units) * chosen.battery.price_cents
        mass_g = (
            kit.units * grams(chosen.battery.mass_kg)
            + sum(grams(part.mass_kg) for part in single)
            + cable_g(chosen.cable, kit.run_m)
        )
        return Totals(
            price_cents=bank_cents + sum(prices),
            season_units=season_units(bank_cents, self._bank_seasons(chosen.battery))
            + sum(season_units(price) for price in prices),
            mass_g=mass_g,
            displacement_g=self.craft.bare_g + mass_g,
        )

    def _bank_seasons(self, battery: Battery) -> float:
        """Seasons until the cycles are spent or the years are over."""
        worn_out = battery.cycles / self.outing.wish.outings_per_season
        return min(battery.calendar_years, worn_out)

    def _legs(self, kit: Kit, chosen: Chosen, totals: Totals) -> Iterator[LegResult]:
        waters = self._waters_of(chosen, totals.displacement_g)
        for leg, water_n in zip(self.outing.legs, waters.legs_n, strict=True):
            speed = through_m_s(leg)
            thrust = float(water_n + self.craft.air_n(leg.speed_m_s, leg.headwind_m_s))
            ratio = float(_ratio(chosen.motor, thrust, speed))
            motor_a, battery_a = (float(a) for a in self.currents(kit, chosen, ratio, speed))
            yield LegResult(
                name=leg.name,
                speed_m_s=leg.speed_m_s,
                thrust_n=thrust,
                shaft_ratio=ratio,
                motor_a=motor_a,
                battery_a=battery_a,
                hours=leg.duration_h,
                charge_ah=self.charge_ah(kit, chosen, battery_a, leg.duration_h),
            )

    def charge_ah(self, kit: Kit, chosen: Chosen, bank_a: float, duration_h: float) -> float:
        """Charge taken from the whole bank, its strings sharing the current equally."""
        battery = chosen.battery
        return kit.parallel * float(
            battery_physics.charge_used_ah(
                duration_h=duration_h,
                current_a=bank_a / kit.parallel,
                capacity_ah=battery.capacity_ah,
                rated_h=battery.rated_h,
                peukert=battery.peukert,
            )
        )

    def currents(
        self,
        kit: Kit,
        chosen: Chosen,
        shaft_ratio: float | Floats,
        water_speed_m_s: float | Floats,
    ) -> tuple[Floats, Floats]:
        """(motor, battery) current at a shaft ratio, the whole allowed drop lost in the cable.

        A ratio out of reach runs the motor at its full setting.
        """
        motor = chosen.motor
        if chosen.chopper:
            ratio = np.minimum(shaft_ratio, self.shaft_reach(kit, chosen))
        else:
            ratio = np.asarray(
                motor_physics.step_ratio(
                    shaft_ratio=np.minimum(shaft_ratio, 1.0), steps=motor.steps
                )
            )
        motor_a = np.maximum(
            0.0,
            motor_physics.current_a(
                shaft_ratio=ratio,
                speed_fraction=np.asarray(water_speed_m_s) / motor.no_thrust_speed_m_s,
                max_current_a=motor.current_a,
                no_load_a=motor.no_load_a,
            ),
        )
        if not chosen.chopper:
            return motor_a, motor_a
        battery_a = motor_physics.chopper_current_a(
            motor_power_w=motor_physics.power_w(
                shaft_ratio=ratio, voltage_v=motor.system_v, current_a=motor_a
            ),
            efficiency=chosen.efficiency,
            drop_fraction=self.outing.limits.voltage_drop,
            bank_voltage_v=chosen.battery.voltage_v * kit.series,
        )
        return motor_a, np.asarray(battery_a)

    def shaft_reach(self, kit: Kit, chosen: Chosen) -> float:
        """The greatest share of full shaft speed this bank and motor reach after the drop.

        A bank above the motor's voltage earns no credit, one below it turns it slower.
        """
        bank_v = chosen.battery.voltage_v * kit.series
        return min(1.0, bank_v / chosen.motor.system_v) - self.outing.limits.voltage_drop

    def reaches(
        self, kit: Kit, chosen: Chosen, shaft_ratio: float | Floats, water_speed_m_s: float | Floats
    ) -> Bools:
        """Whether the motor turns that fast with the allowed drop, within the harness's current."""
        enough = np.asarray(shaft_ratio) <= self.shaft_reach(kit, chosen)
        if not chosen.chopper:
            return enough
        _, battery_a = self.currents(kit, chosen, shaft_ratio, water_speed_m_s)
        return enough & (battery_a <= chosen.motor.current_a)

    def top_ratio(self, chosen: Chosen, totals: Totals) -> float:
        """Shaft ratio the wished top speed asks for; 0 where none is wished."""
        top = self.outing.limits.top_speed_m_s or 0.0
        water = self._waters_of(chosen, totals.displacement_g).top_n
        thrust = water + float(self.craft.air_n(top, 0.0))
        return float(_ratio(chosen.motor, thrust, top))

    def speed_reached_m_s(
        self,
        kit: Kit,
        chosen: Chosen,
        displacement_g: int,
        *,
        headwind_m_s: float,
        current_m_s: float,
    ) -> float:
        """The greatest speed over ground at full setting, to the nearest rung of a fine ladder."""
        waters = self._waters_of(chosen, displacement_g)
        fastest = max(0.0, chosen.motor.no_thrust_speed_m_s - current_m_s)
        ground = np.linspace(0.0, fastest, FINE_LADDER)
        speed = np.maximum(0.0, ground + current_m_s)
        thrust = np.interp(speed, waters.ladder_m_s, waters.ladder_n) + self.craft.air_n(
            ground, headwind_m_s
        )
        good = self.reaches(kit, chosen, _ratio(chosen.motor, thrust, speed), speed)
        return float(ground[np.flatnonzero(good)[-1]]) if good.any() else 0.0

    def device_currents_a(self, kit: Kit, chosen: Chosen) -> tuple[float, ...]:
        volts = chosen.battery.voltage_v * kit.series
        return tuple(
            float(battery_physics.device_current_a(power_w=d.power_w, bank_voltage_v=volts))
            for d in self.outing.devices
        )

    def _device_ah(self, kit: Kit, chosen: Chosen) -> float:
        return sum(
            self.charge_ah(kit, chosen, current, device.duration_h)
            for device, current in zip(
                self.outing.devices, self.device_currents_a(kit, chosen), strict=True
            )
        )

    def circuit_ohm(self, kit: Kit, chosen: Chosen) -> float:
        """From the bank to the motor and back: cable, the motor's own lead and the contacts."""
        cable, motor = chosen.cable, chosen.motor
        area_mm2, by_area = motor.lead
        ohm = metric.circuit_resistance_ohm(
            run_m=kit.run_m,
            cable_ohm_m=metric.conductor_ohm_m(
                area_mm2=cable.area_mm2, by_area=cable.by_area, tinned=cable.tinned
            ),
            lead_m=motor.lead_m,
            lead_ohm_m=metric.conductor_ohm_m(area_mm2=area_mm2, by_area=by_area),
        )
        return float(ohm)

    def full_throttle_a(self, kit: Kit, chosen: Chosen) -> float:
        """What the bank gives with the motor tethered at its full setting and every device on."""
        devices = sum(self.device_currents_a(kit, chosen))
        if not chosen.chopper:
            return chosen.motor.current_a + devices
        return devices + float(
            motor_physics.chopper_current_a(
                motor_power_w=chosen.motor.system_v * chosen.motor.current_a,
                efficiency=chosen.efficiency,
                drop_fraction=self.outing.limits.voltage_drop,
                bank_voltage_v=chosen.battery.voltage_v * kit.series,
            )
        )


def through_m_s(leg: Leg) -> float:
    """A leg's speed through the water: a current against it adds, the hull never goes astern."""
    return max(0.0, leg.speed_m_s + leg.current_m_s)


def _ratio(motor: Motor, thrust_n: float | Floats, water_speed_m_s: float | Floats) -> Floats:
    return np.asarray(
        propeller.shaft_ratio(
            thrust_fraction=np.asarray(thrust_n) / motor.thrust_n,
            speed_fraction=np.asarray(water_speed_m_s) / motor.no_thrust_speed_m_s,
        )
    )
