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

BEGINS = "<!-- made by keelwatt -->"
"""Every page's first line."""


def check_page(path: Path | None, *, again: bool) -> None:
    """Refuse a place for a page before any work is done."""
    check_new(path, BEGINS, again=again)


def write_page(page: Path, html: Callable[[datetime], str], *, again: bool) -> None:
    """Write the page, dated now, and tell on stderr where it is."""
    text = html(datetime.now().astimezone())
    write_new(page, text, BEGINS, again=again)
    typer.echo(f"Page: {page} ({len(text.encode()) / 1000:.0f} kB); open it in a browser", err=True)
