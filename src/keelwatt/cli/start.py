"""keelwatt start"""

from pathlib import Path
from typing import Annotated

import typer

from keelwatt.cli.common import OK, AsJson, NoColor, open_screen, print_json, run


def start(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="A folder that is not there yet.")
    ],
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt start my-boat

    Make a folder with a commented outing and a copy of the catalog, both yours to edit.
    """

    def work() -> int:
        from keelwatt.starter import make_starter

        made = make_starter(folder)
        if as_json:
            from keelwatt.present import data

            print_json(data.made(made))
            return OK
        screen = open_screen(no_color)
        screen.say(f"Made {made}/outing.toml and {made}/catalog.")
        screen.say("Edit the outing to describe your boat and day, then run")
        screen.say(f"  keelwatt pick {made}/outing.toml --catalog {made}/catalog")
        return OK

    run(work, as_json, no_color)
