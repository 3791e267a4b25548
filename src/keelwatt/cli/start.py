"""keelwatt start"""

import sys
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from keelwatt.cli.common import OK, UNPROVED, AsJson, NoColor, open_screen, print_json, run

if TYPE_CHECKING:
    from keelwatt.report.screen import Screen


def start(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="A folder that is not there yet.")
    ],
    ask: Annotated[
        bool, typer.Option("--ask", help="Ask about your boat and day, and write the answers down.")
    ] = False,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt start my-boat

    Make a folder with a commented outing and a copy of the catalog, both yours to edit. With --ask
    the outing is put together from your answers to some forty short questions.
    """

    def work() -> int:
        from keelwatt.files.starter import make_starter, refuse_taken

        refuse_taken(folder)
        try:
            made = make_starter(folder, _asked(no_color) if ask else None)
        except KeyboardInterrupt:
            open_screen(no_color, stderr=True).say("\nStopped; nothing was written.")
            if as_json:
                from keelwatt.report import data

                print_json(data.stopped())
            return UNPROVED
        if as_json:
            from keelwatt.report import data

            print_json(data.made(made))
            return OK
        screen = open_screen(no_color)
        screen.say(f"Made {made}/outing.toml and {made}/catalog.")
        screen.say(
            "Look through the outing, where more can be said, then run"
            if ask
            else "Edit the outing to describe your boat and day, then run"
        )
        screen.say(f"  keelwatt pick {made}/outing.toml --catalog {made}/catalog")
        return OK

    run(work, as_json, no_color)


def _asked(no_color: bool) -> str:
    """The outing put together from what is typed; questions go to stderr, one line each answers."""
    from keelwatt.errors import InputError
    from keelwatt.interview import interview, outing_text

    screen = open_screen(no_color, stderr=True)
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
