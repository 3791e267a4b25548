"""keelwatt stretch"""

from enum import StrEnum
from functools import partial
from typing import Annotated

import typer

from keelwatt.cli.common import (
    EXITS,
    AsJson,
    ByOption,
    CatalogFolder,
    NoColor,
    OutingFile,
    Solver,
    SolverOption,
    both,
    catalog_of,
    open_screen,
    print_json,
    progress,
    run,
    warn,
)
from keelwatt.cli.page import AgainOption, PageOption, check_page, write_page
from keelwatt.limits import OVERS

OverWhat = StrEnum("OverWhat", list(OVERS))  # type: ignore[misc]


def stretch(
    outing: OutingFile,
    over: Annotated[OverWhat, typer.Option("--over", help="Which wish to stretch.")],
    low: Annotated[
        str | None, typer.Option("--from", metavar="AMOUNT", help="Where to begin: 1h, 400, 20%.")
    ] = None,
    high: Annotated[
        str | None, typer.Option("--to", metavar="AMOUNT", help="Where to end: 12h, 900, 60%.")
    ] = None,
    catalog: CatalogFolder = None,
    by: ByOption = None,
    solver: SolverOption = Solver.highs,
    page: PageOption = None,
    again: AgainOption = False,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt stretch outing.toml --over hours --from 1h --to 12h

    The best kit for every amount of one wish, all else as in the outing: each step is exact, from
    breakpoint to breakpoint.

    Over hours the whole day grows, every leg and device alike (1 to 12 h unless told); over speed
    all legs go faster or slower together, in shares of their speeds or as the fastest leg's speed,
    and legs given by distance take as long as they take. Ctrl-C ends a long search: what is done so
    far is printed, and the exit status is 5. Status 4 if nothing fits anywhere.
    """

    def work() -> int:
        from keelwatt.explain.advise import decide
        from keelwatt.explain.bounds import bound
        from keelwatt.explain.stretch import stretch as study
        from keelwatt.files.outing import read_outing
        from keelwatt.report import studies_data

        wanted, parts, _ = both(
            lambda: read_outing(outing),
            lambda: catalog_of(catalog),
            lambda: check_page(page, again=again),
        )
        start, end = both(
            lambda: bound(wanted, over.value, "--from", low),
            lambda: bound(wanted, over.value, "--to", high),
        )
        advice = decide(wanted, parts, by=by.value if by else None, solver=solver.value)
        with progress() as tell:
            result = study(advice, over.value, start, end, progress=tell)

        def write() -> None:
            if page:
                from keelwatt.report.page.studies import stretch_page

                html = partial(stretch_page, advice, result)
                write_page(page, html, again=again)

        if as_json:
            write()
            print_json(studies_data.stretch(advice, result))
        else:
            from keelwatt.report import studies

            warn(parts, no_color)
            studies.stretch(open_screen(no_color), advice, result)
            write()
        return EXITS[studies_data.status_of(result)]

    run(work, as_json, no_color)
