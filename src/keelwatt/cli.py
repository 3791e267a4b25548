"""Commands: read, call, print, exit. No formula and no rule lives here."""

import sys
from collections.abc import Callable
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelwatt import __version__
from keelwatt.errors import InputError, KeelwattError

if TYPE_CHECKING:
    from keelwatt.catalog.reader import Catalog
    from keelwatt.errors import Problem
    from keelwatt.present.terminal import Screen

OK, BUG, USAGE, INVALID, IMPOSSIBLE, UNPROVED = range(6)
EXITS = {"best": OK, "impossible": IMPOSSIBLE, "unproved": UNPROVED}

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="""keelwatt pick outing.toml

Chooses the electric motor, battery and wiring for a small paddled or rowed craft: the cheapest or
lightest kit that meets every limit of your day on the water, and proves it.

Begin with: keelwatt start my-boat""",
)
catalog_app = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode=None,
    help="keelwatt catalog check\n\nThe parts on offer.",
)
app.add_typer(catalog_app, name="catalog", short_help="Check or list the parts on offer.")


class By(StrEnum):
    cost = "cost"
    mass = "mass"
    season = "season"


class Solver(StrEnum):
    highs = "highs"
    cbc = "cbc"


class Kind(StrEnum):
    batteries = "batteries"
    motors = "motors"
    controllers = "controllers"
    cables = "cables"
    fuses = "fuses"
    connectors = "connectors"
    chargers = "chargers"


OutingFile = Annotated[Path, typer.Argument(metavar="OUTING", help="The outing file (TOML).")]
CatalogFolder = Annotated[
    Path | None,
    typer.Option(
        "--catalog",
        metavar="DIR",
        help="Folder of catalog files; else ./catalog, else the shipped one.",
    ),
]
ByOption = Annotated[
    By | None, typer.Option("--by", help="What to make least; else what the outing wishes.")
]
SolverOption = Annotated[Solver, typer.Option("--solver", help="Which solver proves the answer.")]
SecondsOption = Annotated[
    float | None, typer.Option("--seconds", min=0.001, help="Stop a solve after this long.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print data instead of text.")]
NoColor = Annotated[bool, typer.Option("--no-color", help="Plain text without colours.")]


@app.command(short_help="Choose the best kit for an outing.")
def pick(
    outing: OutingFile,
    catalog: CatalogFolder = None,
    by: ByOption = None,
    solver: SolverOption = Solver.highs,
    seconds: SecondsOption = None,
    left_out: Annotated[
        bool, typer.Option("--left-out", help="Also list the parts no kit could use, and why.")
    ] = False,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt pick outing.toml --by mass

    Choose the best kit for an outing; show it, its limits and what binds.
    """

    def work() -> int:
        from keelwatt.advise import advise
        from keelwatt.outing import read_outing

        wanted, parts = _both(lambda: read_outing(outing), lambda: _catalog(catalog))
        advice = advise(
            wanted,
            parts,
            by=by.value if by else None,
            solver=solver.value,
            seconds=seconds,
        )
        if as_json:
            from keelwatt.present import data

            _print_json(data.pick(advice))
        else:
            from keelwatt.present import terminal

            _warn(parts, no_color)
            terminal.pick(_screen(no_color), advice, left_out=left_out)
        return EXITS[advice.status]

    _run(work, as_json, no_color)


@app.command(short_help="Check any kit against an outing.")
def prove(
    outing: OutingFile,
    kit: Annotated[
        Path,
        typer.Option("--kit", metavar="KIT.json", help="What `keelwatt pick --json` printed."),
    ],
    catalog: CatalogFolder = None,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt prove outing.toml --kit kit.json

    Check any kit against every limit, and simulate its day minute by minute. Exit status 0 if the
    kit holds, 4 if it does not.

    A kit file is what pick --json prints, or its "kit" alone:
    {"battery": {"id": ..., "series": 1, "parallel": 1, "compartment": ...},
    "motor": {"id": ..., "mount": ...}, "controller": null, "cable": {"id": ...},
    "fuse": ..., "connector": ..., "charger": null}
    """

    def work() -> int:
        from keelwatt.facts import Facts
        from keelwatt.kit_file import read_kit
        from keelwatt.outing import read_outing
        from keelwatt.prove import Assessor
        from keelwatt.prove import prove as simulate

        wanted, parts = _both(lambda: read_outing(outing), lambda: _catalog(catalog))
        assessor = Assessor(Facts(wanted), parts)
        proof = simulate(assessor, read_kit(kit, assessor))
        if as_json:
            from keelwatt.present import data

            _print_json(data.proof(proof, parts))
        else:
            from keelwatt.present import terminal

            terminal.prove(_screen(no_color), proof, wanted.title)
        return OK if proof.holds else IMPOSSIBLE

    _run(work, as_json, no_color)


@catalog_app.command("check", short_help="Every problem of the catalog.")
def catalog_check(
    catalog: CatalogFolder = None, as_json: AsJson = False, no_color: NoColor = False
) -> None:
    """keelwatt catalog check --catalog my-boat/catalog

    Every problem of the catalog, with file, row and column.
    """

    def work() -> int:
        parts = _catalog(catalog)
        if as_json:
            from keelwatt.present import data

            _print_json(data.checked(parts))
        else:
            from keelwatt.present import catalog_screens

            catalog_screens.check(_screen(no_color), parts)
        return OK

    _run(work, as_json, no_color)


@catalog_app.command("list", short_help="The parts as tables.")
def catalog_list(
    kinds: Annotated[
        list[Kind] | None, typer.Argument(metavar="[KIND]...", help="batteries, motors, ...")
    ] = None,
    catalog: CatalogFolder = None,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt catalog list batteries

    The parts on offer as tables: all of them, or some kinds.
    """

    def work() -> int:
        parts = _catalog(catalog)
        if as_json:
            from keelwatt.present import data

            _print_json(data.parts(parts, [kind.value for kind in kinds or Kind]))
        else:
            from keelwatt.present import catalog_screens

            catalog_screens.listing(
                _screen(no_color), parts, [kind.value for kind in kinds or Kind]
            )
        return OK

    _run(work, as_json, no_color)


@app.command(short_help="Make a folder with an outing and a catalog to edit.")
def start(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="A folder that is not there yet.")
    ],
    no_color: NoColor = False,
) -> None:
    """keelwatt start my-boat

    Make a folder with a commented outing and a copy of the catalog, both yours to edit.
    """

    def work() -> int:
        from keelwatt.starter import make_starter

        made = make_starter(folder)
        screen = _screen(no_color)
        screen.say(f"Made {made}/outing.toml and {made}/catalog.")
        screen.say("Edit the outing to describe your boat and day, then run")
        screen.say(f"  keelwatt pick {made}/outing.toml --catalog {made}/catalog")
        return OK

    _run(work, False, no_color)


@app.callback(invoke_without_command=True)
def _version(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        print(f"keelwatt {__version__}")  # noqa: T201
        raise typer.Exit(OK)


def main() -> None:
    """The console command."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    app()


def _run(work: Callable[[], int], as_json: bool, no_color: bool) -> None:
    """Do the work; turn what keelwatt raises on purpose into messages and exit statuses."""
    try:
        status = work()
    except InputError as error:
        if as_json:
            from keelwatt.present import data

            _print_json(data.invalid(error.problems))
        else:
            _complain(error, no_color)
        status = INVALID
    except KeelwattError as error:
        typer.echo(f"keelwatt: a bug: {error}\nPlease report it with your files.", err=True)
        status = BUG
    except BrokenPipeError:
        sys.stderr.close()
        status = OK
    raise typer.Exit(status)


def _both(*readers: Callable[[], Any]) -> tuple[Any, ...]:
    """What every reader reads, or the problems of them all."""
    results: list[Any] = []
    problems: list[Problem] = []
    for reader in readers:
        try:
            results.append(reader())
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return tuple(results)


def _catalog(folder: Path | None) -> "Catalog":
    from keelwatt.catalog.reader import read_catalog
    from keelwatt.catalog.shipped import shipped_catalog

    here = Path("catalog")
    return read_catalog(folder or (here if here.is_dir() else shipped_catalog()))


def _screen(no_color: bool, *, stderr: bool = False) -> "Screen":
    from keelwatt.present.terminal import Screen

    return Screen.open(no_color=no_color, stderr=stderr)


def _complain(error: InputError, no_color: bool) -> None:
    from keelwatt.present import catalog_screens

    screen = _screen(no_color, stderr=True)
    catalog_screens.problems(screen, error.problems)
    count = sum(not problem.warning for problem in error.problems)
    screen.say(f"{count} problem{'s' if count != 1 else ''} to put right; nothing was computed.")


def _warn(parts: "Catalog", no_color: bool) -> None:
    if parts.warnings:
        from keelwatt.present import catalog_screens

        catalog_screens.problems(_screen(no_color, stderr=True), parts.warnings)


def _print_json(data: dict[str, Any]) -> None:
    from keelwatt.present.data import text

    typer.echo(text(data))
