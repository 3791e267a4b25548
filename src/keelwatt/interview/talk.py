"""Asking until an answer can be used, and saying back what was understood."""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from typing import TypeVar

from pydantic import BaseModel

from keelwatt.files.outing.convert import entries_of
from keelwatt.interview.reading import Heard, heard, in_us_units
from keelwatt.units import UnitError

Ask = Callable[[str, str], str]
"""Shows a question and the answer offered, returns what is typed; EOFError where nobody answers."""

Say = Callable[[str], None]

Read = TypeVar("Read")

MOST_SAID_BACK = 60
"""Characters of an answer that cannot be used."""

NOTHING = "-"
"""Typed for "nothing", "no more", "no limit"."""


@dataclass(frozen=True)
class Talk:
    """``us``: offer answers in units used in the United States."""

    ask: Ask
    say: Say
    us: bool = False

    def until(self, words: str, offered: str, read: Callable[[str], Read]) -> Read:
        """Ask until the answer can be read; Enter takes what is offered."""
        while True:
            typed = self.ask(words, offered).strip() or offered
            try:
                return read(typed)
            except UnitError as error:
                self.say(f'"{_printable(typed)}" {error.what}: {error.remedy}.')

    def field(self, model: type[BaseModel], key: str, words: str, offered: str) -> Heard:
        """The answer for a key of the outing, echoed."""
        answer = self.until(words, self.offer(model, key, offered), lambda t: heard(model, key, t))
        self.say(f"= {answer.told}")
        return answer

    def optional(self, model: type[BaseModel], key: str, words: str, offered: str) -> Heard | None:
        """As ``field``, None where there is to be none."""

        def read(typed: str) -> Heard | None:
            return None if typed == NOTHING else heard(model, key, typed)

        offer = offered if offered == NOTHING else self.offer(model, key, offered)
        answer = self.until(f"{words} Or {NOTHING} for none.", offer, read)
        self.say(f"= {answer.told if answer else 'none'}")
        return answer

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
        name = self.until(f"{words} A name{more}", offered, read)
        self.say(f"= {name or 'no more'}")
        return name

    def offer(self, model: type[BaseModel], key: str, offered: str) -> str:
        kind = entries_of(model)[key].kind
        return in_us_units(offered, kind) if self.us and kind and kind != "money" else offered


def _printable(text: str) -> str:
    short = text if len(text) <= MOST_SAID_BACK else f"{text[: MOST_SAID_BACK - 3]}..."
    return "".join(sign if sign.isprintable() else "?" for sign in short)
