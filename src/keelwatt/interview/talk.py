"""Questions about the keys of an outing, and saying back what was understood."""

import math
import re
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from pydantic import BaseModel

from keelwatt.files.outing.comments import alternatives
from keelwatt.files.outing.convert import entries_of
from keelwatt.interview.answers import ASSUMED, OFFERED, Marked, Table
from keelwatt.interview.reading import Heard, heard, round_length, understood
from keelwatt.interview.session import Session
from keelwatt.units import EXAMPLES, UnitError, clean, kind_of, quantity
from keelwatt.units.writing import in_us_units, spelled_units

Read = TypeVar("Read")

NOTHING = "-"
"""Typed for "nothing", "no more", "no limit"."""

SMALL: Mapping[str, str] = {"length": "1 cm", "mass": "1 kg", "duration": "1 h", "speed": "1 km/h"}
"""What a bare number is like where nothing is offered."""

LONG = {"in": "inches", "h": "hours", "deg": "degrees"}
"""Units that read ill by their sign."""


@dataclass(frozen=True)
class Slope:
    """An angle as people see it: how far up or down at this distance, and where that is."""

    at_m: float
    where: str

    def seen(self, angle: str) -> float:
        """Metres."""
        return self.at_m * math.tan(quantity(angle, "angle"))

    def angle(self, typed: str) -> str:
        """Of what was typed, a length or an angle."""
        units = spelled_units(clean(typed))
        if not units or kind_of(units[0]) != "length":
            return typed
        return f"{math.degrees(math.atan(quantity(typed, 'length') / self.at_m)):.2f} deg"


_BARE = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+)?|(?:[0-9]+[ -])?[0-9]+/[0-9]+")


@dataclass(frozen=True)
class Talk:
    """``us``: offer answers in units used in the United States."""

    session: Session
    us: bool = False

    def say(self, words: str) -> None:
        self.session.tell(words)

    def until(self, words: str, offered: str, read: Callable[[str], Read], more: str = "") -> Read:
        return self.session.until(words, offered, read, more=more)

    def field(self, model: type[BaseModel], key: str, words: str, offered: str) -> Heard:
        """The answer for a key of the outing, echoed."""
        offer = self.offer(model, key, offered)
        answer = self.until(
            words,
            offer,
            lambda t: heard(model, key, with_unit(t, offer), us=self.us),
            _meaning(model, key),
        )
        self.say(f"= {answer.told}")
        return answer.marked(OFFERED) if self.session.entered else answer

    def optional(
        self,
        model: type[BaseModel],
        key: str,
        words: str,
        offered: str,
        slope: Slope | None = None,
    ) -> Heard | None:
        """As ``field``, None where there is to be none; an angle with a slope is asked as seen."""
        kind = entries_of(model)[key].kind
        offer = offered if offered == NOTHING else self.offer(model, key, offered)
        if slope:
            offer = round_length(slope.seen(offered), us=self.us, places=1)
        like = offer if offer != NOTHING else self.offer(model, key, SMALL.get(str(kind), "1"))

        def read(typed: str) -> Heard | None:
            if typed == NOTHING:
                return None
            typed = with_unit(typed, like)
            if slope is None:
                return heard(model, key, typed, us=self.us)
            found = heard(model, key, offered if typed == offer else slope.angle(typed))
            seen = understood(slope.seen(found.text), "length", us=self.us)
            return replace(found, told=f"{seen} {slope.where}, {found.text}")

        spelled = spelled_units(like)
        inside = f" In {LONG.get(spelled[-1], spelled[-1])}, or" if spelled else " Or"
        more = _meaning(model, key)
        answer = self.until(f"{words}{inside} {NOTHING} for none.", offer, read, more)
        self.say(f"= {answer.told if answer else 'none'}")
        return answer.marked(OFFERED) if answer and self.session.entered else answer

    def name(
        self,
        model: type[BaseModel],
        words: str,
        offered: str,
        *,
        known: Collection[str],
        needed: bool = False,
    ) -> str | None:
        """A name not given yet, or None for no more."""

        def read(typed: str) -> str | None:
            if typed == NOTHING:
                if needed:
                    raise UnitError("is no answer here", "there has to be one: type its name")
                return None
            name = heard(model, "name", typed).text
            if name in known:
                raise UnitError("has been named before", "give it another name")
            return name

        more = "." if needed else f", or {NOTHING} for no more."
        name = self.session.until(f"{words} A name{more}", offered, read, name=True)
        self.say(f"= {name or 'no more'}")
        return name

    def fields(self, model: type[BaseModel], *questions: tuple[str, str, str]) -> Table:
        """The answers to questions about keys of one table, each with what is offered."""
        return {
            key: self.field(model, key, words, offered).text for key, words, offered in questions
        }

    def named(
        self,
        model: type[BaseModel],
        known: list[Table],
        offers: Iterable[tuple[str, ...]],
        first: str,
        then: str,
        *,
        needed: bool = False,
    ) -> Iterator[tuple[str, tuple[str, ...]]]:
        """The name of each thing there is, and what is offered for it; the caller adds it."""
        words = first
        for offered, *rest in offers:
            names = [table["name"] for table in known]
            name = self.name(model, words, offered, known=names, needed=needed and not known)
            if name is None:
                return
            yield name, tuple(rest)
            words = then

    def assumed(self, model: type[BaseModel], key: str, usual: str) -> str:
        """What is not asked for."""
        return Marked(self.offer(model, key, usual), ASSUMED)

    def offer(self, model: type[BaseModel], key: str, offered: str) -> str:
        kind = entries_of(model)[key].kind
        return in_us_units(offered, kind) if self.us and kind and kind != "money" else offered


def with_unit(typed: str, like: str) -> str:
    """A bare number in the unit of what was offered; a share below 1 stays what it is.

    >>> with_unit("12.5", "15 ft"), with_unit("0.2", "20 %"), with_unit("3 m", "15 ft")
    ('12.5 ft', '0.2', '3 m')
    """
    units = spelled_units(like)
    if not units or not _BARE.fullmatch(clean(typed)):
        return typed
    small_share = units[-1] == "%" and "/" not in typed and abs(float(typed.replace(",", "."))) < 1
    return typed if small_share else f"{clean(typed)} {units[-1]}"


def _meaning(model: type[BaseModel], key: str) -> str:
    """What ? explains: the key's own comment, and how to write it."""
    entry = entries_of(model)[key]
    said = " ".join(entry.meaning.split())
    if entry.kind is None or entry.kind == "money":
        return said
    examples = re.findall('"(.*?)"', EXAMPLES[entry.kind])
    return f"{said} Any unit will do: {alternatives(examples)}."
