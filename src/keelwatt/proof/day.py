"""The day walked minute by minute with the cable's own voltage drop."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from keelwatt.files.kit import Kit
from keelwatt.physics import bank, battery
from keelwatt.physics import cable as cable_physics
from keelwatt.proof.assess import Assessor
from keelwatt.proof.drive import Drive
from keelwatt.proof.model import Assessment, Chosen, LegResult

MINUTE_H = 1.0 / 60.0
AFTER_LEGS = "devices after the last leg"
ROUNDING_AH = 1e-9


@dataclass(frozen=True)
class Minute:
    """The bank after one step; a step is a minute, or what is left of a leg."""

    leg: str
    at_h: float
    battery_a: float
    drop_v: float
    left_ah: float


@dataclass(frozen=True)
class LegEnd(Minute):
    """The bank when a leg ends; ``left_share`` is of what a full bank holds that day."""

    left_share: float


@dataclass(frozen=True)
class Proof:
    """An assessment and a simulated day, with what either found wrong."""

    assessment: Assessment
    chosen: Chosen
    full_ah: float
    keep_ah: float
    leg_ends: tuple[LegEnd, ...]
    minutes: tuple[Minute, ...]
    failures: tuple[str, ...]
    shares: bank.ChargeShares
    """Of the rated charge of the whole bank."""

    @property
    def where_the_charge_goes(self) -> tuple[tuple[str, float], ...]:
        """(step, Ah) from rated to what is left for the day; what each step takes is below 0."""
        rated, cold, age, chemistry, reserve, left = (float(each) for each in self.shares)
        return (
            ("rated", rated),
            ("cold", -cold),
            ("age", -age),
            ("kept for the battery's life", -chemistry),
            ("reserve", -reserve),
            ("left for the day", left),
        )

    @property
    def holds(self) -> bool:
        return self.assessment.holds and not self.failures


def prove(assessor: Assessor, kit: Kit) -> Proof:
    """Assess the kit, then simulate its day. The kit's names must exist."""
    assessment = assessor.assess(kit)
    chosen = assessor.chosen(kit)
    rated_ah = chosen.battery.capacity_ah * kit.parallel
    full_ah = rated_ah * assessor.craft.full_share(chosen.battery.chemistry)
    keep_ah = full_ah - assessment.usable_ah
    drive = assessor.drive(kit, chosen, assessment.totals.displacement_g)
    minutes = tuple(_walk(assessor, drive, assessment, full_ah))
    ends = tuple(_leg_ends(minutes, full_ah))
    return Proof(
        assessment=assessment,
        chosen=chosen,
        full_ah=full_ah,
        keep_ah=keep_ah,
        leg_ends=ends,
        minutes=minutes,
        shares=_shares(assessor, drive, kit),
        failures=tuple(_failures(assessment, minutes, keep_ah, drive.low_v)),
    )


def _shares(assessor: Assessor, drive: Drive, kit: Kit) -> bank.ChargeShares:
    unit, policy = drive.chosen.battery, assessor.outing.policy
    return bank.charge_shares(
        rated_ah=unit.capacity_ah * kit.parallel,
        cold_factor=assessor.craft.full_share(unit.chemistry) / policy.health,
        health=policy.health,
        usable_share=battery.usable_share(chemistry=unit.chemistry, policy=policy.discharge),
        reserve=assessor.outing.limits.reserve,
    )


def _walk(
    assessor: Assessor, drive: Drive, assessment: Assessment, full_ah: float
) -> Iterator[Minute]:
    """Devices draw their mean over the day's legs; what they need beyond comes after the last."""
    kit, chosen = assessment.kit, drive.chosen
    ohms = assessor.circuit_ohm(kit, chosen)
    day_h = sum(leg.hours for leg in assessment.legs)
    devices = [
        (device.duration_h, amperes)
        for device, amperes in zip(
            assessor.outing.devices, assessor.device_currents_a(kit, chosen), strict=True
        )
    ]
    mean_a = sum(amperes * min(hours, day_h) for hours, amperes in devices) / day_h
    beyond = [(hours - day_h, amperes) for hours, amperes in devices if hours > day_h]
    beyond_a = sum(amperes for _, amperes in beyond)
    spans = [(leg.name, leg.hours, *_draw(drive, ohms, leg), mean_a) for leg in assessment.legs]
    if beyond:
        alone_h = sum(hours * amperes for hours, amperes in beyond) / beyond_a
        spans.append((AFTER_LEGS, alone_h, 0.0, 0.0, beyond_a))
    left, at = full_ah, 0.0
    for name, hours, battery_a, drop_v, device_a in spans:
        done = 0.0
        for step in range(1, ceil(hours / MINUTE_H - 1e-9) + 1):
            until = min(step * MINUTE_H, hours)
            left -= assessor.charge_ah(kit, chosen, battery_a + device_a, until - done)
            done = until
            yield Minute(name, at + done, battery_a, drop_v, left)
        at += hours


def _draw(drive: Drive, ohms: float, leg: LegResult) -> tuple[float, float]:
    """(battery current, voltage drop) on a leg with this very cable.
    A chopper holds the motor's power."""
    chosen = drive.chosen
    if not chosen.chopper or not leg.battery_a:
        return leg.battery_a, leg.battery_a * ohms
    volts = min(leg.motor_v, drive.supply_v)
    watts = volts * leg.motor_a / chosen.efficiency
    amperes = float(
        cable_physics.supply_current_a(
            power_w=watts, supply_voltage_v=drive.bank_v, resistance_ohm=ohms
        )
    )
    return amperes, amperes * ohms


def _leg_ends(minutes: tuple[Minute, ...], full_ah: float) -> Iterator[LegEnd]:
    for minute, after in zip(minutes, (*minutes[1:], None), strict=True):
        if after is None or after.leg != minute.leg:
            yield LegEnd(**vars(minute), left_share=minute.left_ah / full_ah)


def _failures(
    assessment: Assessment, minutes: tuple[Minute, ...], keep_ah: float, low_v: float
) -> Iterator[str]:
    if short := next((m for m in minutes if m.left_ah < keep_ah - ROUNDING_AH), None):
        yield (
            f"{short.at_h:.2f} h into the day, on {short.leg!r}, the bank is down to "
            f"{short.left_ah:.1f} Ah; reserve {keep_ah:.1f} Ah"
        )
    drops = {minute.leg: minute.drop_v for minute in minutes}
    for leg in assessment.legs:
        there_v = low_v - drops.get(leg.name, 0.0)
        if leg.thrust_n > 0.0 and leg.motor_v > there_v:
            yield (
                f"leg {leg.name!r} asks for {leg.motor_v:.1f} V at the motor; near the end of the "
                f"day, after the wiring's drop, it has {there_v:.1f} V"
            )
