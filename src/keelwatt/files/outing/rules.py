"""What the keys of an outing owe one another. Works on the file's own words, whatever they hold."""

from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any

from keelwatt.files.outing.craft import CONTROL
from keelwatt.files.outing.toml_lines import Key
from keelwatt.units import did_you_mean

MOST = {"leg": 500, "device": 100, "aboard": 200, "compartment": 20, "mount": 20}
"""How many of each an outing may have: what is worked out grows with them."""

Table = Mapping[str, Any]
Broken = tuple[Key, str, str]


def broken_rules(table: Table) -> Iterator[Broken]:
    """The key, what is wrong and what to do, of every rule broken."""
    craft = _table(table, "craft")
    for parent, key in (((), "aboard"), ((), "leg"), ((), "device")):
        yield from _repeated_names(table, parent, key)
        yield from _too_many(table, parent, key)
    for key in ("compartment", "mount"):
        yield from _repeated_names(craft, ("craft",), key)
        yield from _too_many(craft, ("craft",), key)
    yield from _shape(craft)
    yield from _drag(craft)
    yield from _openings(craft)
    yield from _cable_runs(craft)
    yield from _legs(table)
    yield from _parts(_table(table, "parts"))


def _table(table: Table, key: str) -> Table:
    inner = table.get(key)
    return inner if isinstance(inner, Mapping) else {}


def _rows(table: Table, key: str) -> list[tuple[int, Table]]:
    rows = table.get(key)
    if not isinstance(rows, list):
        return []
    return [(index, row) for index, row in enumerate(rows) if isinstance(row, Mapping)]


def _names(table: Table, key: str) -> list[str]:
    return [row["name"] for _, row in _rows(table, key) if isinstance(row.get("name"), str)]


def _words(table: Table, key: str) -> list[str]:
    words = table.get(key)
    return [word for word in words if isinstance(word, str)] if isinstance(words, list) else []


def _repeated_names(table: Table, parent: Key, key: str) -> Iterator[Broken]:
    seen: set[str] = set()
    for index, row in _rows(table, key):
        name = row.get("name")
        if isinstance(name, str) and name in seen:
            at = (*parent, key, index, "name")
            yield at, f"is the name of an earlier {key}", "give it another name"
        seen.add(str(name))


def _too_many(table: Table, parent: Key, key: str) -> Iterator[Broken]:
    rows = table.get(key)
    if isinstance(rows, list) and len(rows) > MOST[key]:
        at = (*parent, key, MOST[key], "name")
        yield at, f"is one {key} too many: {MOST[key]} are taken", f"join some of the {len(rows)}"


def _shape(craft: Table) -> Iterator[Broken]:
    exponents = [key for key in ("fineness", "fullness") if key in craft]
    if "shape" in craft and exponents:
        what = "is given along with a shape"
        remedy = f"leave out shape, or {' and '.join(exponents)}: a shape sets both exponents"
        yield ("craft", exponents[0]), what, remedy
    finest, full = craft.get("fineness"), craft.get("waterplane")
    if isinstance(finest, int) and isinstance(full, int) and full < finest:
        what = "is below the fineness of the ends under water"
        remedy = "write as much as fineness, or more"
        yield ("craft", "waterplane"), what, remedy
    elif craft and "shape" not in craft and len(exponents) < 2:
        key = {"fineness": "fullness", "fullness": "fineness"}.get("".join(exponents), "shape")
        yield (
            ("craft", key),
            "is missing",
            'add shape = "canoe" (or slender, sit-on-top, flat-bottomed), '
            "or both fineness and fullness",
        )


def _drag(craft: Table) -> Iterator[Broken]:
    for key in ("drag_factor_error", "drag_factor_motor"):
        if key in craft and "drag_factor" not in craft:
            what = "is given without the drag_factor it belongs to"
            remedy = "add the measured drag_factor, or leave it out"
            yield ("craft", key), what, remedy
    if "towed" in craft and "drag_factor" in craft:
        what = "is given along with towed, which already holds all the hull's drag"
        remedy = "leave out drag_factor, or towed"
        yield ("craft", "drag_factor"), what, remedy
    if "towed_displacement" in craft and "towed" not in craft:
        what = "is given without towed"
        remedy = 'add towed = [["2 kn", "20 N"]], or leave it out'
        yield ("craft", "towed_displacement"), what, remedy


def _openings(craft: Table) -> Iterator[Broken]:
    for index, row in _rows(craft, "compartment"):
        given = [key for key in ("opening_length", "opening_width") if key in row]
        if len(given) == 1:
            other = "opening_width" if given == ["opening_length"] else "opening_length"
            what = "is missing"
            remedy = f"add {other}, or leave out {given[0]}: an opening has both"
            yield ("craft", "compartment", index, other), what, remedy


def _cable_runs(craft: Table) -> Iterator[Broken]:
    compartments, mounts = _names(craft, "compartment"), _names(craft, "mount")
    ends = product([*compartments, CONTROL], [*mounts, CONTROL])
    pairs = [f"{start}/{end}" for start, end in ends if not start == end == CONTROL]
    for pair in _table(craft, "cable_run"):
        if pair not in pairs and compartments and mounts:
            yield (
                ("craft", "cable_run", pair),
                "is no run between a compartment, the control and a mount of this craft",
                f"{did_you_mean(pair, pairs)}the runs are "
                + ", ".join(f'"{each}"' for each in pairs),
            )


def _legs(table: Table) -> Iterator[Broken]:
    for index, leg in _rows(table, "leg"):
        if "hours" in leg and "distance" in leg:
            what = "is given along with hours"
            remedy = "leave out one of the two: the speed gives it"
            yield ("leg", index, "distance"), what, remedy
        elif "hours" not in leg and "distance" not in leg:
            what = "is missing, and so is distance"
            remedy = 'add hours = "2 h 30 min" or distance = "6 mi"'
            yield ("leg", index, "hours"), what, remedy
        off = leg.get("motor") == "off"
        if off and "distance" in leg:
            what = "is given for a leg with the motor off"
            remedy = "write hours in its place: nobody knows how fast a boat drifts"
            yield ("leg", index, "distance"), what, remedy
        if not off and "speed" not in leg:
            what = "is missing"
            remedy = 'add speed = "3 mph", or motor = "off" where you drift or paddle'
            yield ("leg", index, "speed"), what, remedy


def _parts(parts: Table) -> Iterator[Broken]:
    refused, owned = _words(parts, "refuse"), _words(parts, "own")
    for index, word in enumerate(_words(parts, "require")):
        if word in refused:
            what = "is both required and refused"
            remedy = "leave it out of require or of refuse"
            yield ("parts", "require", index), what, remedy
    for word in _table(parts, "own_pieces"):
        if word not in owned:
            what = "is not among the parts owned"
            remedy = f'{did_you_mean(word, owned)}add it to own: own = ["{word}"]'
            yield ("parts", "own_pieces", word), what, remedy
