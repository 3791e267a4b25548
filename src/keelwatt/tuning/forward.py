"""From a drag factor to what the meters should have shown."""

from copy import copy
from dataclasses import dataclass, replace

import numpy as np

from keelwatt.boat.arrays import Floats
from keelwatt.boat.bank import Bank
from keelwatt.boat.drive import Drive
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.powertrain import Powertrain
from keelwatt.boat.resistance import Resistance
from keelwatt.physics import battery, cable
from keelwatt.proof.model import Chosen
from keelwatt.tuning.readings import SETTING, Readings

FASTEST_STREAM_M_S = 1.5
"""The strongest stream looked for where a run does not give it."""

NUDGE_M_S = 1e-3
"""Step of speed for slopes: small against any boat's speed, large against rounding."""


@dataclass(frozen=True)
class Values:
    """What a log may tell: a drag factor, or one a row; a load; a no-thrust speed; streams."""

    drag_factor: float | Floats
    load_w: float
    no_thrust_speed_m_s: float
    streams_m_s: Floats


@dataclass(frozen=True)
class Expected:
    """What the meters should show, shape (rows,): battery current, share of full shaft speed."""

    current_a: Floats
    shaft_ratio: Floats


class Forward:
    """One craft, kit and log; the wave integral is worked out once."""

    def __init__(
        self,
        case: LoadCase,
        chosen: Chosen,
        readings: Readings,
        *,
        displacement_kg: float,
        cable_ohm: float,
    ) -> None:
        self.chosen, self.readings, self.cable_ohm = chosen, readings, cable_ohm
        self._case = case
        self._drive = Drive.of_parts(case, chosen.motor, chosen.controller, chosen.mount)
        through = np.abs(readings.speed_m_s) + np.abs(readings.stream_m_s)
        fastest = float(through.max(initial=0.0)) + FASTEST_STREAM_M_S + 2 * NUDGE_M_S
        self._water = Resistance.exact(case, displacement_kg, fastest)
        self.watts_per_ampere = 1.0 / float(
            np.median(battery.device_current_a(power_w=1.0, bank_voltage_v=readings.voltage_v))
        )

    def seeing(self, readings: Readings) -> "Forward":
        """The same boat with a log that differs a little."""
        other = copy(self)
        other.readings = readings
        return other

    def water_speed_m_s(self, values: Values) -> Floats:
        """Of the rows through the water."""
        streams = self.readings.streams_m_s(values.streams_m_s)
        return np.maximum(0.0, self.readings.speed_m_s + streams)

    def expected(self, values: Values, *, faster_m_s: float = 0.0) -> Expected:
        """What the meters should show, were every row so much faster through the water."""
        readings, drive = self.readings, self._drive_of(values)
        speed = self.water_speed_m_s(values) + faster_m_s
        ratio = drive.shaft_ratio(self.pull_n(values, speed), speed)
        current_a = drive.motor_a(ratio, speed)
        if readings.trip.any() and not self.chosen.chopper:
            current_a = np.where(readings.trip, self._trip_a(values, speed, current_a), current_a)
        if self.chosen.chopper:
            watts = drive.motor_v(ratio, current_a) * current_a
            current_a = np.asarray(
                cable.supply_current_a(
                    power_w=watts / self.chosen.efficiency,
                    supply_voltage_v=readings.voltage_v,
                    resistance_ohm=self.cable_ohm,
                )
            )
        return Expected(np.where(readings.running, current_a, 0.0) + self.devices_a(values), ratio)

    def pull_n(self, values: Values, through_m_s: Floats) -> Floats:
        """What water, shaft, pod and air hold against the boat of each row at a speed."""
        readings, water = self.readings, replace(self._water, factor=np.asarray(values.drag_factor))
        drift_m_s = readings.speed_m_s - self.water_speed_m_s(values)
        air_n = self._case.air_n(through_m_s + drift_m_s, readings.headwind_m_s)
        draft_m, density_kg_m3 = water.draft_m[water.column], self._case.density_kg_m3
        motor_n = self._drive.drag_n(through_m_s, draft_m, density_kg_m3)
        return np.asarray(water.water_n(through_m_s) + motor_n + air_n)

    def _drive_of(self, values: Values) -> Drive:
        return replace(self._drive, no_thrust_speed_m_s=np.asarray(values.no_thrust_speed_m_s))

    def _trip_a(self, values: Values, through_m_s: Floats, steady_a: Floats) -> Floats:
        """Mean current of a whole trip on a switch: two steps alternated for its mean speed."""
        bank = replace(
            Bank.of_parts(self.chosen.battery, 1, 1, 1.0), voltage_v=self.readings.voltage_v
        )
        train = Powertrain(bank, self._drive_of(values), self._case.outing.limits.voltage_drop)
        still_n = self.pull_n(values, np.zeros(through_m_s.shape))
        mean_a = train.stepped_a(lambda speed: self.pull_n(values, speed), through_m_s, still_n)
        return np.where(np.isnan(mean_a), steady_a, mean_a)

    def devices_a(self, values: Values) -> Floats:
        readings = self.readings
        devices_a = battery.device_current_a(
            power_w=values.load_w * readings.devices, bank_voltage_v=readings.voltage_v
        )
        return np.asarray(devices_a)

    def set_ratio(self, values: Values) -> Floats:
        """Share of full shaft speed that the control was set to, after the cable's drop."""
        readings = self.readings
        drop_v = (readings.current_a - self.devices_a(values)) * self.cable_ohm
        supply_v = readings.setting * (readings.voltage_v - drop_v)
        speed = self.water_speed_m_s(values)
        return self._drive_of(values).driven_ratio(supply_v, speed, readings.series_ohm)

    def whitened(self, values: Values, *, near: Values, settings: bool) -> Floats:
        """Differences of the log from the model over what the instruments leave open near a fit.
        The currents' first, shape (rows,); then, if asked and where the setting is known, the shaft
        speeds', what the row's error of speed does to both taken out by Cholesky's root of the
        two."""
        readings = self.readings
        here, there = self.expected(near), self.expected(near, faster_m_s=NUDGE_M_S)
        slope_a = (there.current_a - here.current_a) / NUDGE_M_S * readings.speed_error_m_s
        slope_r = (there.shaft_ratio - here.shaft_ratio) / NUDGE_M_S * readings.speed_error_m_s
        current_a = np.hypot(readings.current_error_a(here.current_a), slope_a)
        model = self.expected(values)
        first = (readings.current_a - model.current_a) / current_a
        if not settings:
            return first
        known = readings.set_rows
        along = (slope_a * slope_r / current_a)[known]
        across = np.sqrt(SETTING**2 + slope_r[known] ** 2 - along**2)
        second = (
            (self.set_ratio(values) - model.shaft_ratio)[known] - along * first[known]
        ) / across
        return np.concatenate([first, second])
