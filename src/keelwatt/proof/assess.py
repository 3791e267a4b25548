"""One kit held against every limit of an outing, from the parts and the physics."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import inf

import numpy as np
import numpy.typing as npt

from keelwatt.files.catalog.parts import Battery, Connector, Controller, Fuse, Motor
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit, cable_cents, cable_g, grams, season_units, to_buy
from keelwatt.files.outing import Leg, Outing
from keelwatt.limits import narrowest
from keelwatt.physics import battery as battery_physics
from keelwatt.physics import motor as motor_physics
from keelwatt.proof import checks
from keelwatt.proof.craft import Craft
from keelwatt.proof.drive import Drive, plan
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


@dataclass(frozen=True)
class Run:
    """A drive on a leg: the thrust asked for, its shaft speed, the speed through the water."""

    drive: Drive
    leg: Leg
    thrust_n: float
    ratio: float
    through_m_s: float


@dataclass(frozen=True)
class Draw:
    """What motor and bank give on a leg, and the throttle or the steps (lower, upper, share)."""

    motor_a: float
    battery_a: float
    throttle: float | None
    steps: tuple[int, int, float] | None


def _chopped(run: Run) -> Draw:
    """At the throttle that holds the speed; off where no thrust is asked."""
    drive, speed = run.drive, run.through_m_s
    if run.thrust_n <= 0.0:
        return Draw(0.0, 0.0, 0.0, None)
    held = float(drive.held_at(run.ratio, speed))
    throttle = float(drive.volts(held, speed)) / drive.supply_v
    return Draw(
        float(drive.motor_a(held, speed)), float(drive.chopper_a(held, speed)), throttle, None
    )


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
        ladder = np.linspace(0.0, max(fastest_m_s, top, *legs), SPEED_LADDER)
        water = self.craft.water_n(np.array([*legs, top, *ladder]), displacement_g / 1000.0)
        return Waters(water[: len(legs)], float(water[len(legs)]), ladder, water[len(legs) + 1 :])

    def drive(self, kit: Kit, chosen: Chosen) -> Drive:
        outing = self.outing
        planned = plan(
            chosen.motor,
            claimed_share=outing.policy.claimed_thrust,
            density_kg_m3=self.craft.density_kg_m3,
            drop=outing.limits.voltage_drop,
        )
        return Drive(chosen, planned, kit.series)

    def _waters_of(self, kit: Kit, chosen: Chosen, displacement_g: int) -> Waters:
        return self._waters(displacement_g, self.drive(kit, chosen).fastest_m_s)

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
        waters, drive = self._waters_of(kit, chosen, totals.displacement_g), self.drive(kit, chosen)
        for leg, water_n in zip(self.outing.legs, waters.legs_n, strict=True):
            speed = through_m_s(leg)
            thrust = float(water_n + self.craft.air_n(leg.speed_m_s, leg.headwind_m_s))
            ratio = float(drive.shaft_ratio(thrust, speed))
            run = Run(drive, leg, thrust, ratio, speed)
            stepped = not chosen.chopper and thrust > 0.0
            draw = self._stepped(run, waters, totals) if stepped else _chopped(run)
            yield LegResult(
                name=leg.name,
                speed_m_s=leg.speed_m_s,
                thrust_n=thrust,
                shaft_ratio=ratio,
                motor_v=float(drive.volts(ratio, speed)),
                motor_a=draw.motor_a,
                battery_a=draw.battery_a,
                hours=leg.duration_h,
                charge_ah=self.charge_ah(kit, chosen, draw.battery_a, leg.duration_h),
                throttle=draw.throttle,
                steps=draw.steps,
            )

    def _stepped(self, run: Run, waters: Waters, totals: Totals) -> Draw:
        """On the two steps alternated, against wind at least with what holds the boat's place."""
        drive, leg, drift_m_s = run.drive, run.leg, run.leg.speed_m_s - run.through_m_s

        def pull(through_m_s: Floats) -> Floats:
            water_n = self.craft.water_n(through_m_s, totals.displacement_kg)
            return water_n + self.craft.air_n(through_m_s + drift_m_s, leg.headwind_m_s)

        ladder = waters.ladder_m_s
        coarse_n = waters.ladder_n + self.craft.air_n(ladder + drift_m_s, leg.headwind_m_s)
        moving = drive.moving(run.through_m_s, drive.settled_m_s(ladder, coarse_n, pull))
        holding = drive.holding(float(self.craft.air_n(drift_m_s, leg.headwind_m_s)))
        amperes, between = max(moving, holding, key=lambda each: np.nan_to_num(each[0], nan=inf))
        if np.isnan(amperes):
            amperes = float(
                drive.motor_a(drive.held_at(run.ratio, run.through_m_s), run.through_m_s)
            )
            return Draw(amperes, amperes, None, None)
        steps = (int(between.lower), int(between.upper), float(between.share))
        return Draw(amperes, amperes, None, steps)

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

    def reaches(
        self, kit: Kit, chosen: Chosen, shaft_ratio: float | Floats, water_speed_m_s: float | Floats
    ) -> Bools:
        """Whether the motor turns that fast with the allowed drop, within the harness's current."""
        drive = self.drive(kit, chosen)
        enough = drive.reaches(shaft_ratio, water_speed_m_s)
        if not chosen.chopper:
            return enough
        ratio = drive.held_at(shaft_ratio, water_speed_m_s)
        return enough & (drive.chopper_a(ratio, water_speed_m_s) <= chosen.motor.current_a)

    def top_ratio(self, kit: Kit, chosen: Chosen, totals: Totals) -> float:
        """Shaft ratio the wished top speed asks for; 0 where none is wished."""
        top = self.outing.limits.top_speed_m_s or 0.0
        water = self._waters_of(kit, chosen, totals.displacement_g).top_n
        thrust = water + float(self.craft.air_n(top, 0.0))
        return float(self.drive(kit, chosen).shaft_ratio(thrust, top))

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
        waters, drive = self._waters_of(kit, chosen, displacement_g), self.drive(kit, chosen)
        fastest = max(0.0, drive.fastest_m_s - current_m_s)
        ground = np.linspace(0.0, fastest, FINE_LADDER)
        speed = np.maximum(0.0, ground + current_m_s)
        thrust = np.interp(speed, waters.ladder_m_s, waters.ladder_n) + self.craft.air_n(
            ground, headwind_m_s
        )
        good = self.reaches(kit, chosen, drive.shaft_ratio(thrust, speed), speed)
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
