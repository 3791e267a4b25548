"""KEY=VALUE as a user gives it, and what it makes of the value in the file."""

import re
from dataclasses import dataclass
from typing import cast

from keelwatt.edit.document import Raw
from keelwatt.edit.keys import Form, Target
from keelwatt.units import EXAMPLES, Kind, UnitError, clean, money_cents, number, quantity, to_si
from keelwatt.units.writing import spelled_units, written_quantity

_SETTING = re.compile(r"""((?:"[^"]*"|[^"=])*?)\s*(==|\+=|-=|=)(.*)""", re.DOTALL)
_SIGNED = re.compile(r"([+-])\s*(.*)", re.DOTALL)
_SHARE = re.compile(r"(.*?)\s*%")

_FIGURES = re.compile(r"[0-9][0-9., ']*(?<! )")
"""An amount of money without its currency."""

GIVEN_UP = "none"
"""The value that takes a key out of the file."""

WORDS: tuple[Form, ...] = ("text", "list")


@dataclass(frozen=True)
class Setting:
    """``how`` is "=" (a sign in the value then means a change), "==", "+=" or "-="."""

    words: str
    key: str
    how: str
    value: str

    @classmethod
    def read(cls, words: str) -> "Setting":
        """From ``KEY=VALUE``.

        >>> Setting.read("leg.home.speed=+10%").value
        '+10%'
        """
        match = _SETTING.fullmatch(clean(words))
        if match is None or not match[1]:
            raise UnitError("is not KEY=VALUE", "write it as hours=+2h or budget=900")
        key, how, value = match[1], match[2], clean(match[3])
        if not value:
            remedy = f"write {key}=VALUE, or {key}={GIVEN_UP} to give it up"
            raise UnitError("has no value", remedy)
        return cls(words, key, how, value)

    @property
    def changes(self) -> bool:
        """Whether it changes what is there, in place of setting a value of its own."""
        return self.how in ("+=", "-=") or (self.how == "=" and self.value[0] in "+-")

    def on(self, target: Target, old: Raw | None) -> Raw | None:
        """The new value of the target, None for none; ``old`` is what the file has there.
        UnitError: if the value cannot be read, or there is nothing it could change."""
        value, form = self.value, target.form
        if self.how in ("+=", "-="):
            value = self.how[0] + value
        elif value.lower() == GIVEN_UP and form not in WORDS:
            if not target.optional:
                raise UnitError("cannot be left out", f"write {self.key}={_example(form)}")
            return None
        signed = self._signed(value)
        if form == "text":
            return None if value == GIVEN_UP and target.optional else _unquoted(value)
        if form == "list":
            return _listed(value, signed, old)
        if signed is None:
            return _absolute(form, value, old)
        self._refuse_two_readings(signed, target)
        return self._changed(form, signed, old, target.default)

    def _signed(self, value: str) -> re.Match[str] | None:
        return None if self.how == "==" else _SIGNED.fullmatch(value)

    def worth(self, kind: Kind, before: float) -> float:
        """The new quantity where there was ``before``, both as the tool keeps that kind."""
        value = self.value if self.how in ("=", "==") else self.how[0] + self.value
        signed = self._signed(value)
        return _moved(kind, signed, before) if signed else quantity(value, kind)

    def _refuse_two_readings(self, signed: re.Match[str], target: Target) -> None:
        minus = self.how == "=" and signed[1] == "-" and not _SHARE.fullmatch(self.value)
        if minus and target.signed:
            raise UnitError(
                "can be read in two ways",
                f'write "{self.key}=={self.value}" for that value itself, or '
                f'"{self.key}-={signed[2]}" to take that much off',
            )

    def _changed(
        self, form: Form, signed: re.Match[str], old: Raw | None, default: float | None
    ) -> Raw:
        before = default if old is None else _worth(form, str(old))
        if before is None:
            what = "is not set in the file, so there is nothing to change"
            remedy = f"write the value itself: {self.key}={_example(form)}"
            raise UnitError(what, remedy)
        after = _moved(form, signed, before)
        own = form == "share" or not _SHARE.fullmatch(signed[2])
        return _written(form, after, old, spelled_units(signed[2]) if own else ())


def _moved(form: Form, signed: re.Match[str], before: float) -> float:
    """``before`` changed by an amount, or by a share of it."""
    text, sign = signed[2], -1 if signed[1] == "-" else 1
    share = None if form == "share" else _SHARE.fullmatch(text)
    if share and form == "temperature":
        raise UnitError("is a share of a temperature", 'write degrees, such as "+5 degC"')
    if share:
        return before * (1 + sign * number(share[1]) / 100)
    if form == "temperature":
        units = spelled_units(text)
        freezing = to_si(0.0, units[-1], form) if units else 0.0
        return before + sign * (quantity(text, form) - freezing)
    return before + sign * _worth(form, text)


def _worth(form: Form, text: str) -> float:
    if form == "money":
        return money_cents(text)
    if form in ("whole", "number"):
        return number(text)
    return quantity(text, cast(Kind, form))


def _example(form: Form) -> str:
    examples = {"money": "900", "whole": "2", "number": "1.3"}
    return examples.get(form) or EXAMPLES[cast(Kind, form)].split(" or ")[0]


def _absolute(form: Form, value: str, old: Raw | None) -> Raw:
    if _SHARE.fullmatch(value) and form != "share":
        raise UnitError(
            "is a share, not a value", "write -10% or +10% for a tenth less or more than there is"
        )
    worth = _worth(form, value)
    bare = re.fullmatch(r"[0-9.]+", value)
    if form == "money":
        if isinstance(old, str) and bare:
            return _FIGURES.sub(value, old, count=1)
        return _money(worth) if bare else value
    if form == "whole":
        return _whole(worth)
    if form == "number" or (form == "share" and bare):
        return worth
    return value


def _written(form: Form, value: float, old: Raw | None, units: tuple[str, ...]) -> Raw:
    """In the style of what the file has."""
    if form == "money":
        amount = _money(round(value))
        plain = str(amount) if isinstance(amount, int) else f"{amount:.2f}"
        if isinstance(old, str):
            return _FIGURES.sub(plain, old, count=1)
        return amount
    if form == "whole":
        return _whole(value)
    if form == "number" or (form == "share" and isinstance(old, int | float)):
        return float(f"{value:.6g}")
    kind = cast(Kind, form)
    return written_quantity(value, kind, spelled_units(str(old)) if old else units)


def _money(cents: float) -> int | float:
    if cents != round(cents):
        raise UnitError("has more than two decimals", "write 1200 or 1200.50")
    return int(cents) // 100 if cents % 100 == 0 else cents / 100


def _whole(value: float) -> int:
    if value != round(value):
        raise UnitError("is not a whole number", "write a whole number, such as 2")
    return round(value)


def _unquoted(text: str) -> str:
    return text[1:-1] if len(text) > 1 and text[0] == text[-1] and text[0] in "\"'" else text


def _listed(value: str, signed: re.Match[str] | None, old: Raw | None) -> list[str]:
    """["a", "b"] or a,b; with a sign these are added to the list or taken from it."""
    inner = (signed[2] if signed else value).strip()
    if inner.startswith("[") and inner.endswith("]"):
        inner = inner[1:-1]
    words = [] if inner == GIVEN_UP else [_unquoted(word.strip()) for word in inner.split(",")]
    words = [word for word in words if word]
    if signed is None:
        return words
    there = list(old) if isinstance(old, list) else []
    if signed[1] == "+":
        return there + [word for word in words if word not in there]
    if missing := [word for word in words if word not in there]:
        what = f"names what is not there: {', '.join(missing)}"
        remedy = f"there is {', '.join(there) or 'none'}"
        raise UnitError(what, remedy)
    return [word for word in there if word not in words]
