"""Pairs of drive and bank: what they may weigh, all up, and still meet each demand of the day."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd

from keelwatt.candidates.drag import Drag
from keelwatt.facts import Facts
from keelwatt.kit import just_below
from keelwatt.physics import battery as battery_physics
from keelwatt.physics import motor as motor_physics
from keelwatt.physics import propeller

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int64]
Columns = dict[str, npt.NDArray[Any]]
"""A table's numeric columns by name."""

DEMANDS = ("leg_speed", "top_speed", "hours")
NEVER = -1
"""W_max of a pair that does not meet a demand even at its lightest."""


@dataclass(frozen=True)
class Pairs:
    """Arrays over (bank type, drive type).

    ``matched``: same system voltage, ``carried``: the bank stands the drive's full-throttle current
    and the devices', ``full_throttle_a`` that current; ``w_max_g[demand]``: the largest all-up mass
    in grams at which the demand is met, capped at ``cap_g``, NEVER where it is not met at all, and
    ``cap_g`` for pairs not matched, on which the demands have no say;
    ``lightest[demand]``: how the pair does at its lightest (greatest shaft ratio of the legs, that
    of the top speed, hours served), NaN where it is not matched.
    """

    matched: Bools
    carried: Bools
    full_throttle_a: Floats
    w_max_g: dict[str, Ints]
    lightest: dict[str, Floats]
    cap_g: int


def pair_tables(facts: Facts, banks: pd.DataFrame, drives: pd.DataFrame, cap_g: int) -> Pairs:
    """Every demand of every pair of types, found by bisection to the gram."""
    bank = _types(banks)
    drive = _types(drives)
    matched = bank["system_v"][:, None] == drive["system_v"][None, :]
    full_a = _full_throttle_a(facts, bank, drive)
    carried = just_below(full_a) <= bank["continuous_a"][:, None]
    b, d = np.nonzero(matched)
    bare_g = facts.bare_g
    lightest_g = bare_g + bank["mass_g"][b] + drive["mass_g"][d]
    cap_g = max(cap_g, int(lightest_g.max(initial=bare_g)))
    w_max = {demand: np.full(matched.shape, cap_g, dtype=np.int64) for demand in DEMANDS}
    lightest = {demand: np.full(matched.shape, np.nan) for demand in DEMANDS}
    if b.size:
        drag = Drag.of(facts, bare_g / 1000.0, cap_g / 1000.0)
        day = _Day(
            facts, drag, {k: v[b] for k, v in bank.items()}, {k: v[d] for k, v in drive.items()}
        )
        for demand, largest in _largest(day, lightest_g, cap_g).items():
            w_max[demand][b, d] = largest
        for demand, value in day.meets(np.arange(b.size), lightest_g)[1].items():
            lightest[demand][b, d] = value
    return Pairs(matched, carried, full_a, w_max, lightest, cap_g)


def _types(table: pd.DataFrame) -> Columns:
    """The numeric columns of one row a type."""
    first = table.drop_duplicates("type").sort_values("type")
    return {
        name: first[name].to_numpy() for name in first.columns if first[name].dtype.kind in "ifb"
    }


def _full_throttle_a(facts: Facts, bank: Columns, drive: Columns) -> Floats:
    volts = bank["voltage_v"][:, None]
    devices = sum(
        battery_physics.device_current_a(power_w=device.power_w, bank_voltage_v=volts)
        for device in facts.outing.devices
    )
    chopped = motor_physics.chopper_current_a(
        motor_power_w=(drive["system_v"] * drive["current_a"])[None, :],
        efficiency=drive["efficiency"][None, :],
        drop_fraction=facts.outing.limits.voltage_drop,
        bank_voltage_v=volts,
    )
    return np.asarray(np.where(drive["chopper"], chopped, drive["current_a"][None, :]) + devices)


@dataclass(frozen=True)
class _Day:
    """The outing for n pairs at once; every array of ``bank`` and ``drive`` has shape (n,)."""

    facts: Facts
    drag: Drag
    bank: Columns
    drive: Columns

    def met(self, pairs: Ints, displacement_g: Ints) -> dict[str, Bools]:
        return self.meets(pairs, displacement_g)[0]

    def meets(
        self, pairs: Ints, displacement_g: Ints
    ) -> tuple[dict[str, Bools], dict[str, Floats]]:
        """Which demands the numbered pairs meet at these displacements, and how they do.

        Every array has shape (len(pairs),); the second kind is that of ``Pairs.lightest``.
        """
        facts = self.facts
        bank = {k: v[pairs] for k, v in self.bank.items()}
        drive = {k: v[pairs] for k, v in self.drive.items()}
        legs = len(facts.outing.legs)
        grams, back = np.unique(displacement_g, return_inverse=True)
        thrust = self.drag.thrusts_n(grams / 1000.0)[:, back]
        speed = self.drag.speeds_m_s[:, None] / drive["no_thrust_speed_m_s"]
        ratio = np.asarray(
            propeller.shaft_ratio(thrust_fraction=thrust / drive["thrust_n"], speed_fraction=speed)
        )
        amperes = self._battery_a(bank, drive, ratio, speed)
        reaches = ratio <= 1.0 - facts.outing.limits.voltage_drop
        reaches &= ~drive["chopper"] | (amperes <= drive["current_a"])
        used = self._used_ah(bank, amperes[:legs])
        hours = np.divide(
            facts.outing_hours * bank["usable_ah"],
            used,
            out=np.full(used.shape, np.inf),
            where=used > 0.0,
        )
        return (
            {
                "leg_speed": np.asarray(reaches[:legs].all(axis=0)),
                "top_speed": np.asarray(reaches[legs:].all(axis=0)),
                "hours": used <= bank["usable_ah"],
            },
            {
                "leg_speed": ratio[:legs].max(axis=0),
                "top_speed": ratio[legs:].max(axis=0, initial=0.0),
                "hours": hours,
            },
        )

    def _battery_a(self, bank: Columns, drive: Columns, ratio: Floats, speed: Floats) -> Floats:
        drop = self.facts.outing.limits.voltage_drop
        stepped = motor_physics.step_ratio(shaft_ratio=np.minimum(ratio, 1.0), steps=drive["steps"])
        ratio = np.where(drive["chopper"], np.minimum(ratio, 1.0 - drop), stepped)
        motor_a = np.maximum(
            0.0,
            motor_physics.current_a(
                shaft_ratio=ratio,
                speed_fraction=speed,
                max_current_a=drive["current_a"],
                no_load_a=drive["no_load_a"],
            ),
        )
        chopped = motor_physics.chopper_current_a(
            motor_power_w=motor_physics.power_w(
                shaft_ratio=ratio, voltage_v=drive["system_v"], current_a=motor_a
            ),
            efficiency=drive["efficiency"],
            drop_fraction=drop,
            bank_voltage_v=bank["voltage_v"],
        )
        return np.asarray(np.where(drive["chopper"], chopped, motor_a))

    def _used_ah(self, bank: Columns, leg_a: Floats) -> Floats:
        strings = bank["parallel"]

        def charge(duration_h: float | Floats, amperes: Floats) -> Floats:
            used: Floats = strings * np.asarray(
                battery_physics.charge_used_ah(
                    duration_h=duration_h,
                    current_a=amperes / strings,
                    capacity_ah=bank["capacity_ah"],
                    rated_h=bank["rated_h"],
                    peukert=bank["peukert"],
                )
            )
            return used

        used = charge(self.facts.durations_h[:, None], leg_a).sum(axis=0)
        for device in self.facts.outing.devices:
            amperes = battery_physics.device_current_a(
                power_w=device.power_w, bank_voltage_v=bank["voltage_v"]
            )
            used = used + charge(device.duration_h, np.asarray(amperes))
        return np.asarray(used)


def _largest(day: _Day, lightest_g: Ints, cap_g: int) -> dict[str, Ints]:
    """By demand, the largest whole gram between ``lightest_g`` and ``cap_g`` that meets it."""
    everyone = np.arange(lightest_g.size)
    at_cap = day.met(everyone, np.full(lightest_g.shape, cap_g))
    at_lightest = day.met(everyone, lightest_g)
    largest = {}
    for demand in DEMANDS:
        answer = np.where(at_cap[demand], cap_g, np.where(at_lightest[demand], lightest_g, NEVER))
        open_ = np.flatnonzero(at_lightest[demand] & ~at_cap[demand])
        good, bad = lightest_g[open_].copy(), np.full(open_.shape, cap_g)
        while open_.size and (bad - good).max() > 1:
            middle = (good + bad) // 2
            met = day.met(open_, middle)[demand]
            good, bad = np.where(met, middle, good), np.where(met, bad, middle)
        answer[open_] = good
        largest[demand] = answer.astype(np.int64)
    return largest
