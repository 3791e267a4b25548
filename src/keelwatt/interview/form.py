"""A form to click: the outing typed and dragged in a browser without a network, and saved there."""

import json
from collections.abc import Iterator, Mapping, Sequence
from importlib.resources import files
from typing import Any, get_origin

from pydantic import BaseModel

from keelwatt.files.fields import words_of
from keelwatt.files.outing import Outing
from keelwatt.files.outing.comments import table_at
from keelwatt.files.outing.convert import Entry, entries_of
from keelwatt.interview.answers import Table
from keelwatt.interview.script import interview
from keelwatt.interview.usual import USUAL
from keelwatt.physics.shapes import HULL_SHAPES
from keelwatt.units import EXAMPLES, FACTORS, SPELLINGS

TITLES: Mapping[str, str] = {
    "": "The outing",
    "craft": "The boat",
    "craft.compartment": "Where a battery may stand",
    "craft.mount": "Where a motor may hang",
    "aboard": "Who and what is aboard",
    "leg": "The day, leg by leg",
    "device": "Anything else that draws on the battery",
    "limits": "What the kit must keep to",
    "water": "The water",
    "policy": "How cautiously to plan",
    "wish": "What makes one kit better than another",
    "parts": "Parts of the catalog",
}
"""The tables of an outing that the form asks for, in its order."""

PLACE = ("x", "y", "z")
"""Keys that come last, behind a name."""

LEFT_TO_THE_FILE = ("cable_run", "own_pieces", "towed")
"""Keys that are tables of the user's own, or lists of lists."""


def form_page(system: str = "metric") -> str:
    """One HTML file; ``system``: the units offered first, metric or us."""
    text = (files("keelwatt.interview") / "form.html").read_text(encoding="utf-8")
    data = json.dumps(_data() | {"system": system}).replace("<", "\\u003c")
    return text.replace("__DATA__", data)


def _data() -> dict[str, Any]:
    """The models' keys, the interview's offers, the table of units, the hulls' outlines."""
    return {
        "tables": list(map(_table, TITLES)),
        "offers": {
            units: {shape: _offers(units, shape) for shape in USUAL} for units in ("metric", "us")
        },
        "factors": FACTORS,
        "spellings": SPELLINGS,
        "outline": {name: shape.waterplane_fineness for name, shape in HULL_SHAPES.items()},
    }


def _table(path: str) -> dict[str, Any]:
    entry = table_at(path) if path else None
    keys = _keys(entry.model if entry and entry.model else Outing)
    many = entry is not None and entry.many
    return {"path": path, "title": TITLES[path], "many": many, "keys": list(keys)}


def _keys(model: type[BaseModel]) -> Iterator[dict[str, Any]]:
    for entry in sorted(entries_of(model).values(), key=lambda entry: entry.name in PLACE):
        if entry.model is None and entry.name not in LEFT_TO_THE_FILE:
            kind = entry.kind or _bare(entry)
            words = () if kind in ("bool", "list") else words_of(entry.info.annotation)
            example = EXAMPLES[entry.kind] if entry.kind and entry.kind != "money" else ""
            yield {
                "name": entry.name,
                "kind": kind,
                "words": list(words),
                "says": entry.meaning.split("\n")[0],
                "example": example,
                "needed": entry.required,
            }


def _bare(entry: Entry) -> str:
    """How a value without a unit is written: number, bool, list or text."""
    annotation = entry.info.annotation
    if get_origin(annotation) is tuple:
        return "list"
    if "bool" in str(annotation):
        return "bool"
    return "number" if annotation in (int, float) or "float" in str(annotation) else "text"


def _offers(units: str, shape: str) -> dict[str, Sequence[Table]]:
    """What the interview offers for such a craft, table by table."""

    def ask(words: str, _: str) -> str:
        first = {"Which units": units, "What kind of craft": shape}
        return next((answer for asked, answer in first.items() if words.startswith(asked)), "")

    found = interview(ask, lambda _: None)
    top = {"title": found.title, "currency": found.currency}
    return {"": [top], "policy": [{}], "parts": [{}], **found.tables()}
