"""How the fields of a model are written in a user's file, and pydantic's complaints in plain words.
A field's name ends in its unit, so the name a user writes and the kind of quantity follow from it:
``waterline_length_m`` is written ``waterline_length`` and is a length. ``Written`` says
otherwise."""

import ast
import inspect
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Annotated, Any, Literal, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from keelwatt.units import EXAMPLES, FACTORS, Kind, UnitError, did_you_mean
from keelwatt.units.writing import written_quantity

Measure = Kind | Literal["money"] | None

SUFFIXES: Mapping[str, Measure] = {
    "_kg_m": "mass_per_length", "_n_m": "moment", "_m_s": "speed", "_m2": "area", "_kg": "mass",
    "_ah": "capacity", "_rad": "angle", "_years": "years", "_cents": "money", "_h": "duration",
    "_c": "temperature", "_m": "length", "_n": "force", "_a": "current", "_v": "voltage",
    "_w": "power",
}  # fmt: skip


@dataclass(frozen=True)
class Written:
    """The name and the kind of quantity in the user's file; ``unit`` is the catalog's own."""

    name: str = ""
    kind: Measure = None
    unit: str = ""


@dataclass(frozen=True)
class Follows:
    """A field the file may leave out because it follows from others, in words; the source."""

    words: str
    source: str = ""


Share = Annotated[float, Written(kind="share")]


class Frozen(BaseModel):
    """A model whose values are final. The text below a field is its comment wherever users read.
    Its first line goes beside the key in a file made here; the reference holds all of it."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


def meaning(model: type[BaseModel], field: str) -> str:
    """The text below a field, read from the source when first asked for: no start waits for it."""
    texts = (_texts(each) for each in model.__mro__ if issubclass(each, Frozen))
    return next((said[field] for said in texts if field in said), "")


@cache
def _texts(model: type[BaseModel]) -> Mapping[str, str]:
    """The texts below the fields that stand in the model itself."""
    body = next(
        each.body
        for each in _module(model.__module__).body
        if isinstance(each, ast.ClassDef) and each.name == model.__name__
    )
    return {
        named.target.id: inspect.cleandoc(str(said.value.value))
        for named, said in pairwise(body)
        if isinstance(named, ast.AnnAssign) and isinstance(named.target, ast.Name)
        if isinstance(said, ast.Expr) and isinstance(said.value, ast.Constant)
    }


@cache
def _module(name: str) -> ast.Module:
    return ast.parse(inspect.getsource(sys.modules[name]))


def assumed(default: object, words: str = "", source: str = "", *, unsure: bool = False) -> Any:
    """The default of a field: a value, or what makes one of the row so far.
    ``words`` say it where the value itself would not; ``source`` is where it comes from.
    ``unsure``: what is made may be wrong and is held against the field's bounds."""
    extra: dict[str, Any] = {"words": words, "source": source}
    if not callable(default):
        return Field(default=default, json_schema_extra=extra)
    if unsure:
        return Field(default_factory=default, json_schema_extra=extra, validate_default=True)
    return Field(default_factory=default, json_schema_extra=extra)


def slug(text: str) -> str:
    """lowercase-with-dashes.

    >>> slug('Motor 55 lb, 36" shaft')
    'motor-55-lb-36-shaft'
    """
    return re.sub("[^a-z0-9]+", "-", text.lower()).strip("-")


def default_words(info: FieldInfo, kind: Measure, unit: str = "") -> str:
    """What is taken where the file is silent; nothing where it may not be."""
    if words := extra(info, "words"):
        return words
    value = info.default
    if info.is_required() or isinstance(value, BaseModel):
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return shown(value, kind, unit)
    return str(value or "none")


def extra(info: FieldInfo, what: str) -> str:
    follows = next((mark for mark in info.metadata if isinstance(mark, Follows)), None)
    if follows:
        return str(getattr(follows, what))
    found = info.json_schema_extra
    return str(found.get(what, "")) if isinstance(found, dict) else ""


def written(field: str, info: FieldInfo) -> Written:
    """How ``field`` is written.

    >>> written("hull_mass_kg", FieldInfo())
    Written(name='hull_mass', kind='mass', unit='')
    """
    given = next((mark for mark in info.metadata if isinstance(mark, Written)), Written())
    suffix = next((suffix for suffix in SUFFIXES if field.endswith(suffix)), "")
    kind = given.kind or (SUFFIXES[suffix] if suffix else None)
    return Written(given.name or field.removesuffix(suffix), kind, given.unit)


UNLIKE = "compare it with the file that `keelwatt start` writes"

_COMPLAINTS: Mapping[str, tuple[str, str]] = {
    "greater_than": ("is not above {bound}", "write a value above {bound}"),
    "greater_than_equal": ("is below {bound}", "write {bound} or more"),
    "less_than": ("is not below {bound}", "write a value below {bound}"),
    "less_than_equal": ("is above {bound}", "write {bound} or less"),
    "literal_error": ("is not one of the words known here", "{hint}write {words}"),
    "string_pattern_mismatch": ("is not lowercase-with-dashes", 'write it as "{slug}"'),
    "string_type": ("is not text", "put it in quotes"),
    "string_too_short": ("is empty", "write something"),
    "int_type": ("is not a whole number", "write a whole number without quotes, such as 2"),
    "float_type": ("is not a number", "write a number without quotes, such as 1.3"),
    "finite_number": ("is not a number", "write the number itself"),
    "tuple_type": ("is not a list", 'write it in square brackets: ["first", "second"]'),
    "mapping_type": ("is not a table", UNLIKE),
    "dict_type": ("is not a table", UNLIKE),
    "too_short": ("has nothing in it", "add at least one"),
}


def complaints(error: ValidationError) -> Iterator[ErrorDetails]:
    """The errors worth telling: what is missing was told by its reader, and a list is not short
    because something in it failed."""
    for wrong in error.errors():
        echo = wrong["type"] == "too_short" and wrong["input"]
        if wrong["type"] not in ("missing", "default_factory_not_called") and not echo:
            yield wrong


def plain(
    error: str, context: Mapping[str, Any], value: object, kind: Measure, units: Sequence[str] = ()
) -> tuple[str, str]:
    """What is wrong and what to do, for a pydantic error about a value of that kind.
    ``units``: those the value was typed in, for its bounds."""
    if isinstance(context.get("error"), UnitError):
        return context["error"].what, context["error"].remedy
    bounds = [(context[key], key[0] == "g") for key in ("gt", "ge", "lt", "le") if key in context]
    words = str(context.get("expected", "")).replace("'", '"')
    facts = {
        "bound": _bound(*bounds[0], kind, units) if bounds else "",
        "words": words,
        "hint": did_you_mean(str(value), re.findall('"(.*?)"', words)),
        "slug": slug(str(value)) or "part-1",
    }
    what, remedy = _COMPLAINTS.get(error, ("is not what belongs here", UNLIKE))
    such_as = f", such as {EXAMPLES['share']}" if kind == "share" and bounds else ""
    return what.format(**facts), remedy.format(**facts) + such_as


def _bound(value: float, least: bool, kind: Measure, units: Sequence[str]) -> str:
    """In the units typed, rounded to where it still holds."""
    if not units or kind is None or kind == "money" or value == 0:
        return shown(value, kind)
    return written_quantity(value, kind, units, step=abs(value) / 200, up=least)


def shown(value: float, kind: Measure, unit: str = "") -> str:
    """A bound or a default as a user would write it."""
    if kind is None or value == 0:
        return f"{value:g}"
    if kind == "money":
        return f"{value / 100:g}"
    unit = unit or {"share": "%", "angle": "deg"}.get(kind) or next(iter(FACTORS[kind]))
    return f"{value / FACTORS[kind][unit]:g} {unit}"


def words_of(annotation: object) -> tuple[str, ...]:
    """The words a field knows, if it takes no others.

    >>> words_of(Literal["yes", "no"] | None)
    ('yes', 'no')
    """
    if get_origin(annotation) is Literal:
        return get_args(annotation)
    return tuple(word for inner in get_args(annotation) for word in words_of(inner))
