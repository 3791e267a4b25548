"""An outing's file for an outing of the model, in units drawn at random and with comments."""

import json
from collections.abc import Iterator, Mapping
from random import Random
from typing import Any

from pydantic import BaseModel

from keelwatt.files.outing import Leg, Outing
from keelwatt.files.outing.convert import DISTANCE, Entry, entries_of
from keelwatt.units import FACTORS, Kind

UNITS: dict[Kind, tuple[str, ...]] = {
    "length": ("m", "cm", "ft"),
    "mass": ("kg", "lb", "g"),
    "speed": ("km/h", "mph", "m/s", "knots"),
    "duration": ("h", "min"),
    "power": ("W",),
    "angle": ("deg", "rad"),
    "temperature": ("degC",),
    "area": ("m2",),
    "moment": ("N m", "lbf ft"),
    "voltage": ("V", "mV"),
}
KNOTS = {"knots": 1852 / 3600}
AS_DISTANCE = 0.4
"""How often a leg that moves is given by its distance."""


def outing_text(outing: Outing, seed: int = 0) -> str:
    """TOML that reads as the outing, but for the last digits and legs given by distance."""
    return "\n".join(_table(Random(seed), outing, Outing, "")) + "\n"


def _table(r: Random, table: BaseModel, model: type[BaseModel], header: str) -> Iterator[str]:
    entries = [entry for entry in entries_of(model).values() if entry is not DISTANCE]
    for entry in entries:
        value = getattr(table, entry.field)
        if value is None or (entry.name == "towed" and not value):
            continue
        if entry.name == "drag_factor" and getattr(table, "towed", False):
            continue
        if not entry.model and not isinstance(value, Mapping):
            yield from _line(r, entry, value, table)
    for entry in entries:
        value, name = getattr(table, entry.field), f"{header}{entry.name}"
        if entry.model and entry.many:
            for row in value:
                yield f"\n# {entry.name} of the day\n[[{name}]]"
                yield from _table(r, row, entry.model, f"{name}.")
        elif entry.model and value is not None:
            yield f"\n[{name}]  # see above"
            yield from _table(r, value, entry.model, f"{name}.")
        elif isinstance(value, Mapping) and value:
            yield f"\n[{name}]"
            for key, inner in value.items():
                words = "/".join(key) if isinstance(key, tuple) else key
                yield f"{json.dumps(words)} = {_amount(r, entry.kind or None, inner)}"


def _line(r: Random, entry: Entry, value: Any, table: BaseModel) -> Iterator[str]:
    note = r.choice(["", "", "   # so it is"])
    leg = table if isinstance(table, Leg) and entry.field == "duration_h" else None
    if leg and leg.driven and leg.speed_m_s > 0 and r.random() < AS_DISTANCE:
        distance = _amount(r, "length", leg.speed_m_s * leg.duration_h * 3600)
        yield f"distance = {distance}{note}"
    elif entry.name == "towed":
        yield f"towed = {json.dumps([[f'{v!r} m/s', f'{pull!r} N'] for v, pull in value])}"
    elif entry.kind == "money":
        yield f"{entry.name} = {value / 100!r}{note}"
    else:
        yield f"{entry.name} = {_amount(r, entry.kind, value)}{note}"


def _amount(r: Random, kind: Any, value: Any) -> str:
    if kind is None or kind == "share":
        return json.dumps(value)
    unit = r.choice(UNITS[kind])
    factor = KNOTS.get(unit) or FACTORS[kind][unit]
    return f'"{value / factor:.15f} {unit}"'
