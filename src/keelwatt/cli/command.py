"""A command reads, asks the core and hands back a Result; here every Result is shown."""

import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass, fields, is_dataclass
from functools import wraps
from inspect import Parameter, Signature, signature
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from keelwatt.cli.ending import BUG, IMPOSSIBLE, INVALID, OK, UNPROVED, print_failure, told_to_end
from keelwatt.cli.options import Form
from keelwatt.errors import InputError, KeelwattError
from keelwatt.units import shown

if TYPE_CHECKING:
    from keelwatt.errors import Problem
    from keelwatt.files.catalog.reader import Catalog
    from keelwatt.files.outing import Outing
    from keelwatt.report.blocks import Block
    from keelwatt.report.screen import Screen

REPORT = "please report it with your files"
EXITS = {"best": OK, "impossible": IMPOSSIBLE, "unproved": UNPROVED}


@dataclass(frozen=True)
class Rewriting:
    """An outing's file to be written anew, once whoever is there agrees.

    ``done``: what is said then, given where the old text is kept; ``refused``: else the status.
    """

    file: Path
    before: str
    after: str
    done: "Callable[[str], Iterable[Block]]"
    refused: int


@dataclass(frozen=True)
class Result:
    """What a command found, in every form; only the one asked for is made.

    ``catalog``: what it was made from; ``outing``: what it is about. ``files`` write one
    file each and say where. With a ``rewriting``, ``data`` is given where the old text is kept,
    None if it was not agreed to.
    """

    data: Callable[..., dict[str, Any]]
    report: "Iterable[Block]"
    status: int = OK
    warnings: "tuple[Problem, ...]" = ()
    files: tuple[Callable[[], str], ...] = ()
    rewriting: Rewriting | None = None
    catalog: "Catalog | None" = None
    outing: "Outing | None" = None


def command(work: Callable[..., Result]) -> Callable[..., None]:
    """The work as a command: classes of options spread out, ``--json`` and ``--no-color`` added.

    What the work returns or raises on purpose is shown and ends as an exit status.
    """
    own = signature(work).parameters
    asked = {name: it.annotation for name, it in own.items()} | {"form": Form}
    classes: dict[str, Any] = {name: it for name, it in asked.items() if is_dataclass(it)}
    kind = Parameter.KEYWORD_ONLY
    options: list[Parameter] = []
    for name in asked:
        options += (
            [Parameter(f.name, kind, default=f.default, annotation=f.type) for f in fields(group)]
            if (group := classes.get(name))
            else [own[name].replace(kind=kind)]
        )

    @wraps(work)
    def run(**given: Any) -> None:
        flat = tuple(given.values())
        for name, class_ in classes.items():
            given[name] = class_(**{field.name: given.pop(field.name) for field in fields(class_)})
        form: Form = given.pop("form")
        typed = [getattr(group, "typed", {}) for group in (*given.values(), form)]
        paths = [path for path in flat if isinstance(path, Path)]
        with told_to_end(), shown.asked(form.units):
            raise typer.Exit(_ended(lambda: _told(_reached(paths, work, given), form, typed), form))

    run.__signature__ = Signature(options)  # type: ignore[attr-defined]
    run.__annotations__ = {option.name: option.annotation for option in options}
    return run


def _reached(paths: Iterable[Path], work: Callable[..., Result], given: Any) -> Result:
    """The work's result, once every name of a file is one the system can look for."""
    for path in paths:
        try:
            path.stat()
        except (FileNotFoundError, NotADirectoryError):
            continue
        except (OSError, ValueError) as error:
            what = f"cannot be looked for: {getattr(error, 'strerror', None) or error}"
            raise InputError.at(path, what, "name another file or folder") from None
    return work(**given)


def _ended(work: Callable[[], int], form: Form) -> int:
    """The exit status; what is raised on purpose becomes a message."""
    try:
        return work()
    except InputError as error:
        if form.as_json:
            _print_said(status="invalid", problems=error.problems)
        else:
            _complain(error.problems, form)
            count = sum(not problem.warning for problem in error.problems)
            problems = f"{count} problem{'s' if count != 1 else ''}"
            aside(form).say(f"{problems} to put right; nothing was computed.")
        return INVALID
    except KeelwattError as error:
        typer.echo(f"keelwatt: a bug: {error}\nPlease report it with your files.", err=True)
        if form.as_json:
            print_failure("bug", "keelwatt", str(error), REPORT)
        return BUG
    except KeyboardInterrupt as stopped:
        aside(form).say(str(stopped) or "Stopped before an answer was found.")
        if form.as_json:
            _print_said(status="unproved", partial=True, problems=[])
        return UNPROVED
    except (BrokenPipeError, typer.Exit):
        raise
    except Exception as error:
        if form.as_json:
            print_failure("bug", "keelwatt", f"{type(error).__name__}: {error}", REPORT)
        raise


def _told(result: Result, form: Form, typed: Iterable[Mapping[str, str]]) -> int:
    """As ``_shown``, in commands to paste the options typed."""
    from keelwatt import words

    subject = words.about(result.outing) if result.outing else nullcontext()
    with words.pasting(typed), subject:
        return _shown(result, form)


def _shown(result: Result, form: Form) -> int:
    """Files first, then what is asked for on stdout; everything else on stderr."""
    from keelwatt.report import catalog_screens
    from keelwatt.report.blocks import Say
    from keelwatt.report.screen import Screen

    _write(result.files)
    rewriting = result.rewriting
    asking = rewriting is not None and sys.stdin.isatty()
    backup = None if rewriting is None or asking else _rewritten(rewriting)
    screen = Screen.open(no_color=form.no_color)
    if not form.as_json:
        _complain(result.warnings, form)
        source = [catalog_screens.source(result.catalog)] if result.catalog else []
        with screen.paged() if form.full and not rewriting else nullcontext():
            screen.print((*result.report, *source), full=form.full)
    if rewriting and asking and _confirmed(form):
        backup = _rewritten(rewriting)
    if form.as_json:
        from keelwatt import json

        typer.echo(json.text(result.data(*([backup] if rewriting else []))))
    elif rewriting:
        screen.print(rewriting.done(backup) if backup else [Say("Nothing was written.")])
    return rewriting.refused if rewriting and backup is None else result.status


def _write(files: Iterable[Callable[[], str]]) -> None:
    """Write every file, then tell where those are that could be written."""
    from keelwatt import words

    told: list[str] = []
    try:
        told.extend(write() for write in files)
    finally:
        for line in told:
            typer.echo(words.printable(line), err=True)


def _rewritten(rewriting: Rewriting) -> str:
    """Where the old text is kept."""
    from keelwatt.edit.rewrite import rewrite

    return str(rewrite(rewriting.file, rewriting.after, rewriting.before))


def _confirmed(form: Form) -> bool:
    """Whether what was shown may be written."""
    try:
        return typer.confirm("Write this?", err=form.as_json)
    except typer.Abort:
        return False


def _print_said(**told: Any) -> None:
    from keelwatt import json

    typer.echo(json.text(json.said(**told)))


def _complain(problems: "tuple[Problem, ...]", form: Form) -> None:
    if problems:
        from keelwatt.report import catalog_screens

        aside(form).print(catalog_screens.problems(problems))


def aside(form: Form | None = None) -> "Screen":
    """A screen on stderr."""
    from keelwatt.report.screen import Screen

    return Screen.open(no_color=form is not None and form.no_color, stderr=True)


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
