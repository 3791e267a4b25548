"""--page: an answer as an HTML file, beside what the command prints."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from keelwatt.cli.common import check_new, write_new

PageOption = Annotated[
    Path | None,
    typer.Option(
        "--page",
        metavar="FILE.html",
        help="Also write the answer as one HTML file to read, print or send.",
    ),
]
AgainOption = Annotated[bool, typer.Option("--again", help="Write over files of an earlier run.")]


def check_place(option: str, path: Path | None, *, again: bool, applying: bool) -> None:
    """Refuse a place for one of the files of ``pick`` before any work is done."""
    if path is not None and applying:
        from keelwatt.errors import InputError, Problem

        what, remedy = "does not go with --apply", "apply first, then pick again"
        raise InputError([Problem(option, None, None, None, str(path), what, remedy)])
    check_new(path, again)


def write_page(page: Path, html: Callable[[datetime], str], *, again: bool) -> None:
    """Write the page, dated now, and tell on stderr where it is."""
    text = html(datetime.now().astimezone())
    write_new(page, text, again)
    typer.echo(f"Page: {page} ({len(text.encode()) / 1000:.0f} kB); open it in a browser", err=True)
