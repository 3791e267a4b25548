"""What holds for every function of the room: arrays, keywords, docstrings."""

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest

import keelwatt.physics
from keelwatt.physics import (
    battery,
    cable,
    hull,
    motor,
    propeller,
    protection,
    stowage,
    water,
)

Function = Callable[..., Any]

CASES: list[tuple[Function, dict[str, list[float]], dict[str, Any]]] = [
    (water.density_kg_m3, {"temperature_c": [0, 15.5, 35]}, {"kind": "fresh"}),
    (water.density_kg_m3, {"temperature_c": [0, 15.5, 35]}, {"kind": "salt"}),
    (water.viscosity_m2_s, {"temperature_c": [0, 15.5, 35]}, {"kind": "fresh"}),
    (water.viscosity_m2_s, {"temperature_c": [0, 15.5, 35]}, {"kind": "salt"}),
    (
        hull.displaced_volume_m3,
        {
            "length_m": [3, 4, 5],
            "beam_m": [0.5, 0.7, 0.9],
            "draft_m": [0.1, 0.15, 0.2],
            "fineness": [2, 4, 8],
            "fullness": [3, 6, 10],
        },
        {},
    ),
    (
        hull.draft_m,
        {
            "volume_m3": [0.1, 0.2, 0.3],
            "length_m": [3, 4, 5],
            "beam_m": [0.5, 0.7, 0.9],
            "fineness": [2, 4, 8],
            "fullness": [3, 6, 10],
        },
        {},
    ),
    (
        hull.waterplane_longitudinal_m4,
        {"length_m": [3, 4, 5], "beam_m": [0.5, 0.7, 0.9], "fineness": [2, 4, 8]},
        {},
    ),
    (
        hull.waterplane_transverse_m4,
        {"length_m": [3, 4, 5], "beam_m": [0.5, 0.7, 0.9], "fineness": [2, 4, 8]},
        {},
    ),
    (hull.buoyancy_height_m, {"draft_m": [0.1, 0.2, 0.3], "fullness": [2, 4, 8]}, {}),
    (
        hull.wetted_surface_m2,
        {
            "length_m": [3, 4, 5],
            "beam_m": [0.5, 0.7, 0.9],
            "draft_m": [0.1, 0.15, 0.2],
            "fineness": [2, 4, 8],
            "fullness": [3, 6, 10],
        },
        {},
    ),
    (hull.friction_coefficient, {"reynolds": [0, 1e5, 3.3e6]}, {}),
    (
        hull.friction_n,
        {"speed_m_s": [0, 1, 2], "length_m": [3, 4, 5], "wetted_surface_m2": [1, 2, 3]},
        {"density_kg_m3": 1000.0, "viscosity_m2_s": 1.1e-6},
    ),
    (
        hull.air_resistance_n,
        {"ground_speed_m_s": [0, 1, 2], "headwind_m_s": [3, -4, 1], "drag_area_m2": [1, 2, 3]},
        {},
    ),
    (
        propeller.thrust_fraction,
        {"shaft_ratio": [0.2, 0.6, 1], "speed_fraction": [0, 0.5, 1]},
        {},
    ),
    (
        propeller.shaft_ratio,
        {"thrust_fraction": [0, 0.3, 1], "speed_fraction": [0, 0.5, 1]},
        {},
    ),
    (
        propeller.momentum_thrust_n,
        {"power_w": [50, 200, 900], "diameter_m": [0.1, 0.2, 0.3]},
        {},
    ),
    (
        motor.current_a,
        {
            "shaft_ratio": [0.2, 0.6, 1],
            "speed_fraction": [0, 0.5, 1],
            "max_current_a": [20, 30, 50],
            "no_load_a": [1, 2, 3],
        },
        {},
    ),
    (
        motor.power_w,
        {"shaft_ratio": [0.2, 0.6, 1], "voltage_v": [12, 24, 36], "current_a": [3, 5, 7]},
        {},
    ),
    (motor.step_ratio, {"shaft_ratio": [0, 0.41, 1.2], "steps": [1, 5, 8]}, {}),
    (
        motor.chopper_current_a,
        {
            "motor_power_w": [10, 100, 500],
            "efficiency": [0.9, 0.95, 1],
            "drop_fraction": [0, 0.05, 0.1],
            "bank_voltage_v": [12, 25.6, 36],
        },
        {},
    ),
    (
        battery.charge_used_ah,
        {
            "duration_h": [0, 1, 2],
            "current_a": [2, 5.1, 70],
            "capacity_ah": [100, 80, 50],
            "rated_h": [20, 20, 5],
            "peukert": [1.3, 1.1, 1.03],
        },
        {},
    ),
    (
        battery.hours_to_empty,
        {
            "current_a": [0, 5.1, 70],
            "capacity_ah": [100, 80, 50],
            "rated_h": [20, 20, 5],
            "peukert": [1.3, 1.1, 1.03],
        },
        {},
    ),
    (battery.temperature_factor, {"temperature_c": [-10, 7, 30]}, {"chemistry": "gel"}),
    (battery.temperature_factor, {"temperature_c": [-10, 7, 30]}, {"chemistry": "lfp"}),
    (battery.device_current_a, {"power_w": [0, 5, 30], "bank_voltage_v": [12, 24, 36]}, {}),
    (cable.awg_area_mm2, {"gauge": [-3, 0, 18]}, {}),
    (cable.resistance_ohm_m, {"area_mm2": [1, 10, 100], "temperature_c": [20, 30, 60]}, {}),
    (
        cable.voltage_drop_v,
        {"run_m": [1, 2, 3], "area_mm2": [1, 10, 100], "current_a": [1, 30, 50]},
        {},
    ),
    (
        cable.supply_current_a,
        {
            "power_w": [0, 110, 1000],
            "supply_voltage_v": [12, 12, 24],
            "resistance_ohm": [0.0, 0.1, 0.02],
        },
        {},
    ),
    (
        cable.ampacity_a,
        {
            "area_mm2": [0.1, 10, 100],
            "insulation_c": [105, 70, 90],
            "place_temperature_c": [30, 45, 91],
        },
        {},
    ),
    (protection.smallest_fuse_a, {"max_current_a": [1, 30, 50]}, {}),
    (
        protection.largest_fuse_a,
        {"ampacity_a": [1, 30, 50], "over_ampacity": [1, 1.2, 1.5]},
        {},
    ),
    (protection.short_circuit_a, {"capacity_ah": [1, 30, 50]}, {}),
    (protection.smallest_controller_a, {"max_current_a": [1, 30, 50]}, {}),
    (
        stowage.trim_moment_limit_kg_m,
        {"density_kg_m3": [998, 1000, 1025], "waterplane_m4": [1, 2, 3], "trim_rad": [0, 0.1, 0.2]},
        {},
    ),
    (
        stowage.stiffness_kg_m,
        {
            "density_kg_m3": [998, 1000, 1025],
            "waterplane_m4": [0.1, 0.2, 0.3],
            "rising_moment_kg_m": [-5, 50, 500],
        },
        {},
    ),
    (
        stowage.heel_moment_limit_kg_m,
        {
            "density_kg_m3": [998, 1000, 1025],
            "waterplane_m4": [0.1, 0.2, 0.3],
            "rising_moment_kg_m": [-5, 50, 500],
            "heel_rad": [0, 0.1, 0.2],
        },
        {},
    ),
    (stowage.persons_capacity_lb, {"maximum_capacity_lb": [100, 300, 547]}, {}),
    (stowage.persons_for_weight, {"persons_lb": [100, 300, 547]}, {}),
    (stowage.persons_on_plate, {"maximum_capacity_lb": [100, 300, 547]}, {}),
]
NOT_OF_ARRAYS = {
    "usable_share",
    "block",
    "passes_hatch",
    "thin_ship_trusted",
    "wave_resistance_n",
    "running_maximum_n",
    "rungs_for",
    "rung_speeds_m_s",
    "rung_resistance_n",
    "highest_n",
    "froude_number",
    "resistance_share",
}


def public_functions() -> Iterator[Function]:
    for module in pkgutil.iter_modules(keelwatt.physics.__path__):
        room = importlib.import_module(f"keelwatt.physics.{module.name}")
        for name, member in inspect.getmembers(room, inspect.isfunction):
            if member.__module__ == room.__name__ and not name.startswith("_"):
                yield member


FUNCTIONS = list(public_functions())


@pytest.mark.parametrize(
    ("function", "arrays", "fixed"), CASES, ids=[case[0].__name__ for case in CASES]
)
def test_array_equals_scalar(
    function: Function, arrays: dict[str, list[float]], fixed: dict[str, Any]
) -> None:
    together = function(**{k: np.array(v, dtype=np.float64) for k, v in arrays.items()}, **fixed)
    alone = [
        function(**dict(zip(arrays, values, strict=True)), **fixed)
        for values in zip(*(map(float, v) for v in arrays.values()), strict=True)
    ]
    assert isinstance(together, np.ndarray)
    assert together.shape == (3,)
    assert all(isinstance(value, float) for value in alone)
    np.testing.assert_allclose(together, alone, rtol=1e-14)


@pytest.mark.parametrize(
    ("function", "arrays", "fixed"), CASES, ids=[case[0].__name__ for case in CASES]
)
def test_arrays_broadcast(
    function: Function, arrays: dict[str, list[float]], fixed: dict[str, Any]
) -> None:
    first, *others = arrays
    column = np.array(arrays[first], dtype=np.float64)[:, None]
    rows = {k: np.array(arrays[k], dtype=np.float64) for k in others}
    table = function(**{first: column}, **rows, **fixed)
    assert table.shape == (3, 3 if others else 1)
    corner = function(
        **{first: float(arrays[first][2])}, **{k: float(arrays[k][0]) for k in others}, **fixed
    )
    np.testing.assert_allclose(table[2, 0], corner, rtol=1e-14)


def test_every_function_of_arrays_has_a_case() -> None:
    assert {f.__name__ for f in FUNCTIONS} - NOT_OF_ARRAYS == {c[0].__name__ for c in CASES}


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda f: f.__name__)
def test_arguments_are_keywords(function: Function) -> None:
    kinds = {p.kind for p in inspect.signature(function).parameters.values()}
    assert kinds == {inspect.Parameter.KEYWORD_ONLY}


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda f: f.__name__)
def test_docstring_is_whole(function: Function) -> None:
    doc = inspect.getdoc(function) or ""
    assert doc.splitlines()[0].endswith((".", "?"))
    for part in ("Parameters\n---", "Returns\n---", "References\n---", ">>> "):
        assert part in doc
    for name in inspect.signature(function).parameters:
        assert name in doc
    if "raise ValueError" in inspect.getsource(function):
        assert "Raises\n---" in doc
