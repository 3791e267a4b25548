"""From a parsed TOML table to the values of the model, telling every problem on the way."""

import difflib
import json
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel, Field
from pydantic.fields import FieldInfo

from keelwatt.files.fields import Follows, Frozen, Measure, meaning, written
from keelwatt.files.outing.craft import Craft
from keelwatt.files.outing.model import Leg, Outing
from keelwatt.files.outing.toml_lines import Key
from keelwatt.physics.shapes import HULL_SHAPES
from keelwatt.units import EXAMPLES, Kind, UnitError, money_cents, number, quantity, symbol, to_si
from keelwatt.units.writing import spelled_units

DRAG_FACTOR = 1.3
"""Where only the hull's exponents are given; from memory."""

Loc = tuple[str | int, ...]
Complain = Callable[[Key, str, str], None]


@dataclass(frozen=True)
class Entry:
    """A key of a table: the field of ``owner`` it fills, the kind of quantity, or the tables
    below it."""

    owner: type[BaseModel]
    name: str
    field: str
    kind: Measure
    model: type[BaseModel] | None = None
    many: bool = False
    required: bool = False

    @property
    def info(self) -> FieldInfo:
        return self.owner.model_fields[self.field]

    @property
    def meaning(self) -> str:
        return meaning(self.owner, self.field)

    @property
    def example(self) -> str:
        if self.kind is None or self.kind == "money":
            return f'{self.name} = "..."'
        return f"{self.name} = {EXAMPLES[self.kind].split(' or ')[0]}"


UNWRITTEN = {(Outing, "file"), (Outing, "units"), (Leg, "by_distance")}
"""Fields no user writes."""


class _Extent(Frozen):
    distance_m: Annotated[float, Field(gt=0), Follows("speed times hours: give one of the two")]
    """How far; or give the hours."""


DISTANCE = Entry(_Extent, "distance", "distance_m", "length")
"""A leg's other way to say how long it is."""


BOAT_SPEEDS = {"speed", "top_speed"}
"""Keys whose unit is the reader's own for speeds; wind often comes in another."""


@dataclass
class Conversion:
    """``keys`` has for each place in the model its key in the file; ``typed`` counts units."""

    complain: Complain
    keys: dict[Loc, tuple[Key, Measure]] = field(default_factory=dict)
    typed: Counter[tuple[Kind, str]] = field(default_factory=Counter)

    def written(self, loc: Loc) -> tuple[Key, Measure]:
        """The key at ``loc`` of the model, and the kind of quantity there."""
        for length in range(len(loc), 0, -1):
            if loc[:length] in self.keys:
                key, kind = self.keys[loc[:length]]
                return (*key, *loc[length:]), kind
        return loc, None

    def values(
        self, model: type[BaseModel], table: Mapping[str, Any], key: Key = (), loc: Loc = ()
    ) -> dict[str, Any]:
        entries = entries_of(model)
        values: dict[str, Any] = {}
        for name, raw in table.items():
            if name not in entries:
                continue
            entry = entries[name]
            self.keys[(*loc, entry.field)] = (*key, name), entry.kind
            try:
                values[entry.field] = self._value(entry, raw, (*key, name), (*loc, entry.field))
            except UnitError as error:
                self.complain((*key, name), error.what, error.remedy)
        mistaken = {self._unknown(name, entries, key) for name in table if name not in entries}
        for entry in entries.values():
            if entry.required and entry.name not in table.keys() | mistaken:
                example = _header((*key, entry.name), entry.many) if entry.model else entry.example
                self.complain((*key, entry.name), "is missing", f"add {example}")
        return self._followed(model, values, key)

    def _unknown(self, name: str, entries: Mapping[str, Entry], key: Key) -> str:
        """Tell of a key not known here; the one that was probably meant, if any."""
        meant = difflib.get_close_matches(name, entries, n=1)
        hint = f'did you mean "{meant[0]}"? ' if meant else _home(name)
        known = f"known in {_header(key)}" if key else "known at the top"
        remedy = f"{hint}the keys {known} are {', '.join(entries)}"
        self.complain((*key, name), "is not a key known here", remedy)
        return meant[0] if meant else ""

    def _value(self, entry: Entry, raw: object, key: Key, loc: Loc) -> object:
        if entry.model and entry.many:
            return self._tables(entry.model, raw, key, loc)
        if entry.model:
            if not isinstance(raw, Mapping):
                remedy = f"write {_header(key)} on a line of its own, its keys below"
                raise UnitError("is not a single table", remedy)
            return self.values(entry.model, raw, key, loc)
        if entry.name in ("cable_run", "towed"):
            return self._cable_runs(raw, key) if entry.name == "cable_run" else _towed_points(raw)
        if entry.kind == "money":
            return cents_of(raw)
        if entry.kind is not None:
            value = _measured(raw, entry.name, entry.kind)
            if entry.kind != "speed" or entry.name in BOAT_SPEEDS:
                self.typed.update((entry.kind, symbol(unit)) for unit in spelled_units(str(raw)))
            return _above_0_m(value) if entry is DISTANCE else value
        return raw

    def _tables(self, model: type[BaseModel], raw: object, key: Key, loc: Loc) -> object:
        if isinstance(raw, list) and all(isinstance(row, Mapping) for row in raw):
            return [
                self.values(model, row, (*key, index), (*loc, index))
                for index, row in enumerate(raw)
            ]
        raise UnitError(
            "is not a list of tables",
            f"write {_header(key, many=True)} on a line of its own above each, with two brackets",
        )

    def _cable_runs(self, raw: object, key: Key) -> dict[tuple[str, str], float]:
        if not isinstance(raw, Mapping):
            raise UnitError("is not a table", 'write [craft.cable_run] and "hold/stern" = "2.1 m"')
        runs: dict[tuple[str, str], float] = {}
        for pair, length in raw.items():
            compartment, _, mount = pair.partition("/")
            try:
                run_m = _measured(length, f'"{pair}"', "length")
                runs[(compartment, mount)] = _above_0_m(run_m)
            except UnitError as error:
                self.complain((*key, pair), error.what, error.remedy)
        return runs

    def _followed(self, model: type[BaseModel], values: dict[str, Any], key: Key) -> dict[str, Any]:
        """The values with those that follow from others."""
        if model is Craft:
            shape = HULL_SHAPES.get(str(values.get("shape")))
            follow = shape._asdict() if shape else {"drag_factor": DRAG_FACTOR}
            if "towed" in values:
                follow["drag_factor"] = 1.0
            values = {**follow, **values}
            ends = values.get("fineness")
            # What is no fineness is told at its own key, and not a second time at the waterplane's.
            known = type(ends) is int and 2 <= ends <= 8
            return {"waterplane_fineness": ends if known else 2, **values}
        if model is Leg and values.get("motor") == "off":
            return {"speed_m_s": 0.0, **values}
        if model is Leg and "distance_m" in values:
            distance_m, speed_m_s = values.pop("distance_m"), values.get("speed_m_s")
            if speed_m_s == 0:
                self.complain(
                    (*key, "speed"),
                    "is 0, so the distance is never covered",
                    "write a speed, or hours in place of distance to hold station",
                )
            elif speed_m_s is not None and "duration_h" not in values:
                # A speed below 0 is told at its own key, and not a second time at the hours.
                values["duration_h"] = distance_m / abs(speed_m_s) / 3600
                try:
                    to_si(values["duration_h"], "h", "duration")
                except UnitError as error:
                    self.complain((*key, "distance"), f"at that speed {error.what}", error.remedy)
                values["by_distance"] = True
        return values


@cache
def entries_of(model: type[BaseModel]) -> Mapping[str, Entry]:
    found: dict[str, Entry] = {}
    for name, info in model.model_fields.items():
        if (model, name) not in UNWRITTEN:
            mark = written(name, info)
            inner, many = _model_in(info.annotation), get_origin(info.annotation) is tuple
            required = info.is_required() and not any(
                isinstance(each, Follows) for each in info.metadata
            )
            found[mark.name] = Entry(model, mark.name, name, mark.kind, inner, many, required)
    if model is Leg:
        found["distance"] = DISTANCE
    return found


def _model_in(annotation: object) -> type[BaseModel] | None:
    """The model in ``Model``, ``Model | None`` or ``tuple[Model, ...]``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next(filter(None, map(_model_in, get_args(annotation))), None)


def _header(key: Key, many: bool = False) -> str:
    """The line that begins a table: [limits] or [[leg]]."""
    name = ".".join(str(part) for part in key if isinstance(part, str))
    many = many or isinstance(key[-1], int)
    return f"[[{name}]]" if many else f"[{name}]"


def _home(name: str) -> str:
    """A hint where a key stands in the wrong table."""
    top = entries_of(Outing)
    if name in top:
        return "it belongs above the first line in brackets; " if not top[name].model else ""
    homes = [
        _header((entry.name,), entry.many)
        for entry in top.values()
        if entry.model and name in entries_of(entry.model)
    ]
    return f"it belongs below {' or '.join(homes)}; " if homes else ""


def cents_of(raw: object) -> int:
    if isinstance(raw, bool) or not isinstance(raw, int | float | str):
        raise UnitError("is not an amount of money", 'write 1200 or "1,200.00"')
    cents = money_cents(raw if isinstance(raw, str) else str(raw))
    if cents != round(cents):
        raise UnitError("has more than two decimals", 'write 1200 or "1,200.00"')
    return round(cents)


def _measured(raw: object, name: str, kind: Kind) -> float:
    """The quantity in a quoted string; a share may be a plain number, and 0 needs no unit."""
    if isinstance(raw, str):
        return quantity(raw, kind)
    remedy = f"write it in quotes with its unit: {name} = {EXAMPLES[kind]}"
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        raise UnitError("is not a quantity", remedy)
    if kind == "share" or (raw == 0 and kind != "temperature"):
        return number(str(raw))
    raise UnitError("has no unit", remedy)


def _towed_points(raw: object) -> list[tuple[float, float]]:
    remedy = 'write pairs of speed and pull: towed = [["2 kn", "20 N"], ["3 kn", "45 N"]]'
    if not isinstance(raw, list) or not raw:
        raise UnitError("is not a list of speeds and pulls", remedy)
    points = []
    for pair in raw:
        told = json.dumps(pair, ensure_ascii=False, default=str)
        if not isinstance(pair, list) or len(pair) != len(("speed", "pull")):
            raise UnitError(f"holds {told}, which is not one speed and one pull", remedy)
        try:
            points.append((_measured(pair[0], "", "speed"), _measured(pair[1], "", "force")))
        except UnitError as error:
            raise UnitError(f"holds {told}: {error.what}", remedy) from None
    return points


def _above_0_m(length_m: float) -> float:
    if length_m > 0:
        return length_m
    raise UnitError("is not above 0 m", f"write a length such as {EXAMPLES['length']}")
