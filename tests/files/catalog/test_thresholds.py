"""What a part is objected to for, on either side of each bound."""

from functools import cache
from typing import Any

import pytest

from keelwatt.files.catalog.checks import findings
from keelwatt.files.catalog.parts import Battery, Part
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog


@cache
def part(id: str) -> Part:
    return read_catalog(shipped_catalog()).part(id)


def first(stem: str) -> str:
    return read_catalog(shipped_catalog()).ids(stem)[0]


LFP = {
    "chemistry": "lfp", "system_v": 12, "voltage_v": 12.0, "capacity_ah": 100.0, "mass_kg": 10.0,
    "length_m": 0.2, "width_m": 0.2, "height_m": 0.25, "continuous_a": 50.0,
    "short_circuit_a": None,
}  # fmt: skip
MOTOR = {
    "control": "stepped", "steps": 2, "efficiency": 1.0, "current_a": 30.0, "no_load_a": 2.0,
    "step_currents_a": (10.0, 30.0), "no_thrust_speed_m_s": None,
}  # fmt: skip

BOUNDS: list[tuple[str, dict[str, Any], str, Any, Any]] = [
    ("batteries", LFP, "voltage_v", 15.0, 15.01),
    ("batteries", LFP, "voltage_v", 10.8, 10.79),
    ("batteries", LFP, "mass_kg", 6.0, 5.99),
    ("batteries", LFP | {"chemistry": "nmc"}, "mass_kg", 5.0, 3.99),
    ("batteries", LFP | {"chemistry": "agm"}, "mass_kg", 20.0, 19.99),
    ("batteries", LFP | {"chemistry": "gel"}, "mass_kg", 20.0, 19.99),
    ("batteries", LFP | {"chemistry": "flooded"}, "mass_kg", 20.0, 19.99),
    ("batteries", LFP, "length_m", 0.4, 0.401),
    ("batteries", LFP, "length_m", 0.05, 0.0499),
    ("batteries", LFP, "short_circuit_a", 50.1, 50.0),
    ("motors", MOTOR, "steps", 2, 0),
    ("motors", MOTOR, "efficiency", 1.0, 0.99),
    ("motors", MOTOR, "step_currents_a", (10.0, 31.49), (10.0, 31.51)),
    ("motors", MOTOR, "step_currents_a", (10.0, 28.51), (10.0, 28.49)),
    ("motors", MOTOR, "step_currents_a", (2.01, 30.0), (2.0, 30.0)),
    ("motors", MOTOR, "step_currents_a", (10.0, 30.0), (30.0, 30.0)),
    ("motors", MOTOR, "step_currents_a", (10.0, 30.0), (30.0,)),
    ("motors", MOTOR | {"step_currents_a": None}, "no_load_a", 29.99, 30.0),
    ("controllers", {"max_system_v": 24}, "min_system_v", 24, 36),
    ("cables", {"size": "10 mm2"}, "mass_kg_m", 0.0845, 0.0844),
    ("cables", {}, "insulation_c", 60.0, 59.9),
    ("fuses", {"rating_a": 40.0}, "interrupts_a", 40.1, 40.0),
    ("connectors", {"largest": "6 AWG"}, "smallest", "6 AWG", "4 AWG"),
]
"""File, the part's other values, a field, what passes, and what is objected to there."""


@pytest.mark.parametrize(("stem", "given", "field", "right", "wrong"), BOUNDS)
def test_the_bound_is_where_it_is_said_to_be(
    stem: str, given: dict[str, Any], field: str, right: Any, wrong: Any
) -> None:
    sound = part(first(stem)).model_copy(update=given)

    def objected(value: Any) -> set[str]:
        return {each.field for each in findings(sound.model_copy(update={field: value}))}

    assert field not in objected(right)
    assert field in objected(wrong)


@pytest.mark.parametrize("speed_m_s", [1.5, 4.0])
def test_a_speed_no_propeller_has_is_told_with_those_it_may_have(speed_m_s: float) -> None:
    """130 N over 1000 kg/m3 (0.21 m)2 V2 is 0.70 at 2.05 m/s and 0.30 at 3.13 m/s."""
    given = {"thrust_n": 130.0, "propeller_m": 0.21, "current_a": 40.0}
    given["no_thrust_speed_m_s"] = speed_m_s
    motor = part(first("motors")).model_copy(update=MOTOR | given)
    told = {each.field: each.what for each in findings(motor)}
    assert "7.4 to 11.3 km/h" in told["no_thrust_speed_m_s"]


@pytest.mark.parametrize(
    ("chemistry", "most"), [("flooded", 4), ("agm", 4), ("gel", 4), ("lfp", 1), ("nmc", 1)]
)
def test_no_lithium_battery_is_joined_unless_its_maker_lets_it(chemistry: str, most: int) -> None:
    """Their electronics may not stand it: one, where the catalog is silent."""
    battery = part(first("batteries")).model_dump(exclude={"max_series", "max_parallel"})
    silent = Battery.model_validate(battery | {"chemistry": chemistry})
    assert (silent.max_series, silent.max_parallel) == (most, most)
