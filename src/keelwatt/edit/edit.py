"""An outing's text with settings made in it, read again by all the rules of reading."""

import copy
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from keelwatt.edit.document import Raw, put, rewritten
from keelwatt.edit.keys import WHOLE_DAY, Target, UnknownKeyError, target, told
from keelwatt.edit.settings import GIVEN_UP, Setting
from keelwatt.errors import InputError, Problem
from keelwatt.files.outing import Outing, outing_from_text
from keelwatt.files.outing.toml_lines import Key, dotted
from keelwatt.units import Kind, UnitError, quantity
from keelwatt.units.writing import spelled_units, written_quantity

SETTING = "--set"
"""Where problems of a setting are said to be."""

Data = dict[str, Any]
Values = dict[Key, Raw | None]

LENGTHS: Mapping[str, Kind] = {"hours": "duration", "distance": "length"}
"""How long a leg or a device's time is."""

OTHER_LENGTH = {"hours": "distance", "distance": "hours"}
"""A leg has one of the two."""


@dataclass(frozen=True)
class Edit:
    """One key of the file; None where it is not there."""

    key: str
    old: str | None
    new: str | None


@dataclass(frozen=True)
class Edited:
    """The new text, the outing it holds, and what is different in it."""

    text: str
    outing: Outing
    edits: tuple[Edit, ...]


def edited(text: str, file: str, settings: Iterable[str]) -> Edited:
    """The outing's text with settings such as ``hours=+2h`` or ``leg.home.speed=-10%`` made in it.
    They are made one after the other. A value with a sign changes what is there, by an amount or,
    with %, by a share of it; a share such as the reserve changes by percentage points. ``hours``
    stretches every leg and every device's hours alike; ``speed`` is that of every leg but those
    that hold station, and keeps a leg's distance where the file gives it. ``none`` gives a wish up.
    InputError: with every problem of the text, or else of the settings."""
    outing_from_text(text, file)
    before: Data = tomllib.loads(text.replace("\r\n", "\n"))
    after = copy.deepcopy(before)
    values: Values = {}
    causes: dict[Key, Setting] = {}
    problems: list[Problem] = []
    for words in settings:
        try:
            setting = Setting.read(words)
            made = _values(setting, after)
            same = [setting, *(causes[path] for path in made if path in causes)]
            if len(same) > 1 and all(each.key.lower() not in WHOLE_DAY for each in same):
                raise UnitError("is set twice", "keep one of the two settings")
        except UnitError as error:
            problems.append(_problem(words, error))
            continue
        for path, value in made.items():
            put(after, path, value)
            causes[path] = setting
        values |= made
    if problems:
        raise InputError(problems)
    changed = {path: value for path, value in values.items() if _at(before, path) != value}
    result = rewritten(text, changed)
    try:
        outing = outing_from_text(result, file)
    except InputError as error:
        raise InputError(_blamed(error.problems, causes)) from None
    edits = (
        Edit(told(path, after), _shown(_at(before, path)), _shown(value))
        for path, value in changed.items()
    )
    return Edited(result, outing, tuple(edits))


def _blamed(problems: Iterable[Problem], causes: Mapping[Key, Setting]) -> Iterator[Problem]:
    """Problems of the new text, told of the setting that made them where there is one."""
    by_key = {f"{dotted(path)}.": setting for path, setting in causes.items()}
    for problem in problems:
        cause = next((by_key[key] for key in by_key if f"{problem.key}.".startswith(key)), None)
        key, value = (cause.key, cause.value) if cause else (problem.key, problem.value)
        yield replace(problem, file=SETTING, row=None, key=key, value=value)


def _problem(words: str, error: UnitError) -> Problem:
    key, _, value = words.partition("=")
    given = None if isinstance(error, UnknownKeyError) else value.lstrip("=")
    what, remedy = error.what, error.remedy
    return Problem(file=SETTING, key=key.rstrip("+-"), value=given, what=what, remedy=remedy)


def _values(setting: Setting, data: Data) -> Values:
    name = setting.key.lower()
    if name == "hours":
        return _whole_day(setting, data)
    if name == "speed":
        return _every_speed(setting, data)
    found = target(setting.key, data)
    old = _at(data, found.path)
    other = _other_length(found.path, data)
    if other and old is None and setting.changes:
        what = f"is not given: this leg gives its {other[-1]}"
        remedy = f"change that: {told(other, data)}=+10%"
        raise UnitError(what, remedy)
    values: Values = {found.path: setting.on(found, old)}
    if other:
        values[other] = None
    if found.path == ("parts", "own"):
        own = values[found.path]
        kept = own if isinstance(own, list) else []
        for id_ in _at(data, ("parts", "own_pieces")) or {}:
            if id_ not in kept:
                values["parts", "own_pieces", id_] = None
    return values


def _other_length(path: Key, data: Data) -> Key | None:
    """The distance that a leg's hours put out, or the other way round."""
    match path:
        case ("leg", int(number), "hours" | "distance" as length):
            other = OTHER_LENGTH[length]
            return ("leg", number, other) if other in data["leg"][number] else None
    return None


def _at(data: Any, path: Key) -> Any:
    for part in path:
        if isinstance(data, Mapping):
            data = data.get(str(part))
        elif isinstance(data, list) and isinstance(part, int):
            data = data[part]
        else:
            return None
    return data


def _shown(value: Any) -> str | None:
    if value is None:
        return None
    return ", ".join(map(str, value)) or GIVEN_UP if isinstance(value, list) else str(value)


def lengths(data: Data) -> Iterator[tuple[tuple[str, int, str], Kind, str]]:
    """Path, kind and text of every duration and distance of the day, legs first."""
    for table in ("leg", "device"):
        for number, row in enumerate(data.get(table, ())):
            for key, kind in LENGTHS.items():
                if key in row:
                    yield (table, number, key), kind, str(row[key])


def day_h(data: Data) -> float:
    def leg_h(leg: Mapping[str, Any]) -> float:
        if "hours" in leg:
            return quantity(str(leg["hours"]), "duration")
        distance_m = quantity(str(leg["distance"]), "length")
        return distance_m / quantity(str(leg["speed"]), "speed") / 3600

    return sum(map(leg_h, data["leg"]))


def _whole_day(setting: Setting, data: Data) -> Values:
    total_h = day_h(data)
    stretch = setting.worth("duration", total_h) / total_h
    if stretch <= 0:
        raise UnitError("leaves no time on the water", "write a day above 0 h")
    return {
        path: written_quantity(quantity(text, kind) * stretch, kind, spelled_units(text))
        for path, kind, text in lengths(data)
    }


def _every_speed(setting: Setting, data: Data) -> Values:
    values: Values = {}
    for number, leg in enumerate(data["leg"]):
        if quantity(str(leg["speed"]), "speed") > 0:
            path: Key = ("leg", number, "speed")
            speed = setting.on(Target(path, "speed", optional=False), leg["speed"])
            if quantity(str(speed), "speed") <= 0:
                raise UnitError(f"leaves leg {leg['name']} no speed", "write a speed above 0")
            values[path] = speed
    if not values:
        raise UnitError("finds no leg that moves", "set the speed of one: leg.1.speed=3 km/h")
    return values
