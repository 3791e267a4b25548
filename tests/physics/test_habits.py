"""What holds for every function of the room: arrays, keywords, docstrings."""

import ast
import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

import keelwatt.physics
from physics.cases import CASES, NOT_OF_ARRAYS, Function


def public_functions() -> Iterator[Function]:
    for module in pkgutil.iter_modules(keelwatt.physics.__path__):
        room = importlib.import_module(f"keelwatt.physics.{module.name}")
        for name, member in inspect.getmembers(room):
            function = inspect.unwrap(member) if callable(member) else member
            if not inspect.isfunction(function) or name.startswith("_"):
                continue
            if function.__module__ == room.__name__:
                yield function


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
    assert all(isinstance(value, float | np.bool_) for value in alone)
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
    assert kinds <= {inspect.Parameter.KEYWORD_ONLY}


def is_one_line_rule(function: Function) -> bool:
    """One statement, and arguments whose names end in their units or mean a share."""
    (definition,) = ast.parse(inspect.getsource(function)).body
    assert isinstance(definition, ast.FunctionDef)
    short = len(definition.body) <= 3  # docstring, at most an assignment, return
    return short and all(
        n in PLAIN or UNITS.search(n) for n in inspect.signature(function).parameters
    )


PLAIN = {"chemistry", "efficiency", "froude", "reynolds", "fineness", "fullness", "line", "kind"}
PLAIN |= {"series", "parallel", "devices", "plugs"}
UNITS = re.compile(
    r"_(m[234]?|mm2|m2_s|kg_m3|m_s|ohm|ohm_m|n|n_m|kg|kg_m|rad|w|a|ah|h|v|c|lb|fraction|ratio)$"
)
SOURCES = r"practice|from memory|CFR|IEC|ISO|B-series|Masters\s+and\s+Mates|[Ss]tatics"


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda f: f.__name__)
def test_docstring_is_whole(function: Function) -> None:
    """A one-line rule tells its source and an example; any other what its arguments are too."""
    doc = inspect.getdoc(function) or ""
    assert doc.splitlines()[0].endswith((".", "?"))
    assert ">>> " in doc
    whole = doc + (inspect.getdoc(inspect.getmodule(function)) or "")
    if not re.search(r"^Source: ", whole, re.M):
        assert is_one_line_rule(function)
        assert re.search(SOURCES, doc)
    for name in inspect.signature(function).parameters:
        assert name in doc.split(">>>")[0] or name in PLAIN or UNITS.search(name)
    if "raise ValueError" in inspect.getsource(function):
        assert "ValueError: " in doc
