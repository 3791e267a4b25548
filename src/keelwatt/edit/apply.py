"""A way out written into the outing: settings rounded to the safe side, tried before they stand."""

import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import ceil, isinf, radians
from typing import TypeVar

from keelwatt.edit.edit import LENGTHS, Data, Edited, edited, lengths
from keelwatt.edit.rewrite import difference
from keelwatt.edit.settings import GIVEN_UP
from keelwatt.errors import InputError, InternalError
from keelwatt.explain.advise import Advice, advise
from keelwatt.explain.ways import Change, WayOut
from keelwatt.files.outing import Outing
from keelwatt.limits import LIMITS
from keelwatt.units import Kind, quantity
from keelwatt.units.writing import spelled_units, written_quantity

STEPS: dict[Kind, float] = {
    "mass": 0.1, "speed": 0.01 / 3.6, "duration": 1 / 60, "angle": radians(0.01), "length": 10.0,
}  # fmt: skip
"""What amounts are rounded to: 0.1 kg, 0.01 km/h, a minute, 0.01 deg, 10 m."""

LEAST_STEPS = 10
"""A step is divided by ten until a value is this many of them."""

WHOLE_MONEY_CENTS = 100_00
"""From here on money goes up to a whole unit, below to a whole cent."""

SHORTER = 0.002
"""Of the day's length, taken off for every step further: a slower stepped motor draws more."""

TRIES = [(fineness, further) for further in (0, 1, 2, 4, 8) for fineness in (1.0, 0.1, 0.01)]
"""Finer steps, then further ones, where the rounding itself undoes what the way out promised."""

Kept = TypeVar("Kept")


@dataclass(frozen=True)
class Applied:
    """The way out, the text with it, and the advice on that text: a kit."""

    way: WayOut
    before: str
    edited: Edited
    advice: Advice

    @property
    def difference(self) -> str:
        return difference(self.before, self.edited.text, self.advice.outing.file)


def apply_way(text: str, advice: Advice, number: int) -> Applied:
    """Way out ``number``, from 1, of an impossible outing, in the outing's text.
    InputError: if there is no such way out, or the outing needs none. InternalError: if no kit
    keeps the new limits."""
    ways = advice.ways_out
    if advice.status == "unproved":
        raise _refused(number, "time ran out before the ways out were known", "give more --seconds")
    if advice.status != "impossible":
        raise _refused(number, "there is nothing to apply: the outing is not impossible")
    if not 1 <= number <= len(ways):
        those = f"choose from 1 to {len(ways)}" if ways else "there is none"
        raise _refused(number, "is not the number of a way out", f"{those}; see keelwatt pick")

    def kit_of(outing: Outing) -> Advice | None:
        fresh = advise(outing, advice.catalog, by=advice.by, solver=advice.solver)
        return fresh if fresh.status == "best" else None

    way = ways[number - 1]
    return Applied(way, text, *first_that_works(text, advice.outing.file, way, kit_of))


def _refused(number: int, what: str, remedy: str = "run pick without --apply") -> InputError:
    return InputError.at("--apply", what, remedy, value=str(number))


def first_that_works(
    text: str, file: str, way: WayOut, works: Callable[[Outing], Kept | None]
) -> tuple[Edited, Kept]:
    """The text with the way out in the roundest amounts for which ``works`` finds something."""
    for fineness, further in TRIES:
        made = edited(text, file, settings(way, text, fineness=fineness, further=further))
        kept = works(made.outing)
        if kept is not None:
            return made, kept
    raise InternalError(f"a way out does not work when applied: {way}")


def settings(way: WayOut, text: str, *, fineness: float = 1.0, further: int = 0) -> tuple[str, ...]:
    rounding = _Rounding(tomllib.loads(text.replace("\r\n", "\n")), fineness, further)
    slower = {name: speed for change in way.changes for name, speed in change.legs}
    speeds = {
        number: rounding.down(slower[leg["name"]], "speed", leg["speed"])
        for number, leg in enumerate(rounding.data["leg"])
        if leg["name"] in slower
    }
    found = [f"leg.{number + 1}.speed={speed}" for number, speed in speeds.items()]
    for change in way.changes:
        if change.limit == "hours":
            late = {
                number: quantity(speed, "speed") / slower[rounding.data["leg"][number]["name"]]
                for number, speed in speeds.items()
            }
            share = min(1.0, change.to / change.asked) * (1.0 - SHORTER * further)
            found += rounding.shorter(share, late)
        elif change.limit != "leg_speed":
            found.append(rounding.limit(change))
    return tuple(found)


@dataclass(frozen=True)
class _Rounding:
    """Writes amounts in the file's units, rounded to its steps."""

    data: Data
    fineness: float
    further: int

    def down(self, value: float, kind: Kind, like: object) -> str:
        return self._rounded(value, kind, like, up=False)

    def _rounded(self, value: float, kind: Kind, like: object, *, up: bool) -> str:
        step = STEPS[kind] * self.fineness
        while value < LEAST_STEPS * step:
            step /= 10
        units = spelled_units(str(like or ""))
        further = 0 if kind in LENGTHS.values() else self.further
        return written_quantity(value, kind, units, step=step, up=up, further=further)

    def shorter(self, share: float, late: dict[int, float]) -> Iterator[str]:
        """Every leg and device with this share of its length. ``late``: what rounding leaves of a
        leg's speed, by its number; a distance shrinks as much, so that the leg takes no longer."""
        for (table, number, key), kind, text in lengths(self.data):
            slack = late.get(number, 1.0) if (table, key) == ("leg", "distance") else 1.0
            value = quantity(text, kind) * share * slack
            yield f"{table}.{number + 1}.{key}={self.down(value, kind, text)}"

    def limit(self, change: Change) -> str:
        key = LIMITS[change.limit].key
        return f"limits.{key}={self._amount(change, self.data.get('limits', {}).get(key))}"

    def _amount(self, change: Change, like: object) -> str:
        if isinf(change.to):
            return GIVEN_UP
        declared = LIMITS[change.limit]
        kind = declared.quantity
        if kind == "money":
            cents = ceil(change.to * 100 - 1e-6)
            whole = cents >= WHOLE_MONEY_CENTS or cents % 100 == 0
            return str(ceil(cents / 100)) if whole else f"{cents / 100:.2f}"
        value = radians(change.to) if kind == "angle" else change.to
        text = self._rounded(value, kind, like, up=not declared.grows)
        loosest = declared.loosest_si
        if loosest is None or quantity(text, kind) <= loosest:
            return text
        return f"{declared.loosest:g} {declared.unit}"
