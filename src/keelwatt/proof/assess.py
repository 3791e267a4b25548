"""One kit held against every limit of an outing, from the parts and the physics."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import inf
from typing import Any

import numpy as np

from keelwatt.files.catalog.beside import Beside
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.kit import Kit
from keelwatt.files.outing import Outing
from keelwatt.limits import narrowest
from keelwatt.physics import bank as bank_physics
from keelwatt.physics import battery as battery_physics
from keelwatt.physics import metric
from keelwatt.physics.real import Bools, Floats
from keelwatt.proof import checks
from keelwatt.proof.bill import Bill
from keelwatt.proof.billing import Billing
from keelwatt.proof.craft import Craft
from keelwatt.proof.drive import Drive, plan
from keelwatt.proof.held import Held
from keelwatt.proof.model import Assessment, Chosen, LegResult, Totals
from keelwatt.proof.ways import Run, Waters, Way

SPEED_LADDER = 480
FINE_LADDER = 8000


@dataclass(frozen=True)
class Draw:
    """What motor and bank give on a leg, and the throttle or the steps (lower, upper, share)."""

    motor_a: float
    battery_a: float
    throttle: float | None
    steps: tuple[int, int, float] | None


OFF = Draw(0.0, 0.0, None, None)


class Assessor:
    """Holds one outing and one catalog, so that many kits can be held against them."""

    def __init__(self, outing: Outing, catalog: Catalog) -> None:
        self.outing = outing
        self.beside = Beside(catalog, outing)
        self.craft = Craft(outing)
        self._parts: dict[str, Any] = {
            part.id: part for shelf in catalog.kinds().values() for part in shelf
        }
        self._compartments = {c.name: c for c in self.outing.craft.compartments}
        self._mounts = {m.name: m for m in self.outing.craft.mounts}
        self._waters = lru_cache(maxsize=4096)(self._waters_at)

    def chosen(self, kit: Kit) -> Chosen:
        return Chosen(
            battery=self._parts[kit.battery],
            compartment=self._compartments[kit.compartment],
            motor=self._parts[kit.motor],
            mount=self._mounts[kit.mount],
            controller=self._parts[kit.controller] if kit.controller else None,
            cable=self._parts[kit.cable],
            fuse=self._parts[kit.fuse],
            connector=self._parts[kit.connector],
            charger=self._parts[kit.charger] if kit.charger else None,
            box=self._parts[kit.box] if kit.box else None,
            control_box=self.beside.control_box() if kit.controller else None,
        )

    def planned_run_m(self, kit: Kit) -> float:
        """One-way cable length between the kit's places, whatever the kit itself says."""
        box, mount = self._compartments[kit.compartment], self._mounts[kit.mount]
        return self.craft.run_m(box, mount, controlled=kit.controller is not None)

    def _waters_at(self, displacement_g: int, fastest_m_s: float, depth_m: float) -> Waters:
        """The water's resistance on the legs, at the wished top speed, and up a ladder."""
        ways = (way for leg in self.outing.legs for way in Way.of(leg))
        speeds = sorted({self.outing.limits.top_speed_m_s or 0.0, *(w.through_m_s for w in ways)})
        kilograms, top_m_s = displacement_g / 1000.0, max(fastest_m_s, speeds[-1])
        # The curve has a corner where the water is too shallow for more.
        corner = min(top_m_s, self.craft.shallow_limit_m_s(kilograms, depth_m))
        ladder = np.unique([*np.linspace(0.0, top_m_s, SPEED_LADDER), corner])
        water = self.craft.water_n(np.array([*speeds, *ladder]), kilograms, depth_m)
        at = dict(zip(speeds, water.tolist(), strict=False))
        return Waters(at, ladder, water[len(speeds) :])

    def drive(self, kit: Kit, chosen: Chosen, displacement_g: int) -> Drive:
        outing = self.outing
        planned = plan(
            chosen.motor,
            claimed_share=outing.policy.claimed_thrust,
            density_kg_m3=self.craft.density_kg_m3,
            drop=outing.limits.voltage_drop,
        )
        return Drive(chosen, planned, kit.series, self.craft.draft_m(displacement_g / 1000.0))

    def run(self, kit: Kit, chosen: Chosen, displacement_g: int, way: Way) -> Run:
        drive = self.drive(kit, chosen, displacement_g)
        speed, kilograms = way.through_m_s, displacement_g / 1000.0
        waters = self._waters(displacement_g, drive.fastest_m_s, way.depth_m)
        water_n = waters.at_n.get(speed)
        if water_n is None:
            water_n = float(self.craft.water_n(np.array([speed]), kilograms, way.depth_m)[0])
        thrust_n = self._pull_n(drive, way, speed, water_n)
        return Run(drive, way, waters, float(thrust_n))

    def _pull_n(
        self, drive: Drive, way: Way, through_m_s: float | Floats, water_n: float | Floats
    ) -> Floats:
        """Thrust asked for at speeds through the water, of water, shaft, pod and air."""
        ground_m_s = through_m_s + (way.ground_m_s - way.through_m_s)
        air_n = self.craft.air_n(ground_m_s, way.headwind_m_s)
        return np.asarray(way.back * (water_n + drive.drag_n(through_m_s) + air_n))

    def assess(self, kit: Kit) -> Assessment:
        """Every limit of the outing for this kit, whose names must exist."""
        chosen = self.chosen(kit)
        billing = self.billing(kit, chosen)
        bill = billing.bill()
        totals = self._totals(billing, bill)
        legs = tuple(self._legs(kit, chosen, totals))
        device_ah = self.used_ah(kit, chosen, legs) - sum(leg.charge_ah for leg in legs)
        rated_ah = chosen.battery.capacity_ah * kit.parallel
        usable_ah = rated_ah * self.craft.usable_share(chosen.battery.chemistry)
        assessment = Assessment(kit, totals, legs, device_ah, usable_ah, ())
        limits = narrowest(checks.limits(Held(self, chosen, assessment)))
        return Assessment(kit, totals, legs, device_ah, usable_ah, limits, bill)

    def totals(self, kit: Kit) -> Totals:
        billing = self.billing(kit, self.chosen(kit))
        return self._totals(billing, billing.bill())

    def _totals(self, billing: Billing, bill: Bill) -> Totals:
        mass_g = bill.mass_g + billing.charging_spare_g
        return Totals(
            price_cents=bill.price_cents,
            season_units=bill.season_units,
            mass_g=mass_g,
            displacement_g=self.craft.bare_g + mass_g,
            beside_bank_g=billing.beside_bank_g,
            held_g=billing.held_g,
        )

    def billing(self, kit: Kit, chosen: Chosen) -> Billing:
        device_a = self.device_currents_a(kit, chosen)
        return Billing(self.beside, kit, chosen, device_a)

    def _legs(self, kit: Kit, chosen: Chosen, totals: Totals) -> Iterator[LegResult]:
        for leg in self.outing.legs:
            runs = [self.run(kit, chosen, totals.displacement_g, way) for way in Way.of(leg)]
            run = max(runs, key=lambda each: each.motor_v)
            driven = leg.driven and run.thrust_n > 0.0
            draw = self._draw(run, totals) if driven else OFF
            yield LegResult(
                name=leg.name,
                speed_m_s=leg.speed_m_s,
                through_m_s=run.way.through_m_s,
                thrust_n=run.thrust_n if driven else 0.0,
                shaft_ratio=run.ratio if driven else 0.0,
                motor_v=run.motor_v if driven else 0.0,
                motor_a=draw.motor_a,
                battery_a=draw.battery_a,
                hours=leg.duration_h,
                charge_ah=self.charge_ah(kit, chosen, draw.battery_a, leg.duration_h),
                throttle=draw.throttle,
                steps=draw.steps,
            )

    def _draw(self, run: Run, totals: Totals) -> Draw:
        """A chopper at the throttle that holds the speed, a switch on the steps about it."""
        drive, speed = run.drive, run.way.through_m_s
        if not drive.chosen.chopper:
            return self._stepped(run, totals)
        held = float(drive.held_at(run.ratio, speed))
        throttle = float(drive.volts(held, speed)) / drive.supply_v
        motor_a, battery_a = drive.motor_a(held, speed), drive.chopper_a(held, speed)
        return Draw(float(motor_a), float(battery_a), throttle, None)

    def _stepped(self, run: Run, totals: Totals) -> Draw:
        """On the two steps alternated, against wind at least with what holds the boat's place."""
        drive, way, waters = run.drive, run.way, run.waters

        def pull(through_m_s: Floats) -> Floats:
            water_n = self.craft.water_n(through_m_s, totals.displacement_kg, way.depth_m)
            return self._pull_n(drive, way, through_m_s, water_n)

        coarse_n = self._pull_n(drive, way, waters.ladder_m_s, waters.ladder_n)
        settled = drive.settled_m_s(waters.ladder_m_s, coarse_n, pull)
        moving = drive.moving(way.through_m_s, settled)
        holding = drive.holding(float(self._pull_n(drive, way, 0.0, 0.0)))
        amperes, between = max(moving, holding, key=lambda each: np.nan_to_num(each[0], nan=inf))
        if np.isnan(amperes):
            full = drive.held_at(run.ratio, way.through_m_s)
            amperes = float(drive.motor_a(full, way.through_m_s))
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

    def reaches(self, run: Run) -> bool:
        """Whether the drive does it with the allowed drop, within the harness's current."""
        return not run.thrust_n or bool(self._able(run.drive, run.ratio, run.way.through_m_s))

    def _able(
        self, drive: Drive, shaft_ratio: float | Floats, through_m_s: float | Floats
    ) -> Bools:
        enough = drive.reaches(shaft_ratio, through_m_s)
        if not drive.chosen.chopper:
            return enough
        ratio = drive.held_at(shaft_ratio, through_m_s)
        return np.asarray(enough & (drive.chopper_a(ratio, through_m_s) <= drive.rated_a))

    def speed_reached_m_s(self, run: Run) -> float:
        """The greatest speed over ground at full setting, to the nearest rung of a fine ladder."""
        drive, way, waters = run.drive, run.way, run.waters
        fastest = max(0.0, drive.fastest_m_s - way.stream_m_s)
        ground = np.linspace(0.0, fastest, FINE_LADDER)
        speed = np.maximum(0.0, ground + way.stream_m_s)
        water = np.interp(speed, waters.ladder_m_s, waters.ladder_n)
        air = self.craft.air_n(ground, way.headwind_m_s)
        thrust = way.back * (water + drive.drag_n(speed) + air)
        good = (thrust <= 0.0) | self._able(drive, drive.shaft_ratio(thrust, speed), speed)
        return float(ground[np.flatnonzero(good)[-1]]) if good.any() else 0.0

    def device_currents_a(self, kit: Kit, chosen: Chosen) -> tuple[float, ...]:
        volts = chosen.battery.voltage_v * kit.series
        return tuple(
            float(battery_physics.device_current_a(power_w=d.power_w, bank_voltage_v=volts))
            for d in self.outing.devices
        )

    def used_ah(self, kit: Kit, chosen: Chosen, legs: Sequence[LegResult]) -> float:
        """Charge of the day, motor and devices drawing together."""
        battery = chosen.battery
        used_ah = bank_physics.charge_used_together_ah(
            leg_h=np.array([leg.hours for leg in legs]),
            motor_a=np.array([leg.battery_a for leg in legs]),
            device_h=np.array([device.duration_h for device in self.outing.devices]),
            device_a=np.array(self.device_currents_a(kit, chosen)),
            strings=kit.parallel,
            capacity_ah=battery.capacity_ah,
            rated_h=battery.rated_h,
            peukert=battery.peukert,
        )
        return float(used_ah)

    def rated_a(self, kit: Kit, chosen: Chosen) -> float:
        """What wiring and control must stand: full throttle, tethered, on the full bank."""
        return self.drive(kit, chosen, self.craft.bare_g).rated_a

    def strongest_n(self, kit: Kit, chosen: Chosen) -> float:
        return self.drive(kit, chosen, self.craft.bare_g).strongest_n

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
            contacts_ohm=metric.contacts_ohm(plugs=self.outing.policy.disconnects),
        )
        return float(ohm)

    def string_a(self, kit: Kit, chosen: Chosen) -> float:
        """What each string gives the rated motor and every device; 0 for a single battery."""
        if kit.units == 1:
            return 0.0
        return (self.rated_a(kit, chosen) + sum(self.device_currents_a(kit, chosen))) / kit.parallel

    def full_throttle_a(self, kit: Kit, chosen: Chosen) -> float:
        """What the full bank gives with the motor tethered at full throttle and every device on.
        A chopper's own loss is drawn besides."""
        lost = chosen.efficiency if chosen.chopper else 1.0
        return self.rated_a(kit, chosen) / lost + sum(self.device_currents_a(kit, chosen))
