"""One answer: from the words typed to what goes into the file, and how it was understood."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from pydantic import BaseModel, ValidationError, create_model

from keelwatt.files.fields import Measure, plain, words_of
from keelwatt.files.outing.convert import cents_of, entries_of
from keelwatt.interview.answers import Marked
from keelwatt.units import Kind, UnitError, clean, kind_of, quantity
from keelwatt.units.writing import IN_US, count_of, spelled_units


@dataclass(frozen=True)
class Heard:
    """``text`` goes into the file, ``value`` is what it stands for, ``told`` how it is echoed."""

    text: str
    value: object
    told: str

    def marked(self, mark: str) -> "Heard":
        """The same, and how it came into the file."""
        return replace(self, text=Marked(self.text, mark))


def heard(model: type[BaseModel], key: str, typed: str, *, us: bool = False) -> Heard:
    """An answer for a key of the outing; ``us``: said back in units of the United States first.

    UnitError: what is wrong with it, and what to type instead.
    """
    entry = entries_of(model)[key]
    if entry.kind is None:
        word = typed.lower() if typed.lower() in words_of(entry.info.annotation) else typed
        checked(model, entry.field, word, None)
        return Heard(word, word, word)
    text = clean(typed)
    if entry.kind == "money":
        cents = cents_of(text)
        checked(model, entry.field, cents, entry.kind)
        return Heard(text, cents, f"{cents / 100:,.2f}")
    value = quantity(text, entry.kind)
    checked(model, entry.field, value, entry.kind, spelled_units(text))
    return Heard(text, value, understood(value, entry.kind, us=us))


def checked(
    model: type[BaseModel], field: str, value: object, kind: Measure, units: Sequence[str] = ()
) -> object:
    """The value as its field keeps it; UnitError where it breaks the field's bounds, told in the
    ``units`` it was typed in."""
    try:
        return vars(_alone(model, field)(answer=value))["answer"]
    except ValidationError as error:
        wrong = error.errors()[0]
        raise UnitError(*plain(wrong["type"], wrong.get("ctx", {}), value, kind, units)) from None


@cache
def _alone(model: type[BaseModel], field: str) -> type[BaseModel]:
    """A model of this field and no other."""
    info = model.model_fields[field]
    fields: Any = {"answer": (info.annotation, info)}
    made: type[BaseModel] = create_model("Alone", **fields)
    return made


def one_of(*known: str) -> Callable[[str], str]:
    """Reads one of a few words."""

    def read(typed: str) -> str:
        if typed.lower() in known:
            return typed.lower()
        raise UnitError("is not one of the words known here", f"write {' or '.join(known)}")

    return read


def understood(value: float, kind: Kind, *, us: bool = False) -> str:
    """A value in metric units and in those of the United States, one of them in brackets.

    >>> understood(4.572, "length"), understood(1.25, "duration")
    ('4.57 m (15 ft)', '1 h 15 min')
    >>> understood(4.572, "length", us=True)
    '15 ft (4.57 m)'
    """
    if kind == "duration":
        hours, minutes = divmod(round(value * 60), 60)
        return f"{hours} h {minutes:02d} min" if hours else f"{minutes} min"
    unit = _metric(value, kind)
    told = [_measured(value, each, kind) for each in (unit, IN_US.get(unit)) if each]
    first, *other = reversed(told) if us else told
    return first + "".join(f" ({each})" for each in other)


def round_length(length_m: float, *, us: bool, places: int = 0) -> str:
    """To the nearest inch or centimetre, or to a part of it.

    >>> round_length(0.0665, us=True), round_length(0.0665, us=False, places=1)
    ('3 in', '6.7 cm')
    """
    count, unit = (length_m / 0.0254, "in") if us else (100 * length_m, "cm")
    return f"{count:.{places}f} {unit}"


def kind_of_extent(typed: str) -> Kind:
    """Whether a leg is given by its distance or by its hours."""
    units = spelled_units(clean(typed))
    return "length" if units and kind_of(units[0]) == "length" else "duration"


def _metric(value: float, kind: Kind) -> str:
    if kind == "length":
        return "km" if abs(value) >= 1000 else "m" if abs(value) >= 1 else "cm"
    units = {
        "angle": "deg",
        "mass": "kg",
        "speed": "km/h",
        "temperature": "degC",
        "power": "W",
        "share": "%",
    }
    return units[kind]


def _measured(value: float, unit: str, kind: Kind) -> str:
    return f"{float(f'{count_of(value, unit, kind):.3g}'):g} {unit}"
