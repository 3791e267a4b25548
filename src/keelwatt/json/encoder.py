"""Any value as JSON holds it: a dataclass is an object of its fields unless ``SHAPES`` has it."""

import json
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from math import isfinite
from typing import Any

Shape = Mapping[str, "str | Shape | Callable[[Any], Any]"]
"""Key -> path of attributes, an object of such keys, or what makes the value."""

SHAPES: "dict[str, Shape | Callable[[Any], Any]]" = {}
"""Class, by its name -> what the contract calls its parts and takes of it; see ``shapes``."""

SIZES = {"_cents": 100, "_units": 10_000, "_g": 1000}
"""Endings of whole numbers -> how many make one of what is told."""


def text(data: object) -> str:
    return json.dumps(plain(data), indent=2, ensure_ascii=False, allow_nan=False)


def plain(value: Any) -> Any:
    match value:
        case Enum():
            value = value.value
        case float():
            value = value if isfinite(value) else None
        case Mapping():
            value = {key: plain(inner) for key, inner in value.items()}
        case list() | tuple():
            value = [plain(inner) for inner in value]
        case _ if is_dataclass(value):
            shape = SHAPES.get(type(value).__name__) or {
                field.name.removesuffix("_cents"): field.name for field in fields(value)
            }
            value = plain(shape(value)) if callable(shape) else shaped(value, shape)
        case _ if hasattr(value, "model_dump"):
            value = value.model_dump(mode="json")
        case _ if hasattr(value, "tolist"):
            value = value.tolist()
    return value


def shaped(value: Any, shape: Shape) -> dict[str, Any]:
    return {key: _at(value, path) for key, path in shape.items()}


def _at(value: Any, path: str | Shape | Callable[[Any], Any]) -> Any:
    """What lies at a path; null where there is nothing on the way."""
    if isinstance(path, Mapping):
        return shaped(value, path)
    if callable(path):
        return plain(path(value))
    for name in path.split("."):
        value = None if value is None else getattr(value, name)
    size = next((size for ending, size in SIZES.items() if path.endswith(ending)), None)
    return value / size if size and value is not None else plain(value)


def named(told: str) -> Shape:
    """ "key key=path": each key, and where its value is if not under that name."""
    pairs = (word.partition("=") for word in told.split())
    return {key: path or key for key, _, path in pairs}
