"""Commands: read, call, print, exit. No formula and no rule lives here."""

import gc
import os
import sys
from typing import Annotated

import typer

from keelwatt import __version__
from keelwatt.cli import (
    batch,
    catalog,
    compare,
    odds,
    pick,
    prove,
    start,
    stretch,
    tradeoff,
    tune,
    whatif,
    why,
    worth,
)
from keelwatt.cli.ending import OK, Commands
from keelwatt.cli.help import Command, Group

app = typer.Typer(
    cls=Commands,
    context_settings={"help_option_names": ["--help", "-h"]},
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="""keelwatt pick outing.toml

Chooses the electric motor, battery and wiring for a small paddled or rowed craft: the cheapest or
lightest kit that meets every limit of your day on the water, and proves it.

Begin with: keelwatt start my-boat --ask""",
)
catalog_app = typer.Typer(
    cls=Group,
    no_args_is_help=True,
    rich_markup_mode=None,
    help="keelwatt catalog check\n\nThe parts on offer.",
)
app.add_typer(catalog_app, name="catalog", short_help="Check, list or add the parts on offer.")
for below, name, work, told in (
    (app, "start", start.start, "Make a folder with an outing and a catalog to edit."),
    (app, "pick", pick.pick, "Choose the best kit for an outing."),
    (app, "whatif", whatif.whatif, "Compare the best kit before and after a change."),
    (app, "batch", batch.batch, "Choose the best kits for many outings at once."),
    (app, "stretch", stretch.stretch, "The best kit for every amount of one wish."),
    (app, "tradeoff", tradeoff.tradeoff, "The best kits by price and mass together."),
    (app, "why", why.why, "Why a part is in the best kit, or not."),
    (app, "worth", worth.worth, "What a part buys, in hours and money."),
    (app, "compare", compare.compare, "Kits side by side."),
    (app, "prove", prove.prove, "Check any kit against an outing."),
    (app, "tune", tune.tune, "Correct the drag factor by a log of the outing."),
    (app, "odds", odds.odds, "The odds of getting home, over many days."),
    (catalog_app, "check", catalog.check, "Every problem of the catalog."),
    (catalog_app, "add", catalog.add, "Add a part, asked for value by value."),
    (catalog_app, "list", catalog.listing, "The parts as tables."),
):
    below.command(name, cls=Command, short_help=told)(work)


@app.callback(invoke_without_command=True)
def _version(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        typer.echo(f"keelwatt {__version__}")
        raise typer.Exit(OK)


def main() -> None:
    """The console command.

    One thread for linear algebra: matrices this small lose by more. And the cycles that imports and
    catalogs leave behind are few: looking for them as often as Python does takes a twentieth of it.
    """
    gc.set_threshold(200_000)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    app()
