"""What a part must satisfy beyond each value by itself: across its values, and against physics."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial, singledispatch

from pydantic import BaseModel

from keelwatt.files.catalog import parts
from keelwatt.physics.propeller import (
    DOUBTFUL_SHARE,
    PLAUSIBLE_THRUST_RATIOS,
    doubtful_thrust,
    momentum_thrust_n,
    plausible_thrust_ratio,
    thrust_ratio,
)

PLAUSIBLE_WH_KG: Mapping[str, float] = {"flooded": 60, "agm": 60, "gel": 60, "lfp": 200, "nmc": 300}
"""Energy per mass above which a battery's row is suspicious; from memory."""

COPPER_KG_M_MM2 = 8.89e-3
"""Mass of a metre of copper per mm2 (IEC 60028: 8.89 g/cm3)."""


@dataclass(frozen=True)
class Finding:
    """What is wrong with ``field`` of a part."""

    field: str
    what: str
    remedy: str
    warning: bool = False


_doubt = partial(Finding, warning=True)


@singledispatch
def findings(_: BaseModel) -> Iterator[Finding]:
    """What to object to in a row across its values."""
    yield from ()


@findings.register
def _battery(part: parts.Battery) -> Iterator[Finding]:
    ratio = part.voltage_v / part.system_v
    energy_wh_kg = part.voltage_v * part.capacity_ah / part.mass_kg
    most = PLAUSIBLE_WH_KG[part.chemistry]
    if not 0.9 <= ratio <= 1.25:
        yield Finding(
            "voltage_v",
            f"is not the voltage of a {part.system_v} V battery",
            f"write between {0.9 * part.system_v:g} and {1.25 * part.system_v:g} V, "
            "or put the system right",
        )
    elif energy_wh_kg > most:
        what = f"makes {energy_wh_kg:.0f} Wh/kg; {part.chemistry} holds {most:g} at most"
        remedy = "check mass, capacity and voltage, and their units"
        yield _doubt("mass_kg", what, remedy)
    if part.short_circuit_a is not None and part.short_circuit_a <= part.continuous_a:
        what = f"is not above the continuous current, {part.continuous_a:g} A"
        remedy = "write the current into a dead short, or leave it empty"
        yield _doubt("short_circuit_a", what, remedy)
    density_kg_l = part.mass_kg / (1000 * part.length_m * part.width_m * part.height_m)
    if not 0.5 <= density_kg_l <= 4:
        what = f"and the other sizes make {density_kg_l:.3g} kg per litre; batteries have 0.5 to 4"
        remedy = "check length, width, height and mass, and their units"
        yield _doubt("length_m", what, remedy)


@findings.register
def _motor(part: parts.Motor) -> Iterator[Finding]:
    if part.control == "stepped" and part.steps < 1:
        yield Finding("steps", "is missing for a stepped motor", "write the number of speed steps")
    if part.control == "stepped" and part.efficiency != 1:
        what = "is not used: a stepped motor has no chopper of its own"
        remedy = "leave it empty, or write chopper as its control"
        yield _doubt("efficiency", what, remedy)
    if part.control == "chopper" and part.steps:
        yield _doubt(
            "steps", "is not used: a chopper has none", "write 0, or stepped as its control"
        )
    yield from _steps(part)
    if part.no_load_a >= part.current_a:
        what = f"is not below the current at full throttle, {part.current_a:g} A"
        remedy = "write the current with the propeller off, or leave it empty"
        yield Finding("no_load_a", what, remedy)
    yield from _thrust(part)


def _steps(part: parts.Motor) -> Iterator[Finding]:
    currents = part.step_currents_a
    if currents is None:
        return
    if len(currents) != part.steps:
        what = f"are {len(currents)} for {part.steps} steps"
        remedy = "write one current a step, lowest first, with | between, or leave it empty"
        yield Finding("step_currents_a", what, remedy)
    if list(currents) != sorted({*currents}) or abs(currents[-1] / part.current_a - 1) > 0.05:
        what = f"do not rise to the current at full throttle, {part.current_a:g} A"
        remedy = "write them from the lowest step to the highest"
        yield Finding("step_currents_a", what, remedy)
    elif currents[0] <= part.no_load_a:
        what = f"begin at or below the no-load current, {part.no_load_a:g} A"
        remedy = "check both columns, and their units"
        yield Finding("step_currents_a", what, remedy)


def _thrust(part: parts.Motor) -> Iterator[Finding]:
    """Against the actuator disc's ceiling, and the speed against what such propellers give."""
    power_w = part.system_v * part.current_a
    ceiling_n = float(momentum_thrust_n(power_w=power_w, diameter_m=part.propeller_m))
    beyond = part.thrust_n > ceiling_n
    if doubtful_thrust(static_thrust_n=part.thrust_n, ceiling_n=ceiling_n):
        most_n = ceiling_n if beyond else DOUBTFUL_SHARE * ceiling_n
        yield Finding(
            "thrust_n",
            f"is {part.thrust_n:.1f} N; a {part.propeller_m * 1000:.0f} mm propeller on "
            f"{power_w:.0f} W gives {most_n:.1f} N at most",
            "check thrust, current and propeller, and their units"
            + ("; write the thrust measured on a tether" if beyond else ""),
            warning=not beyond,
        )
    elif part.no_thrust_speed_m_s is not None:
        ratio = thrust_ratio(
            static_thrust_n=part.thrust_n,
            no_thrust_speed_m_s=part.no_thrust_speed_m_s,
            diameter_m=part.propeller_m,
        )
        if not plausible_thrust_ratio(thrust_ratio=ratio):
            least, most = PLAUSIBLE_THRUST_RATIOS
            fast, slow = (
                3.6 * part.no_thrust_speed_m_s * (float(ratio) / bound) ** 0.5
                for bound in (least, most)
            )
            what = f"is not the speed of such a propeller, {slow:.1f} to {fast:.1f} km/h"
            remedy = "check it, or leave it empty: thrust and propeller give it"
            yield _doubt("no_thrust_speed_m_s", what, remedy)


@findings.register
def _controller(part: parts.Controller) -> Iterator[Finding]:
    if part.min_system_v > part.max_system_v:
        what = f"is above the largest system, {part.max_system_v} V"
        remedy = "exchange the two, or put them right"
        yield Finding("min_system_v", what, remedy)


@findings.register
def _cable(part: parts.Cable) -> Iterator[Finding]:
    copper_kg_m = COPPER_KG_M_MM2 * part.area_mm2
    if part.mass_kg_m < 0.95 * copper_kg_m:
        what = f"is less than the copper in it, {copper_kg_m:.3f} kg/m"
        remedy = "check size and mass, and their units"
        yield _doubt("mass_kg_m", what, remedy)
    if part.insulation_c < 60:
        what = "is below 60 degC, the lowest rating with a current allowed"
        remedy = "write the temperature printed on the jacket"
        yield _doubt("insulation_c", what, remedy)


@findings.register
def _fuse(part: parts.Fuse) -> Iterator[Finding]:
    if part.interrupts_a <= part.rating_a:
        what = f"is not above the rating, {part.rating_a:g} A"
        remedy = "write the short-circuit current it can break"
        yield _doubt("interrupts_a", what, remedy)


@findings.register
def _connector(part: parts.Connector) -> Iterator[Finding]:
    if part.smallest_mm2 > part.largest_mm2:
        what = f"is a thicker cable than the largest, {part.largest}"
        remedy = "exchange the two, or put them right (4 AWG is thicker than 6 AWG)"
        yield Finding("smallest", what, remedy)


@findings.register
def _enclosure(part: parts.Enclosure) -> Iterator[Finding]:
    sides = ("length", "width", "height")
    for side, inner_m, outer_m in zip(sides, part.inner_m, part.outer_m, strict=True):
        if inner_m > outer_m:
            what = f"is more than outside, {1000 * outer_m:g} mm"
            remedy = "exchange the two, or put them right"
            yield Finding(f"inner_{side}_m", what, remedy)
