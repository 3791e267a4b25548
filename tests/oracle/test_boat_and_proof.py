"""Boat and proof on the same kits: two ways to one current, one reach and one length of day.

The boat finds a step's speed by false position, the proof on a ladder that it climbs twice; the
boat adds the day up over arrays, the proof leg by leg.
"""

from collections import Counter
from math import radians, tan
from random import Random

import numpy as np
import pytest

from keelwatt.boat.running import Running
from keelwatt.boat.turned import Turned
from keelwatt.files.kit import Kit
from keelwatt.proof import Assessment
from keelwatt.proof.ways import Way
from oracle.enumeration import sound_kits
from oracle.random_cases import WIDE, Case, random_case

NEAR = 1e-6
"""How close two ways must come, and how close to its bound a verdict may go either way."""

KITS = 5
"""Drawn from each case."""

NEAR_ITS_LIMIT = 2e-5
"""In the shallows, where resistance at last rises by 100 N a mm/s: the proof finds a step's speed
between the rungs of a ladder."""

IN_GRAMS = 5e-6
"""The proof runs the boat loaded to its plate in whole grams."""


def drawn(case: Case) -> list[Kit]:
    kits = tuple(sound_kits(case.outing, case.catalog))
    return Random(case.seed).sample(kits, min(len(kits), KITS))


def running(case: Case, kit: Kit, displacement_kg: float) -> Running:
    chosen = case.assessor.chosen(kit)
    parts = chosen.battery, chosen.motor, chosen.controller
    return Running.of_kit(case.load_case, kit, parts, displacement_kg)


def agree_on_reach(case: Case, kit: Kit, proof: Assessment, boat: Running) -> Counter[str]:
    """Every leg driven and the top speed; what is at its bound to rounding may go either way."""
    asked = [(leg, tuple(Way.of(leg))) for leg in case.outing.legs]
    point = boat.on_legs(boat.legs.ground_m_s)
    rated_a, stood = boat.train.rated_a, Counter[str]()
    for row, (leg, ways) in enumerate(asked):
        runs = [
            case.assessor.run(kit, case.assessor.chosen(kit), proof.totals.displacement_g, way)
            for way in ways
        ]
        reached = not leg.driven or all(case.assessor.reaches(run) for run in runs)
        bounds = [point.effort[row], point.battery_a[row] / rated_a]
        if not any(abs(float(bound[0]) - 1.0) < NEAR for bound in bounds):
            assert bool(point.feasible[row]) == reached, (case.seed, kit, leg)
        stood["in reach" if reached else "out of reach"] += 1
    if (top_m_s := case.outing.limits.top_speed_m_s) is not None:
        (limit,) = [limit for limit in proof.limits if limit.name == "top_speed"]
        calm = boat.in_calm(np.array([top_m_s]))
        if abs(float(calm.effort[0]) - 1.0) >= NEAR:
            assert bool(calm.feasible[0]) == limit.holds, (case.seed, kit)
        stood["top speed kept" if limit.holds else "top speed missed"] += 1
    return stood


def agree_on_lean(case: Case, kit: Kit, proof: Assessment, boat: Running) -> Counter[str]:
    """What leans a boat that stands, its motor turned across."""
    has = {limit.name: limit.has for limit in proof.limits}
    if not case.assessor.chosen(kit).mount.turns or has["stability"] <= 0.0:
        return Counter()
    proved_kg_m = tan(radians(has["turn_heel"])) * has["stability"] * proof.totals.displacement_kg
    found_kg_m = float(Turned(case.load_case).kg_m(boat.train.drive)[0])
    assert found_kg_m == pytest.approx(proved_kg_m, rel=IN_GRAMS, abs=1e-9), (case.seed, kit)
    return Counter(leaning=found_kg_m > 0.0)


def agree(case: Case, kit: Kit) -> Counter[str]:
    """What of the laws the kit shows."""
    proof = case.assessor.assess(kit)
    boat = running(case, kit, proof.totals.displacement_kg)
    point = boat.on_legs(boat.legs.ground_m_s)
    shallow = any(leg.depth_m for leg in case.outing.legs)
    near = NEAR_ITS_LIMIT if shallow else NEAR
    for row, proved in enumerate(proof.legs):
        found, at = float(point.battery_a[row, 0]), (case.seed, kit, proved.name)
        assert found == pytest.approx(proved.battery_a, rel=near, abs=1e-9), at
        assert float(point.thrust_n[row, 0]) == pytest.approx(proved.thrust_n, rel=NEAR, abs=1e-9)
    day_h, served_h = (float(hours[0]) for hours in boat.hours_at(boat.legs.ground_m_s))
    assert day_h == pytest.approx(case.load_case.outing_hours)
    assert served_h == pytest.approx(day_h * proof.hours_at_limit, rel=near), (case.seed, kit)
    shown = agree_on_reach(case, kit, proof, boat) + agree_on_lean(case, kit, proof, boat)
    for limit in proof.limits:
        if limit.name == "control_heat":
            assert float(boat.has()["control_heat"][0]) == pytest.approx(limit.has, rel=near)
            assert bool(boat.met("control_heat")[0]) == limit.holds or abs(limit.room) < NEAR
            shown["cool" if limit.holds else "too warm"] += 1
    chosen = case.assessor.chosen(kit)
    shown["chopper" if chosen.chopper else "switch"] += 1
    shown["printed steps"] += chosen.motor.step_currents_a is not None
    shown["blank no-thrust speed"] += chosen.motor.no_thrust_speed_m_s is None
    shown["claimed"] += chosen.motor.thrust_is == "claimed"
    shown["devices"] += bool(case.outing.devices)
    shown["strings"] += kit.parallel > 1
    shown["towed"] += bool(case.outing.craft.towed)
    for leg, result in zip(case.outing.legs, proof.legs, strict=True):
        shown["motor off"] += not leg.driven
        shown["shallow"] += leg.driven and bool(leg.depth_m)
        shown["drifting"] += leg.driven and not result.thrust_n
        shown["held astern"] += len(tuple(Way.of(leg))) > 1
        shown["off and on"] += result.steps is not None and result.steps[0] == 0
        shown["two steps"] += result.steps is not None and result.steps[0] > 0
    return shown


SEEDS = (*range(8000, 8012), 8018, 8020, *range(WIDE + 8000, WIDE + 8008))


def test_boat_and_proof_agree() -> None:
    shown: Counter[str] = Counter()
    for case in map(random_case, SEEDS):
        for kit in drawn(case):
            shown += agree(case, kit)
    wanted = {
        *("chopper", "switch", "printed steps", "blank no-thrust speed", "claimed", "devices"),
        *("strings", "motor off", "drifting", "held astern", "off and on", "two steps"),
        *("in reach", "out of reach", "top speed kept", "top speed missed", "cool", "too warm"),
        *("towed", "shallow", "leaning"),
    }
    assert wanted - shown.keys() == set(), shown
    assert shown["chopper"] + shown["switch"] >= 48


@pytest.mark.slow
@pytest.mark.parametrize("part", range(40))
def test_boat_and_proof_agree_at_length(part: int) -> None:
    """Ten thousand kits."""
    kits = 0
    for number in range(60):
        start = 0 if number % 2 else WIDE
        case = random_case(start + 20_000 + 60 * part + number)
        for kit in drawn(case):
            agree(case, kit)
            kits += 1
    assert kits > 0
