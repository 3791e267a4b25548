"""Questions put to whoever sits at the terminal, or to a pipe: on stderr, one line each answers."""

import sys
from collections.abc import Callable, Iterable
from io import TextIOWrapper
from typing import TYPE_CHECKING, TypeVar

from keelwatt.cli.command import aside

if TYPE_CHECKING:
    from keelwatt.interview import Session

Read = TypeVar("Read")


def asking(in_all: "Callable[[Session], int]", answers: Iterable[str] = ()) -> "Session":
    """A session that asks here; ``in_all``: how many questions there are, as far as is known."""
    from keelwatt.interview import Session

    screen = aside()

    def ask(words: str, offered: str) -> str:
        left = in_all(session) - len(session.answers)
        screen.say(f"{words} ({left} left)" if left > 0 else words, style="bold")
        sys.stderr.write(f"[{offered}] > " if offered else "> ")
        sys.stderr.flush()
        line = sys.stdin.readline()
        if not line or not sys.stdin.isatty():
            sys.stderr.write("\n")
        if not line:
            raise EOFError
        return line

    session = Session(ask, screen.say, list(answers))
    return session


def answered(session: "Session", script: "Callable[[Session], Read]") -> Read:
    """What the answers come to.

    InputError: they end too soon. QuitError: somebody quit, or ended them at a terminal.
    """
    from keelwatt.errors import InputError
    from keelwatt.interview import QuitError

    if isinstance(sys.stdin, TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")
    try:
        return session.run(script)
    except EOFError:
        if sys.stdin.isatty():
            raise QuitError from None
        what = "ended before the last question; nothing was written"
        remedy = "answer every question, one line each; an empty line takes what is offered"
        raise InputError.at("the answers", what, remedy) from None
