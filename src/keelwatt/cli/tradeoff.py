"""keelwatt tradeoff"""

from datetime import datetime
from functools import partial
from typing import Annotated

import typer

from keelwatt.cli.command import EXITS, Result, command
from keelwatt.cli.files import both, outing_at, page_file, page_place
from keelwatt.cli.options import Choosing, OutingFile, PageFile


@command
def tradeoff(
    outing: OutingFile,
    top: Annotated[
        int | None, typer.Option("--top", metavar="N", min=1, help="Also the N best kits.")
    ] = None,
    within: Annotated[
        str | None,
        typer.Option("--within", metavar="SHARE", help="Also every kit so close to the best: 2%."),
    ] = None,
    *,
    choosing: Choosing,
    paper: PageFile,
) -> Result:
    """keelwatt tradeoff outing.toml --top 5

    The trade-off of price and mass: the best kits, and what changes from each to the next. Any
    other kit costs more or weighs more.

    --top N adds the N best kits that differ in battery, number, motor or place; kits that differ in
    control, wiring or charger only count as one. --within 2% adds those so close to the best.
    """
    from keelwatt import json
    from keelwatt.explain import tradeoff as study
    from keelwatt.explain.advise import decide
    from keelwatt.explain.bounds import share
    from keelwatt.report import tradeoff as told

    wanted, parts, near, _ = both(
        outing_at(outing),
        partial(choosing.read, outing),
        lambda: share("--within", within),
        lambda: page_place(paper),
    )
    advice = decide(wanted, parts, **choosing.wishes)
    result = study.tradeoff(advice)
    asked = top is not None or near is not None
    runners = study.best_kits(advice, top, within=None if top else near) if asked else ()
    close = told.NEAR if near is None else near

    def page(made: datetime) -> str:
        from keelwatt.report.page.studies import tradeoff_page

        return tradeoff_page(advice, result, runners, close, made)

    return Result(
        partial(json.chosen, advice, {"kits": result.points, "best_kits": runners}),
        told.tradeoff(advice, result, runners, close),
        EXITS[advice.status],
        parts.warnings,
        page_file(paper, page),
        catalog=parts,
        outing=wanted,
    )
