"""keelwatt batch"""

from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Annotated

import typer

from keelwatt.cli.command import Result, aside, command
from keelwatt.cli.ending import BUG, INVALID, OK, UNPROVED
from keelwatt.cli.options import Choosing

STATUS_EXITS = {"done": OK, "invalid": INVALID, "unproved": UNPROVED, "bug": BUG}


@command
def batch(
    outings: Annotated[
        list[Path], typer.Argument(metavar="OUTINGS...", help="The outing files (TOML).")
    ],
    out: Annotated[
        Path, typer.Option("--out", metavar="FILE.csv", help="Where the rows are written.")
    ],
    workers: Annotated[
        int | None,
        typer.Option("--workers", metavar="N", min=1, help="Processes; else one for each core."),
    ] = None,
    *,
    choosing: Choosing,
    again: Annotated[
        bool,
        typer.Option(
            "--again/--resume",
            help="Work out every row of an earlier FILE.csv again; else those rows are kept.",
        ),
    ] = False,
) -> Result:
    """keelwatt batch outings/*.toml --out results.csv

    Choose and prove a kit for many outings: one row each, in the order named, written as they are
    done. Stop it when you like: the same command goes on where it stopped, and works out only
    what changed. Rows of outings no longer named are left out.

    An outing to be put right, or one that no kit fits, is a row too and says why. Exit status 0
    if every row was worked out, 3 if some outings are to be put right.
    """
    from concurrent.futures import BrokenExecutor

    from joblib import cpu_count

    from keelwatt import json
    from keelwatt.batches.run import Batch
    from keelwatt.batches.run import batch as study
    from keelwatt.report.batch import batch as told

    parts = choosing.read()
    so_far: list[Batch] = []
    stopped = ""

    def progress(latest: Batch) -> None:
        so_far[:] = [latest]
        with suppress(BrokenPipeError):
            typer.echo(f"{len(latest.rows)} of {latest.total} done", err=True)

    try:
        study(
            outings,
            parts,
            out,
            **choosing.wishes,
            workers=workers or cpu_count(),
            again=again,
            progress=progress,
        )
    except KeyboardInterrupt:
        stopped = "Stopped; the same command goes on from here."
    except BrokenExecutor:
        stopped = "A worker was killed, perhaps for want of memory: try fewer --workers."
    if not so_far:
        raise KeyboardInterrupt(stopped)
    if stopped:
        aside().say(stopped)
    result = so_far[0]
    return Result(
        partial(json.answer, result.status, parts, choosing.solver.value, result),
        told(result),
        STATUS_EXITS[result.status],
        parts.warnings,
        catalog=parts,
    )
