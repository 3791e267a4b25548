"""How a command line ends that no command can end: wrong usage, and answers nobody takes."""

import errno
import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from shutil import get_terminal_size
from textwrap import fill
from threading import current_thread, main_thread
from typing import Any

import typer

from keelwatt.__main__ import STOPPED
from keelwatt.cli.help import Group

OK, BUG, USAGE, INVALID, IMPOSSIBLE, UNPROVED = range(6)

WRONG_USAGE: type[Exception] = typer.BadParameter.__bases__[0]
"""What typer raises for every wrong command line; it has no public name."""

FULL = {errno.ENOSPC, errno.EFBIG, errno.EIO}
"""Why an open stream takes no more; errors of a file that is opened or moved name it."""


class Commands(Group):
    """The commands, their usage errors as data too, and an exit status for every end."""

    def main(self, args: Any = None, **options: Any) -> Any:  # type: ignore[override]
        words = sys.argv[1:] if args is None else list(args)
        try:
            status = self._status(words, options)
            if sys.stdout is not None:
                sys.stdout.flush()
        except (SystemExit, OSError) as ended:
            status = _unheard(ended)
        try:
            if sys.stderr is not None:
                sys.stderr.flush()
        except OSError:
            _silence(sys.stderr)
        sys.exit(status)

    def _status(self, words: list[str], options: dict[str, Any]) -> int:
        try:
            return super().main(words, **options | {"standalone_mode": False}) or OK
        except typer.Abort:
            return STOPPED
        except WRONG_USAGE as error:
            _told(error, as_json="--json" in words)
            return USAGE


@contextmanager
def told_to_end() -> Iterator[None]:
    """Whoever ends the process, or closes its terminal, stops it as Ctrl-C does: nothing half
    written stays behind."""
    kinds = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    here = current_thread() is main_thread()
    heard = [kind for kind in kinds if here and signal.getsignal(kind) == signal.SIG_DFL]
    for kind in heard:
        signal.signal(kind, signal.default_int_handler)
    try:
        yield
    finally:
        for kind in heard:
            signal.signal(kind, signal.SIG_DFL)


def _told(error: Any, *, as_json: bool) -> None:
    """Wrong usage in typer's words, and as data; what was typed cannot turn the screen's text.
    Newer typer lets pydantic read choices, which begins with the name of its exception."""
    from keelwatt.words import printable

    told = " ".join(printable(line.strip()) for line in error.format_message().splitlines())
    told = told.replace(": Value error, ", ": ")
    wrapped = fill(f"Error: {told}", get_terminal_size().columns).removeprefix("Error: ")
    error.format_message = lambda: wrapped
    error.show()
    if as_json:
        command = error.ctx.command_path if error.ctx else "keelwatt"
        print_failure("usage", "the command line", told, f"see {command} --help")


def print_failure(status: str, file: str, what: str, remedy: str) -> None:
    """The data where there is no answer: one problem."""
    from keelwatt import json
    from keelwatt.errors import Problem

    problem = Problem(file=file, what=what, remedy=remedy)
    typer.echo(json.text(json.said(status=status, problems=[problem])))


def _unheard(ended: SystemExit | OSError) -> int:
    """The status if stdout takes no more: a closed pipe is no fault, a full disk is told.

    Typer and rich answer a closed pipe with a SystemExit of their own, raised from the error.
    """
    if isinstance(ended, BrokenPipeError) or isinstance(ended.__context__, BrokenPipeError):
        status = OK
    elif isinstance(ended, OSError) and ended.errno in FULL and ended.filename is None:
        typer.echo(f"keelwatt: the answer could not be written: {ended.strerror}", err=True)
        status = BUG
    else:
        raise ended
    for stream in (sys.stdout, sys.stderr):
        _silence(stream)
    return status


def _silence(stream: Any) -> None:
    """What is still to be written goes nowhere, so that Python's own last flush has no fault."""
    with suppress(AttributeError, OSError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
