"""The rows of a log as arrays, and what their instruments are good for."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from keelwatt.boat.arrays import Bools, Floats, Ints
from keelwatt.boat.drive import step_ohm
from keelwatt.files.kit import Kit
from keelwatt.files.log import LogRow, TripLog
from keelwatt.physics.bank import CHARGE_EFFICIENCY
from keelwatt.physics.battery import LEAD_ACID
from keelwatt.proof.model import Chosen

METER_A, METER_SHARE = 0.1, 0.02
"""What a meter's last digit and a hand that holds the boat steady leave open; from memory."""

SPEED_M_S = 0.1 / 3.6
"""The last digit of a speed shown by satellite; from memory."""

SETTING = 0.02
"""How true a throttle's or a step's share of full speed is; from memory."""

FULL, SLOW = 0.98, 0.7
"""A throttle from here on is full; a speed below that share of the fastest is slow; chosen."""

TRIP_SHARE = 0.05
"""How true the speed and the charge of a whole trip are; from memory."""


@dataclass(frozen=True)
class Readings:
    """What a log says, one entry a row, shape (rows,).
    ``current_a`` of a whole trip is its mean. ``setting``: the share of the voltage that the
    control passes on, nan where the log does not say; ``series_ohm``: what the step puts before the
    motor. ``run``: the number of the row's run from 0, -1 for none; ``way``: 1 out, -1 back."""

    rows: Ints
    runs: tuple[str, ...]
    speed_m_s: Floats
    current_a: Floats
    voltage_v: Floats
    headwind_m_s: Floats
    stream_m_s: Floats
    setting: Floats
    series_ohm: Floats
    run: Ints
    way: Floats
    devices: Floats
    running: Bools
    trip: Bools
    efficiency_given: Bools

    @classmethod
    def of(cls, log: TripLog, kit: Kit, chosen: Chosen) -> "Readings":
        rows = tuple(log.rows.values())
        runs = tuple(sorted({row.run for row in rows if row.run is not None}))
        bank_v = chosen.battery.voltage_v * kit.series
        steps = step_ohm(chosen.motor)
        return cls(
            rows=np.array(list(log.rows)),
            runs=runs,
            speed_m_s=np.array([row.speed_m_s for row in rows]),
            current_a=np.array([_current_a(row, chosen.battery.chemistry) for row in rows]),
            voltage_v=np.array([row.voltage_v or bank_v for row in rows]),
            headwind_m_s=np.array([row.headwind_m_s for row in rows]),
            stream_m_s=np.array([row.stream_m_s or 0.0 for row in rows]),
            setting=np.array([_setting(row) for row in rows]),
            series_ohm=np.array([_series_ohm(row, steps) for row in rows]),
            run=np.array([-1 if row.run is None else runs.index(row.run) for row in rows]),
            way=np.array([{"out": 1.0, "back": -1.0, None: 0.0}[row.heading] for row in rows]),
            devices=np.array([float(row.devices) for row in rows]),
            running=np.array([not row.motor_off for row in rows]),
            trip=np.array([row.whole_trip for row in rows]),
            efficiency_given=np.array([row.charge_efficiency is not None for row in rows]),
        )

    def lacking(self) -> tuple[str, ...]:
        """The kinds of rows that would tell more and that are not there."""
        speed = self.speed_m_s[self.running]
        winds = self.headwind_m_s[self.running]
        there = {
            "one at full throttle": self.full_throttle,
            "slow ones": bool((speed < SLOW * speed.max(initial=0.0)).any()),
            "there and back": bool(self.runs)
            or winds.min(initial=0.0) < 0.0 < winds.max(initial=0.0),
        }
        return tuple(kind for kind, held in there.items() if not held)

    @property
    def full_throttle(self) -> bool:
        """Whether a row is known to be at full throttle."""
        known = self.set_rows
        full = (self.setting[known] >= FULL) & (self.series_ohm[known] == 0.0)
        return bool(full.any())

    @property
    def drifting(self) -> bool:
        """Whether a row has the motor off and the devices on."""
        return bool((~self.running & (self.devices > 0.0)).any())

    @cached_property
    def set_rows(self) -> Ints:
        """The places of the rows whose throttle or step is known, the motor running."""
        return np.flatnonzero(self.running & np.isfinite(self.setting))

    @cached_property
    def speed_error_m_s(self) -> Floats:
        return np.where(self.trip, TRIP_SHARE * self.speed_m_s, SPEED_M_S)

    def current_error_a(self, current_a: Floats) -> Floats:
        return np.where(
            self.trip, TRIP_SHARE * current_a, np.hypot(METER_A, METER_SHARE * current_a)
        )

    def streams_m_s(self, of_runs_m_s: Floats) -> Floats:
        """The stream each row met, + against, where those of the runs are these."""
        of_rows: Floats = np.append(of_runs_m_s, 0.0)[self.run]
        return self.stream_m_s + self.way * of_rows


def _current_a(row: LogRow, chemistry: str) -> float:
    """The current at the battery; the mean of a whole trip, from the charge put back."""
    if row.current_a is not None:
        return row.current_a
    assert row.charged_ah is not None
    assert row.duration_h is not None
    kind = "lead" if chemistry in LEAD_ACID else "lithium"
    returned = row.charge_efficiency or CHARGE_EFFICIENCY[kind]
    return row.charged_ah * returned / row.duration_h


def _setting(row: LogRow) -> float:
    if row.step is not None:
        return 1.0
    return float("nan") if row.throttle is None else row.throttle


def _series_ohm(row: LogRow, steps: Floats) -> float:
    return 0.0 if row.step is None else float(steps[min(row.step, steps.size) - 1])
