"""keelwatt start"""

import sys
from functools import partial
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from keelwatt.cli.command import Result, aside, command

if TYPE_CHECKING:
    from keelwatt.report.screen import Screen


@command
def start(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="A folder that is not there yet.")
    ],
    ask: Annotated[
        bool, typer.Option("--ask", help="Ask about your boat and day, and write the answers down.")
    ] = False,
) -> Result:
    """keelwatt start my-boat

    Make a folder with a commented outing and a copy of the catalog, both yours to edit. With --ask
    the outing is put together from your answers to some forty short questions.
    """
    from keelwatt import json
    from keelwatt.files.starter import make_starter, refuse_taken
    from keelwatt.report.blocks import Say

    refuse_taken(folder)
    try:
        made = make_starter(folder, _asked() if ask else None)
    except KeyboardInterrupt:
        raise KeyboardInterrupt("\nStopped; nothing was written.") from None
    outing, catalog = made / "outing.toml", made / "catalog"
    next_ = (
        "Look through the outing, where more can be said, then run"
        if ask
        else "Edit the outing to describe your boat and day, then run"
    )
    told = (f"Made {outing} and {catalog}.", next_, f"  keelwatt pick {outing}")
    data = partial(json.said, status="made", outing=str(outing), catalog=str(catalog))
    return Result(data, map(Say, told))


def _asked() -> str:
    """The outing put together from what is typed; questions go to stderr, one line each answers."""
    from keelwatt.errors import InputError
    from keelwatt.interview import interview, outing_text

    screen = aside()
    if isinstance(sys.stdin, TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")
    try:
        return outing_text(
            interview(lambda words, offered: _answer(screen, words, offered), screen.say)
        )
    except EOFError:
        what = "ended before the last question; nothing was written"
        remedy = "answer every question, one line each; an empty line takes what is offered"
        raise InputError.at("the answers", what, remedy) from None


def _answer(screen: "Screen", words: str, offered: str) -> str:
    screen.say(words, style="bold")
    sys.stderr.write(f"[{offered}] > ")
    sys.stderr.flush()
    line = sys.stdin.readline()
    if not line:
        sys.stderr.write("\n")
        raise EOFError
    if not sys.stdin.isatty():
        sys.stderr.write("\n")
    return line
