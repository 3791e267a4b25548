"""Logs made from a known drag factor by walking the model the other way: from the throttle to the
speed at which thrust and resistance balance, and from there to what the meters show."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import isclose, sqrt
from pathlib import Path

import numpy as np
import numpy.typing as npt

from keelwatt.files.catalog.parts import Motor
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.kit import Kit
from keelwatt.files.log import LogRow, TripLog
from keelwatt.files.outing import Outing, read_outing
from keelwatt.physics.battery import device_current_a
from keelwatt.proof import Assessor
from keelwatt.proof.model import Chosen

Floats = npt.NDArray[np.float64]

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "examples" / "reservoir-sampling"

CHOPPER = Kit(
    battery="flooded-12v-50ah",
    series=1,
    parallel=2,
    compartment="tank well",
    motor="motor-12v-130n-stepped",
    mount="stern",
    controller="chopper-12-24v-50a",
    cable="cable-10awg-75c",
    run_m=1.4,
    fuse="fuse-bolt-40a",
    connector="plug-40a",
    charger="charger-12v-10a-lead",
)
STEPPED = replace(CHOPPER, controller=None)

SPREAD = tuple(share for share in (0.5, 0.65, 0.8, 0.9, 1.0) for _ in range(2))
"""Throttle settings of a usual log, each twice: out and back, or with the wind and against it."""

STEPS = tuple(step / 5 for step in (2, 3, 4, 5) for _ in range(2))


@cache
def shipped() -> Catalog:
    return read_catalog(ROOT / "catalog")


@cache
def example() -> Outing:
    return read_outing(EXAMPLE / "outing.toml")


def eased() -> Outing:
    """The example with legs of little more than half their length and no top speed."""
    limits = example().limits.model_copy(update={"top_speed_m_s": None})
    legs = tuple(
        leg.model_copy(update={"duration_h": 0.55 * leg.duration_h}) for leg in example().legs
    )
    return example().model_copy(update={"limits": limits, "legs": legs})


NO_THRUST_M_S = sqrt(0.85 * 130.0 / (0.458 * 999.24 * 0.21**2))
"""Of the example's motor, its speed left blank: 130 N claimed, 0.21 m, water of 14 degC."""


@dataclass(frozen=True)
class Truth:
    """What is so, and what each row's throttle, wind and way were; 0 is off."""

    kit: Kit = CHOPPER
    drag_factor: float = 1.9
    load_w: float = 14.0
    no_thrust_speed_m_s: float = NO_THRUST_M_S
    stream_m_s: float = 0.0
    settings: Sequence[float] = SPREAD
    volts: float = 12.5


@dataclass(frozen=True)
class Day:
    """What perfect instruments would have shown, shape (rows,)."""

    truth: Truth
    headwind_m_s: Floats
    ground_m_s: Floats
    current_a: Floats


def outing_of(truth: Truth) -> Outing:
    craft = example().craft.model_copy(update={"drag_factor": truth.drag_factor})
    return example().model_copy(update={"craft": craft})


@cache
def day(truth: Truth) -> Day:
    """Every row in balance; rows go out and back in turn, each pair into and with another wind."""
    assessor = Assessor(outing_of(truth), shipped())
    count = len(truth.settings)
    way = np.where(np.arange(count) % 2, -1.0, 1.0)
    winds = way * np.linspace(0.0, 3.0, count).round(1)
    rows = [
        _balance(assessor, truth, setting, wind, along * truth.stream_m_s)
        for setting, wind, along in zip(truth.settings, winds, way, strict=True)
    ]
    ground, current = np.transpose(rows)
    return Day(truth, winds, ground, current)


def _balance(
    assessor: Assessor, truth: Truth, setting: float, headwind_m_s: float, stream_m_s: float
) -> tuple[float, float]:
    """(speed over ground, battery current) of a craft that neither gains nor loses speed."""
    kit, chosen = truth.kit, assessor.chosen(truth.kit)
    devices = float(device_current_a(power_w=truth.load_w, bank_voltage_v=truth.volts))
    if setting == 0.0:
        return 0.0, devices
    totals = assessor.assess(kit).totals
    water = np.linspace(0.0, 1.2 * truth.no_thrust_speed_m_s, 3001)
    ground = np.maximum(0.0, water - stream_m_s)
    resistance = assessor.craft.water_n(water, totals.displacement_kg)
    resistance = resistance + assessor.craft.air_n(ground, headwind_m_s)
    resistance = resistance + assessor.drive(kit, chosen, totals.displacement_g).drag_n(water)
    planned_n = 0.85 * chosen.motor.thrust_n
    amperes = 0.0
    for _ in range(30):
        before, drop = amperes, amperes * assessor.circuit_ohm(kit, chosen)
        ratio, motor_a = _turned(truth, chosen, setting, water, truth.volts - drop)
        v = water / truth.no_thrust_speed_m_s
        spare = planned_n * (ratio - v) * (ratio + 0.22 * v) - resistance
        last = int(np.flatnonzero(spare > 0)[-1])
        share = spare[last] / (spare[last] - spare[last + 1])
        speed = water[last] + share * (water[1] - water[0])
        amperes = motor_a[last] + share * (motor_a[last + 1] - motor_a[last])
        if chosen.chopper:
            amperes *= setting / chosen.efficiency
        if isclose(amperes, before, rel_tol=1e-12):
            break
    return float(speed - stream_m_s), float(amperes + devices)


def _turned(
    truth: Truth, chosen: Chosen, setting: float, water_m_s: Floats, supply_v: float
) -> tuple[Floats, Floats]:
    """(shaft speed over that tethered at full, motor's current) at speeds, by their definitions.

    A chopper passes on a share of the voltage, a step puts a resistance before the motor.
    """
    motor, v = chosen.motor, water_m_s / truth.no_thrust_speed_m_s
    volts, ohm = (setting * supply_v, 0.0) if chosen.chopper else (supply_v, _ohm(motor, setting))

    def motor_a(ratio: Floats) -> Floats:
        torque = np.maximum(0.0, ratio**2 - 0.67 * ratio * v - 0.18 * v**2)
        return np.asarray(motor.no_load_a + (motor.current_a - motor.no_load_a) * torque)

    def needed_v(ratio: Floats) -> Floats:
        amperes = motor_a(ratio)
        lost = motor.winding * motor.system_v / motor.current_a + ohm
        return np.asarray((1 - motor.winding) * motor.system_v * ratio + lost * amperes)

    low, high = np.zeros(v.shape), np.full(v.shape, 3.0)
    for _ in range(50):
        middle = (low + high) / 2
        slow = needed_v(middle) < volts
        low, high = np.where(slow, middle, low), np.where(slow, high, middle)
    return low, motor_a(low)


def _ohm(motor: Motor, share: float) -> float:
    """Of the step at a share of all: tethered it draws 0.28^((n - j) / (n - 1)) of full current."""
    amperes = motor.current_a * 0.28 ** ((1 - share) * motor.steps / (motor.steps - 1))
    idle = motor.no_load_a / motor.current_a
    ratio = np.sqrt((amperes / motor.current_a - idle) / (1 - idle))
    own_v = (1 - motor.winding) * ratio + motor.winding * amperes / motor.current_a
    return float(motor.system_v * (1 - own_v) / amperes)


@dataclass(frozen=True)
class Meters:
    """How the meters err: shares and absolute, one standard deviation; 0 for perfect ones.

    ``slips``: the chance that a current is misread by half or double. ``settings``: whether the
    throttle is written down. ``runs``: whether the rows are one run of unknown stream.
    """

    current: float = 0.03
    speed_m_s: float = 0.03
    setting: float = 0.015
    slips: float = 0.0
    settings: bool = False
    runs: bool = False
    rounded: bool = True


PERFECT = Meters(0.0, 0.0, 0.0, rounded=False)


def log_of(truth: Truth, meters: Meters = PERFECT, seed: int = 0) -> TripLog:
    """What somebody with these meters wrote down that day."""
    rng = np.random.default_rng(seed)
    seen = day(truth)
    count = len(truth.settings)
    current = seen.current_a * (1.0 + meters.current * rng.standard_normal(count))
    slipped = rng.random(count) < meters.slips
    current = np.where(slipped, current * rng.choice([0.5, 1.7, 2.0], count), current)
    speed = seen.ground_m_s + meters.speed_m_s * rng.standard_normal(count)
    setting = np.asarray(truth.settings) + meters.setting * rng.standard_normal(count)
    rows = {}
    for row, share in enumerate(truth.settings):
        off = share == 0.0
        known = off or (meters.settings and share)
        stepped = truth.kit.controller is None
        kmh, amperes = 3.6 * max(0.0, speed[row]) * (not off), max(0.0, current[row])
        rows[row + 2] = LogRow(
            speed_m_s=(round(kmh, 1) if meters.rounded else kmh) / 3.6,
            current_a=round(amperes, 1) if meters.rounded else amperes,
            voltage_v=truth.volts,
            headwind_m_s=seen.headwind_m_s[row],
            throttle=(share if share in (0.0, 1.0) else float(np.clip(setting[row], 0.01, 1.0)))
            if known and (off or not stepped)
            else None,
            step=round(5 * share) if known and stepped and not off else None,
            run="morning" if meters.runs and not off else None,
            heading=("back" if row % 2 else "out") if meters.runs and not off else None,
        )
    return TripLog("log.csv", rows)
