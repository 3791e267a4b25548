"""What the commands share: options, exit statuses, reading, complaining."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelwatt.errors import InputError, KeelwattError

if TYPE_CHECKING:
    from keelwatt.errors import Problem
    from keelwatt.files.catalog.reader import Catalog
    from keelwatt.files.log import TripLog
    from keelwatt.files.outing import Outing
    from keelwatt.report.screen import Screen

OK, BUG, USAGE, INVALID, IMPOSSIBLE, UNPROVED = range(6)
EXITS = {"best": OK, "impossible": IMPOSSIBLE, "unproved": UNPROVED}


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
KitFile = Annotated[
    Path, typer.Option("--kit", metavar="KIT.json", help="What `keelwatt pick --json` printed.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print data instead of text.")]
NoColor = Annotated[bool, typer.Option("--no-color", help="Plain text without colours.")]


def run(work: Callable[[], int], as_json: bool, no_color: bool) -> None:
    """Do the work; turn what keelwatt raises on purpose into messages and exit statuses."""
    try:
        status = work()
    except InputError as error:
        if as_json:
            from keelwatt.report import data

            print_json(data.invalid(error.problems))
        else:
            _complain(error, no_color)
        status = INVALID
    except KeelwattError as error:
        typer.echo(f"keelwatt: a bug: {error}\nPlease report it with your files.", err=True)
        status = BUG
    except KeyboardInterrupt:
        typer.echo("Stopped before an answer was found.", err=True)
        if as_json:
            from keelwatt.report import data

            print_json(data.stopped())
        status = UNPROVED
    except BrokenPipeError:
        sys.stderr.close()
        status = OK
    raise typer.Exit(status)


@contextmanager
def progress() -> Iterator[Callable[[float], None]]:
    """Tells on stderr what share is done, if somebody watches, and wipes that away at the end."""
    watched = sys.stderr.isatty()

    def tell(share: float) -> None:
        if watched:
            sys.stderr.write(f"\r{share:4.0%} searched; Ctrl-C stops and shows what is found")
            sys.stderr.flush()

    try:
        yield tell
    finally:
        if watched:
            sys.stderr.write(f"\r{' ' * 60}\r")


def both(*readers: Callable[[], Any]) -> tuple[Any, ...]:
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


def outing_and_text(path: Path) -> "tuple[Outing, str]":
    """An outing, and the text of its file for editing."""
    from keelwatt.files.outing import outing_from_text, read_text

    text = read_text(path)
    return outing_from_text(text, str(path)), text


def catalog_of(folder: Path | None) -> "Catalog":
    from keelwatt.files.catalog.reader import read_catalog
    from keelwatt.files.catalog.shipped import shipped_catalog

    here = Path("catalog")
    return read_catalog(folder or (here if here.is_dir() else shipped_catalog()))


def open_screen(no_color: bool, *, stderr: bool = False) -> "Screen":
    from keelwatt.report.screen import Screen

    return Screen.open(no_color=no_color, stderr=stderr)


def confirmed(as_json: bool) -> bool:
    """Whether what was shown may be written: asked where somebody is there to answer, else yes."""
    if not sys.stdin.isatty():
        return True
    try:
        return typer.confirm("Write this?", err=as_json)
    except typer.Abort:
        return False


def _complain(error: InputError, no_color: bool) -> None:
    from keelwatt.report import catalog_screens

    screen = open_screen(no_color, stderr=True)
    catalog_screens.problems(screen, error.problems)
    count = sum(not problem.warning for problem in error.problems)
    screen.say(f"{count} problem{'s' if count != 1 else ''} to put right; nothing was computed.")


def warn(read: "Catalog | TripLog", no_color: bool) -> None:
    if read.warnings:
        from keelwatt.report import catalog_screens

        catalog_screens.problems(open_screen(no_color, stderr=True), read.warnings)


def print_json(data: dict[str, Any]) -> None:
    from keelwatt.report.data import text

    typer.echo(text(data))


WRITABLE = "name a file in a folder you may write to"


def check_new(path: Path | None, begins: str, *, again: bool) -> None:
    """Refuse a place for a file before any work is done; None is no file and always right.

    ``begins``: the first words of every file of its kind, by which an earlier one is known.

    Raises
    ------
    InputError
        If its folder is not there or may not be written to, or if something is there already that
        is no earlier file of its kind, or ``again`` is not said.
    """
    import os

    if path is None:
        return
    folder = path.resolve().parent
    if not folder.is_dir():
        raise InputError.at(path, "its folder is not there", "name a file in a folder that is")
    if path.is_dir():
        raise InputError.at(path, "is a folder", "name a file in it")
    if not os.access(folder, os.W_OK):
        raise InputError.at(path, "its folder may not be written to", WRITABLE)
    if path.exists() and not again:
        raise InputError.at(path, "is there already", "name another file, or add --again")
    if path.exists() and not _begins(path, begins):
        what = "is there already and was not written by this command"
        raise InputError.at(path, what, "name another file")


def write_new(path: Path, text: str, begins: str, *, again: bool) -> None:
    """Write a file as a whole or not at all; with ``again`` over an earlier one of its kind.

    ``text`` starts with ``begins``.

    Raises
    ------
    InputError
        If anything else is there, or the file cannot be written.
    """
    import os
    import tempfile

    check_new(path, begins, again=again)
    place = path.resolve()
    try:
        with tempfile.TemporaryDirectory(dir=place.parent, prefix=".keelwatt-") as made:
            whole = Path(made) / place.name
            whole.write_text(text, encoding="utf-8", newline="")
            if not again:
                place.open("xb").close()
            os.replace(whole, place)  # noqa: PTH105
    except FileExistsError:
        raise InputError.at(path, "is there already", "name another file") from None
    except OSError as error:
        what = f"cannot be written: {error.strerror or error}"
        raise InputError.at(path, what, WRITABLE) from None


def _begins(path: Path, begins: str) -> bool:
    first = begins.encode()
    try:
        with path.open("rb") as file:
            return file.read(len(first)) == first
    except OSError:
        return False
