"""keelwatt tradeoff"""

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
    run,
    warn,
)
from keelwatt.cli.page import AgainOption, PageOption, check_page, write_page


def tradeoff(
    outing: OutingFile,
    top: Annotated[
        int | None, typer.Option("--top", metavar="N", min=1, help="Also the N best kits.")
    ] = None,
    within: Annotated[
        str | None,
        typer.Option("--within", metavar="SHARE", help="Also every kit so close to the best: 2%."),
    ] = None,
    catalog: CatalogFolder = None,
    by: ByOption = None,
    solver: SolverOption = Solver.highs,
    page: PageOption = None,
    again: AgainOption = False,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt tradeoff outing.toml --top 5

    Every kit that is not beaten on both price and mass, and what changes from each to the next.

    --top N adds the N best kits that differ in battery, motor or control, in number or place; kits
    that differ in wiring or charger only count as one. --within 2% adds those so close to the best.
    """

    def work() -> int:
        from keelwatt.explain import tradeoff as study
        from keelwatt.explain.advise import decide
        from keelwatt.explain.bounds import share
        from keelwatt.files.outing import read_outing

        wanted, parts, near, _ = both(
            lambda: read_outing(outing),
            lambda: catalog_of(catalog),
            lambda: share("--within", within),
            lambda: check_page(page, again=again),
        )
        advice = decide(wanted, parts, by=by.value if by else None, solver=solver.value)
        result = study.tradeoff(advice)
        asked = top is not None or near is not None
        runners = study.best_kits(advice, top, within=None if top else near) if asked else ()

        def write() -> None:
            if page:
                from keelwatt.report.page.studies import tradeoff_page

                html = partial(tradeoff_page, advice, result, runners, near)
                write_page(page, html, again=again)

        if as_json:
            from keelwatt.report import studies_data

            write()
            print_json(studies_data.tradeoff(advice, result, runners))
        else:
            from keelwatt.report import tradeoff as screens

            warn(parts, no_color)
            screen = open_screen(no_color)
            close = screens.NEAR if near is None else near
            screens.tradeoff(screen, advice, result, runners, close)
            write()
        return EXITS[advice.status]

    run(work, as_json, no_color)
