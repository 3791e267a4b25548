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
    no_args_is_help=True,
    rich_markup_mode=None,
    help="keelwatt catalog check\n\nThe parts on offer.",
)
app.add_typer(catalog_app, name="catalog", short_help="Check, list or add the parts on offer.")
app.command(short_help="Make a folder with an outing and a catalog to edit.")(start.start)
app.command(short_help="Choose the best kit for an outing.")(pick.pick)
app.command(short_help="Compare the best kit before and after a change.")(whatif.whatif)
app.command(short_help="Choose the best kits for many outings at once.")(batch.batch)
app.command(short_help="The best kit for every amount of one wish.")(stretch.stretch)
app.command(short_help="The best kits by price and mass together.")(tradeoff.tradeoff)
app.command(short_help="Why a part is in the best kit, or not.")(why.why)
app.command(short_help="What a part buys, in hours and money.")(worth.worth)
app.command(short_help="Kits side by side.")(compare.compare)
app.command(short_help="Check any kit against an outing.")(prove.prove)
app.command(short_help="Correct the drag factor by a log of the outing.")(tune.tune)
app.command(short_help="The odds of getting home, over many days.")(odds.odds)
catalog_app.command("check", short_help="Every problem of the catalog.")(catalog.check)
catalog_app.command("add", short_help="Add a part, asked for value by value.")(catalog.add)
catalog_app.command("list", short_help="The parts as tables.")(catalog.listing)


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
    gc.set_threshold(50_000)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    app()
