"""Asking one question after another: back, explain, stop and keep, and how many are left."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from keelwatt.units import UnitError

Ask = Callable[[str, str], str]
"""Shows a question and the answer offered, returns what is typed; EOFError where nobody answers."""

Say = Callable[[str], None]

Read = TypeVar("Read")

BACK, LAST, EXPLAIN, QUIT = "<", "back", "?", "quit"
HOW = "Enter takes the answer in brackets. < or back goes one question back, ? explains, quit stops"

MOST_SAID_BACK = 60
"""Characters of an answer that cannot be used."""


class QuitError(Exception):
    """Somebody quits before the last question."""


class _BackError(Exception):
    pass


@dataclass
class Session:
    """A script is run from its beginning with the answers so far, which are not asked again.

    So a step back is one answer fewer. ``live``: whether the last answer was typed just now;
    ``entered``: whether it was Enter; ``total``: how many questions there are, if the script says.
    ``asked`` are the questions answered so far, ``before`` what was typed to those gone back from.
    """

    ask: Ask
    say: Say
    answers: list[str] = field(default_factory=list)
    live: bool = True
    entered: bool = False
    total: int = 0
    asked: list[str] = field(default_factory=list)
    before: dict[str, str] = field(default_factory=dict)

    @property
    def at(self) -> int:
        """How many questions are answered so far."""
        return len(self.asked)

    def run(self, script: "Callable[[Session], Read]") -> Read:
        """What the script comes to.

        QuitError: somebody quit; ``answers`` holds what was typed. EOFError: nobody answers.
        """
        while True:
            self.live, self.asked = not self.answers, []
            try:
                return script(self)
            except _BackError:
                if typed := self.answers.pop():
                    self.before[self.asked[-1]] = typed

    def asked_in_all(self, script: "Callable[[Session], object]") -> int:
        """How many questions there are, if every further one is answered with Enter."""
        dry = Session(lambda *_: "", lambda _: None, list(self.answers))
        dry.run(script)
        return len(dry.answers)

    def tell(self, words: str) -> None:
        """Say it, unless the answer before it was typed long ago."""
        if self.live:
            self.say(words)

    def until(
        self,
        words: str,
        offered: str,
        read: Callable[[str], Read],
        *,
        more: str = "",
        name: bool = False,
    ) -> Read:
        """Ask until the answer can be read; Enter takes what is offered.

        ``more``: what ? explains; ``name``: the answer is a name, and may be "back".
        """
        if self.at < len(self.answers):
            typed = self.answers[self.at]
            self.live, self.entered = False, not typed
            try:
                value = read(typed or offered)
            except UnitError:  # kept by another version, or of another boat
                del self.answers[self.at :]
            else:
                self.asked.append(words)
                return value
        self.live = True
        earlier = self._earlier(words, read)
        while True:
            typed = self.ask(words, earlier or offered).strip() or earlier
            if typed == EXPLAIN:
                self.say(more or f"{HOW}.")
            elif typed == BACK or (typed.lower() == LAST and not name):
                if self.answers:
                    raise _BackError
                self.say("This is the first question.")
            elif typed.lower() == QUIT:
                raise QuitError
            else:
                try:
                    value = read(typed or offered)
                except UnitError as error:
                    said = f'"{_printable(typed or offered)}" {error.what}'
                    said = said if typed or offered else "An answer is needed"
                    self.say(f"{said}: {error.remedy}.")
                    continue
                self.answers.append(typed)
                self.asked.append(words)
                self.entered = not typed
                return value

    def _earlier(self, words: str, read: Callable[[str], object]) -> str:
        """What was typed to this question before going back from it, if it still can be read."""
        if typed := self.before.get(words, ""):
            try:
                read(typed)
            except UnitError:
                return ""
        return typed


def _printable(text: str) -> str:
    short = text if len(text) <= MOST_SAID_BACK else f"{text[: MOST_SAID_BACK - 3]}..."
    return "".join(sign if sign.isprintable() else "?" for sign in short)
