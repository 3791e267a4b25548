"""A motor with a winding behind a switch and behind a chopper: published and computed values.

The check is a motor of 130 N, 30 A, 1.2 A without load, 12 V, a fifth of it lost in the winding,
a no-thrust speed of 2.537 m/s and five steps, in a boat of 14 V^2 newtons, without any loss in the
cable. Its values were computed apart from this program. Tables and proof must both bring them.
"""

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest

from keelwatt.boat.arrays import Record
from keelwatt.boat.bank import Bank
from keelwatt.boat.drive import Drive
from keelwatt.boat.load_case import LoadCase
from keelwatt.boat.powertrain import Powertrain
from keelwatt.boat.running import Running
from keelwatt.proof.drive import Drive as ProofDrive
from keelwatt.proof.drive import Plan
from oracle.cheap_water import CheapWater
from oracle.one_of_each import (
    BATTERY,
    CATALOG,
    CONTROLLER,
    HAIR_M,
    KIT,
    MOTOR,
    with_craft,
)

Floats = npt.NDArray[np.float64]

CHECK = MOTOR.model_copy(
    update={
        "thrust_n": 130.0,
        "current_a": 30.0,
        "no_load_a": 1.2,
        "winding": 0.2,
        "no_thrust_speed_m_s": 2.537,
        "step_currents_a": None,
    }
)
CHOPPER = CONTROLLER.model_copy(update={"efficiency": 0.95, "current_a": 60.0})
CALM = with_craft(wind_area_m2=0.0)


def pull_n(speed_m_s: Floats) -> Floats:
    return np.asarray(14.0 * np.asarray(speed_m_s) ** 2)


@dataclass(frozen=True)
class SquareLaw(Record):
    """Water of 14 V^2 newtons for a boat of any draft."""

    column: npt.NDArray[np.int64]
    draft_m: Floats = field(metadata={"for_all": True})

    def water_n(self, speed_m_s: Floats, _depth_m: Floats) -> Floats:
        return pull_n(speed_m_s)


def running(volts: float, *, chopped: bool = False) -> Running:
    """The tables' side; near the day's end its bank has all of its volts."""
    case = LoadCase(CALM)
    bank = Bank.of_parts(BATTERY.model_copy(update={"voltage_v": volts}), 1, 1, 1.0)
    bank = replace(bank, low_v=np.asarray(volts))
    (mount,) = CALM.craft.mounts
    drive = Drive.of_parts(case, CHECK, CHOPPER if chopped else None, mount)
    water: Any = SquareLaw(np.zeros(1, dtype=np.int64), np.array([0.1]))
    return Running(case, case.legs, Powertrain(bank, drive, 0.0), water)


def proof_drive(volts: float, *, chopped: bool = False) -> ProofDrive:
    """The proof's side."""
    catalog = replace(
        CATALOG,
        motors=(CHECK,),
        batteries=(BATTERY.model_copy(update={"voltage_v": volts}),),
        controllers=(CHOPPER,),
    )
    kit = replace(KIT, controller="controller") if chopped else KIT
    chosen = CheapWater(CALM, catalog).chosen(kit)
    return ProofDrive(chosen, Plan(130.0, 2.537, 0.0, 1000.0), 1, 0.1)


CALM_AIR = np.zeros(1)


def mean_a(volts: float, speeds: npt.ArrayLike, *, chopped: bool = False) -> Floats:
    """By the tables."""
    return np.array(
        [
            running(volts, chopped=chopped).at(np.array([speed]), CALM_AIR, CALM_AIR).battery_a[0]
            for speed in np.atleast_1d(speeds)
        ]
    )


def proved_a(volts: float, speeds: npt.ArrayLike) -> Floats:
    """By the proof, on the switch."""
    drive = proof_drive(volts)
    settled = settled_m_s(drive)
    return np.array([drive.moving(float(speed), settled)[0] for speed in np.atleast_1d(speeds)])


def settled_m_s(drive: ProofDrive) -> Floats:
    ladder = np.linspace(0.0, 3.0, 480)
    return drive.settled_m_s(ladder, pull_n(ladder), pull_n)


WITHIN = (0.3, 0.9), (1.25, 1.33), (1.46, 1.54), (1.68, 1.74), (1.9, 1.96)
"""Two speeds from each piece between two steps, on 12 V and on 12.8 V alike."""

STEPS = [
    (
        12.0,
        (1.1704, 1.3645, 1.5680, 1.7759, 1.9801),
        (6.652, 8.611, 10.986, 13.754, 16.807),
    ),
    (
        12.8,
        (1.2293, 1.4346, 1.6519, 1.8764, 2.0999),
        (7.215, 9.392, 12.061, 15.215, 18.752),
    ),
]


@pytest.mark.parametrize(("volts", "speeds", "currents"), STEPS)
@pytest.mark.parametrize("way", [mean_a, proved_a])
def test_between_its_steps_a_mean_current_is_straight_and_bends_at_them(
    way: Any, volts: float, speeds: tuple[float, ...], currents: tuple[float, ...]
) -> None:
    """Each step lies where two straight pieces meet, the last at the end of the last."""
    each = np.array([(x, way(volts, x)) for x in WITHIN])
    slope = np.diff(each[:, 1], axis=1)[:, 0] / np.diff(each[:, 0], axis=1)[:, 0]
    offset = each[:, 1, 0] - slope * each[:, 0, 0]
    meet = -np.diff(offset) / np.diff(slope)
    assert meet == pytest.approx(np.array(speeds[:-1]), abs=5e-5)
    found = np.append(offset[:-1] + slope[:-1] * meet, offset[-1] + slope[-1] * speeds[-1])
    assert found == pytest.approx(np.array(currents), abs=1e-3)
    assert offset[0] == pytest.approx(0.0, abs=1e-9)


SPEEDS = [(volts, speeds) for volts, speeds, _ in STEPS]


@pytest.mark.parametrize(("volts", "speeds"), SPEEDS)
def test_the_proofs_steps_settle_there(volts: float, speeds: tuple[float, ...]) -> None:
    assert settled_m_s(proof_drive(volts)) == pytest.approx(np.array(speeds), abs=5e-5)


@pytest.mark.parametrize(("volts", "speeds"), SPEEDS)
@pytest.mark.parametrize("chopped", [False, True])
def test_the_last_step_and_a_chopper_open_wide_are_as_fast(
    volts: float, speeds: tuple[float, ...], chopped: bool
) -> None:
    run = running(volts, chopped=chopped)
    assert run.reached_m_s()[0] == pytest.approx(speeds[-1], abs=5e-5)
    assert not run.in_calm(np.array([speeds[-1] + 1e-4])).feasible[0]
    drive = proof_drive(volts, chopped=chopped)
    for speed, reached in ((speeds[-1] - 1e-4, True), (speeds[-1] + 1e-4, False)):
        needed_v = drive.volts(drive.shaft_ratio(14 * speed**2, speed), speed)
        assert bool(needed_v <= volts) is reached


MEANS = [
    (0.3, 1.705, 0.238, 5e-4),
    (1.0, 5.684, 2.634, 5e-4),
    (1.3, 7.960, 5.305, 5e-4),
    (1.6, 11.41, 9.51, 5e-3),
]


@pytest.mark.parametrize(("speed", "stepped", "chopped", "digit"), MEANS)
def test_mean_currents_on_the_switch_and_through_the_chopper(
    speed: float, stepped: float, chopped: float, digit: float
) -> None:
    """At a trolling speed the chopper halves the charge (common practice says so)."""
    assert mean_a(12.0, speed)[0] == pytest.approx(stepped, abs=digit)
    assert proved_a(12.0, speed)[0] == pytest.approx(stepped, abs=digit)
    assert mean_a(12.0, speed, chopped=True)[0] == pytest.approx(chopped, abs=digit)
    drive = proof_drive(12.0, chopped=True)
    ratio = drive.shaft_ratio(14 * speed**2, speed)
    assert float(drive.chopper_a(ratio, speed)) == pytest.approx(chopped, abs=digit)


TETHERED = [(32.50, 0.28), (46.71, 0.385), (66.24, 0.529), (93.09, 0.727), (130.0, 1.0)]
"""Thrust of each step at nominal voltage, and its share of 30 A: 0.28^(1, 3/4, 1/2, 1/4, 0)."""


@pytest.mark.parametrize(
    ("lower", "upper"), list(zip([(0.0, 0.0), *TETHERED], TETHERED, strict=False))
)
@pytest.mark.parametrize("between", [0.0, 0.5, 1.0])
def test_a_place_is_held_by_the_steps_thrusts_in_turn(
    lower: tuple[float, float], upper: tuple[float, float], between: float
) -> None:
    thrust_n = max(lower[0] + between * (upper[0] - lower[0]) - 1e-6, 0.0)
    amperes = 30.0 * (lower[1] + between * (upper[1] - lower[1]))
    assert proof_drive(12.0).holding(thrust_n)[0] == pytest.approx(amperes, abs=2e-2)

    def pull(speed: Floats) -> Floats:
        return thrust_n + pull_n(speed)

    still = np.zeros((1, 1))
    held = running(12.0).train.stepped_a(pull, still, np.full((1, 1), thrust_n))
    assert held[0, 0] == pytest.approx(amperes, abs=2e-2)


@pytest.mark.parametrize(
    ("volts", "ratio", "share"),
    [
        (12.0, 1.0, 1.0),
        (12.8, 1.0558, 1.110),
        (13.2, 1.0833, 1.167),
        (14.4, 1.1645, 1.342),
        (16.0, 1.2697, 1.588),
    ],
)
def test_a_bank_above_the_motors_voltage_turns_it_faster_and_feeds_it_more(
    volts: float, ratio: float, share: float
) -> None:
    """Tethered: the values of the winding of a fifth, computed."""
    train, rest = running(volts).train, np.zeros(1)
    turned = train.drive.driven_ratio(train.supply_v, rest, rest)
    assert turned[0] == pytest.approx(ratio, abs=5e-5)
    assert train.full_a(rest)[0] == pytest.approx(30 * share, abs=30 * 5e-4)
    drive = proof_drive(volts)
    assert float(drive.held_at(9.0, 0.0)) == pytest.approx(ratio, abs=5e-5)
    assert float(drive.motor_a(drive.held_at(9.0, 0.0), 0.0)) == pytest.approx(
        30 * share, abs=30 * 5e-4
    )


@pytest.mark.parametrize("thrust_is", ["measured", "claimed"])
@pytest.mark.parametrize("propeller_m", [0.21, 0.25])
def test_thrust_to_plan_with_and_the_speed_that_follows_from_it(
    thrust_is: str, propeller_m: float
) -> None:
    """85 % of a claim (from memory); a blank speed is sqrt(T / (0.458 rho D^2)).

    0.458 is that of a propeller of the B-series, computed; 130 N and 0.21 m give 2.537 m/s in water
    of 1000 kg/m3.
    """
    update = {"thrust_is": thrust_is, "no_thrust_speed_m_s": None, "propeller_m": propeller_m}
    motor = CHECK.model_copy(update=update)
    thrust_n = 130.0 if thrust_is == "measured" else 0.85 * 130.0
    case = LoadCase(CALM)
    speed_m_s = np.sqrt(thrust_n / (0.458 * case.density_kg_m3 * propeller_m**2))
    assert case.thrust_n(motor) == pytest.approx(thrust_n)
    assert case.no_thrust_speed_m_s(motor) == pytest.approx(speed_m_s)
    assessor = CheapWater(CALM, replace(CATALOG, motors=(motor,)))
    planned = assessor.drive(KIT, assessor.chosen(KIT), 140_000).plan
    assert planned.thrust_n == pytest.approx(thrust_n)
    assert planned.no_thrust_speed_m_s == pytest.approx(speed_m_s)


def test_a_printed_speed_is_kept_whatever_the_claim() -> None:
    motor = CHECK.model_copy(update={"thrust_is": "claimed"})
    assert LoadCase(CALM).no_thrust_speed_m_s(motor) == 2.537
    assessor = CheapWater(CALM, replace(CATALOG, motors=(motor,)))
    assert assessor.drive(KIT, assessor.chosen(KIT), 140_000).plan.no_thrust_speed_m_s == 2.537


def test_a_hair_drags_nothing() -> None:
    assert running(12.0).train.drive.drag_n(np.array([2.0]), np.array([0.1]), 1000.0)[0] < 1e-5
    assert MOTOR.tube_m == MOTOR.pod_m == HAIR_M
