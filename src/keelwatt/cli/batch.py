"""keelwatt batch"""

from pathlib import Path
from typing import Annotated

import typer

from keelwatt.cli.common import (
    BUG,
    INVALID,
    OK,
    UNPROVED,
    AsJson,
    ByOption,
    CatalogFolder,
    NoColor,
    Solver,
    SolverOption,
    catalog_of,
    open_screen,
    print_json,
    run,
    warn,
)

STATUS_EXITS = {"done": OK, "invalid": INVALID, "unproved": UNPROVED, "bug": BUG}


def batch(
    outings: Annotated[
        list[Path], typer.Argument(metavar="OUTINGS...", help="The outing files (TOML).")
    ],
    out: Annotated[
        Path, typer.Option("--out", metavar="FILE.csv", help="Where the rows are written.")
    ],
    workers: Annotated[
        int | None, typer.Option("--workers", min=1, help="Processes; else one for each core.")
    ] = None,
    catalog: CatalogFolder = None,
    by: ByOption = None,
    solver: SolverOption = Solver.highs,
    again: Annotated[
        bool,
        typer.Option(
            "--again/--resume",
            help="Work every row out anew, and write over whatever FILE.csv holds; "
            "else rows already there are kept.",
        ),
    ] = False,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt batch outings/*.toml --out results.csv

    Choose and prove a kit for many outings: one row each, in the order named, written as they are
    done. Stop it when you like: the same command goes on where it stopped, and works out anew only
    what changed. Rows of outings no longer named are left out.

    An outing to be put right, or one that no kit fits, is a row too and tells why. Exit status 0
    if every row was worked out, 3 if some outings are to be put right.
    """

    def work() -> int:
        from concurrent.futures import BrokenExecutor

        from joblib import cpu_count

        from keelwatt.batch.run import Batch
        from keelwatt.batch.run import batch as study

        parts = catalog_of(catalog)
        aside = open_screen(no_color, stderr=True)
        so_far: list[Batch] = []

        def progress(latest: Batch) -> None:
            so_far[:] = [latest]
            aside.say(f"{len(latest.rows)} of {latest.total} done")

        try:
            study(
                outings,
                parts,
                out,
                by=by.value if by else None,
                solver=solver.value,
                workers=workers or cpu_count(),
                again=again,
                progress=progress,
            )
        except KeyboardInterrupt:
            aside.say("Stopped; the same command goes on from here.")
        except BrokenExecutor:
            aside.say("A worker was killed, perhaps for want of memory: try fewer --workers.")
        if not so_far:
            return UNPROVED
        if as_json:
            from keelwatt.report import batch_data

            print_json(batch_data.batch(so_far[0], parts.sha256, solver.value))
        else:
            from keelwatt.report import batch as present

            warn(parts, no_color)
            present.batch(open_screen(no_color), so_far[0])
        return STATUS_EXITS[so_far[0].status]

    run(work, as_json, no_color)
