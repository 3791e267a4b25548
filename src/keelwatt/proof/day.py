"""The day walked minute by minute with the cable's own voltage drop."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from keelwatt.files.kit import Kit
from keelwatt.physics import cable as cable_physics
from keelwatt.physics import motor as motor_physics
from keelwatt.proof.assess import Assessor
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
class LegEnd:
    """The bank when a leg ends; ``left_share`` is of what a full bank holds that day."""

    name: str
    at_h: float
    battery_a: float
    drop_v: float
    left_ah: float
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

    @property
    def holds(self) -> bool:
        return self.assessment.holds and not self.failures


def prove(assessor: Assessor, kit: Kit) -> Proof:
    """Assess the kit, then simulate its day. The kit's names must exist."""
    assessment = assessor.assess(kit)
    chosen = assessor.chosen(kit)
    full_ah = (
        chosen.battery.capacity_ah
        * kit.parallel
        * assessor.craft.full_share(chosen.battery.chemistry)
    )
    keep_ah = full_ah - assessment.usable_ah
    minutes = tuple(_walk(assessor, kit, chosen, assessment, full_ah))
    ends = tuple(_leg_ends(minutes, full_ah))
    return Proof(
        assessment=assessment,
        chosen=chosen,
        full_ah=full_ah,
        keep_ah=keep_ah,
        leg_ends=ends,
        minutes=minutes,
        failures=tuple(_failures(assessment, chosen, minutes, keep_ah)),
    )


def _walk(
    assessor: Assessor, kit: Kit, chosen: Chosen, assessment: Assessment, full_ah: float
) -> Iterator[Minute]:
    """Devices run from the start of the day, each for its own hours."""
    devices = tuple(
        (device.duration_h, amperes)
        for device, amperes in zip(
            assessor.outing.devices, assessor.device_currents_a(kit, chosen), strict=True
        )
    )
    left, at = full_ah, 0.0
    spans = [(leg.name, leg.hours, *_draw(assessor, kit, chosen, leg)) for leg in assessment.legs]
    day_h = sum(hours for _, hours, _, _ in spans)
    longest = max((hours for hours, _ in devices), default=0.0)
    if longest > day_h:
        spans.append((AFTER_LEGS, longest - day_h, 0.0, 0.0))
    for name, hours, battery_a, drop_v in spans:
        done = 0.0
        for step in range(1, ceil(hours / MINUTE_H - 1e-9) + 1):
            until = min(step * MINUTE_H, hours)
            left -= assessor.charge_ah(kit, chosen, battery_a, until - done)
            for device_h, amperes in devices:
                running = min(at + until, device_h) - min(at + done, device_h)
                left -= assessor.charge_ah(kit, chosen, amperes, running)
            done = until
            yield Minute(name, at + done, battery_a, drop_v, left)
        at += hours


def _draw(assessor: Assessor, kit: Kit, chosen: Chosen, leg: LegResult) -> tuple[float, float]:
    """(battery current, voltage drop) on a leg with this very cable.

    A chopper holds the motor's power.
    """
    ohms = 2.0 * kit.run_m * float(cable_physics.resistance_ohm_m(area_mm2=chosen.cable.area_mm2))
    if not chosen.chopper:
        return leg.battery_a, leg.battery_a * ohms
    volts = chosen.battery.voltage_v * kit.series
    reach = min(leg.shaft_ratio, assessor.shaft_reach(kit, chosen))
    watts = (
        float(
            motor_physics.power_w(
                shaft_ratio=reach, voltage_v=chosen.motor.system_v, current_a=leg.motor_a
            )
        )
        / chosen.efficiency
    )
    amperes = float(
        cable_physics.supply_current_a(power_w=watts, supply_voltage_v=volts, resistance_ohm=ohms)
    )
    return amperes, amperes * ohms


def _leg_ends(minutes: tuple[Minute, ...], full_ah: float) -> Iterator[LegEnd]:
    for minute, after in zip(minutes, (*minutes[1:], None), strict=True):
        if after is None or after.leg != minute.leg:
            yield LegEnd(
                minute.leg,
                minute.at_h,
                minute.battery_a,
                minute.drop_v,
                minute.left_ah,
                minute.left_ah / full_ah,
            )


def _failures(
    assessment: Assessment,
    chosen: Chosen,
    minutes: tuple[Minute, ...],
    keep_ah: float,
) -> Iterator[str]:
    if short := next((m for m in minutes if m.left_ah < keep_ah - ROUNDING_AH), None):
        yield (
            f"{short.at_h:.2f} h into the day, on {short.leg!r}, the bank is down to "
            f"{short.left_ah:.1f} Ah; reserve {keep_ah:.1f} Ah"
        )
    drops = {minute.leg: minute.drop_v for minute in minutes}
    bank_v = chosen.battery.voltage_v * assessment.kit.series
    most = min(1.0, bank_v / chosen.motor.system_v)
    for leg in assessment.legs:
        full = most - drops.get(leg.name, 0.0) / chosen.motor.system_v
        if leg.shaft_ratio > full:
            yield (
                f"leg {leg.name!r} asks the motor for {leg.shaft_ratio:.0%} of its full speed; "
                f"after the cable's drop it has {full:.0%}"
            )
