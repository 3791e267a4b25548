"""keelwatt pick"""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelwatt.cli import papers
from keelwatt.cli.common import (
    EXITS,
    AsJson,
    ByOption,
    CatalogFolder,
    NoColor,
    OutingFile,
    SecondsOption,
    Solver,
    SolverOption,
    both,
    catalog_of,
    open_screen,
    outing_and_text,
    print_json,
    run,
    warn,
)
from keelwatt.cli.page import AgainOption, PageOption, write_page
from keelwatt.cli.sure import SureOption, advised, chance_of, show, sure_data

if TYPE_CHECKING:
    from keelwatt.explain.tradeoff import Runner


def pick(
    outing: OutingFile,
    catalog: CatalogFolder = None,
    by: ByOption = None,
    solver: SolverOption = Solver.highs,
    seconds: SecondsOption = None,
    left_out: Annotated[
        bool, typer.Option("--left-out", help="Also list the parts no kit could use, and why.")
    ] = False,
    top: Annotated[
        int | None,
        typer.Option("--top", metavar="N", min=1, help="Also the N best kits that differ."),
    ] = None,
    way_out: Annotated[
        int | None,
        typer.Option(
            "--apply", metavar="N", min=1, help="Write way out N into the outing; keeps a backup."
        ),
    ] = None,
    chance: SureOption = None,
    sheet: Annotated[
        bool, typer.Option("--sheet", help="Also the wiring sheet: what to cut, join and test.")
    ] = False,
    shopping: Annotated[
        Path | None,
        typer.Option("--shopping", metavar="FILE.csv", help="Write the shopping list as a table."),
    ] = None,
    feet: Annotated[
        bool, typer.Option("--feet", help="Cable is sold by the foot; else by the metre.")
    ] = False,
    page: PageOption = None,
    again: AgainOption = False,
    explain: Annotated[
        bool,
        typer.Option("--explain", help="Explain even on a very large catalog, which takes long."),
    ] = False,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt pick outing.toml --by mass

    Choose the best kit for an outing; show it, its limits and what binds. Where nothing fits, show
    what clashes and every way out; --apply 2 writes the second into the outing. With --sure 95%,
    the best kit whose day goes as planned on 95 of 100 days drawn about it.
    """

    def work() -> int:
        (wanted, text), parts, share, *_ = both(
            lambda: outing_and_text(outing),
            lambda: catalog_of(catalog),
            lambda: chance_of(chance, way_out),
            lambda: papers.check_papers(shopping, page, again=again, applying=way_out is not None),
        )
        wishes: dict[str, Any] = {
            "by": by.value if by else None,
            "solver": solver.value,
            "seconds": seconds,
            "explain": True if explain or left_out or way_out else None,
        }
        advice, certain = advised(wanted, parts, share, **wishes)
        if way_out is not None:
            from keelwatt.cli.apply import apply

            return apply(outing, text, advice, way_out, as_json=as_json, no_color=no_color)
        runners: tuple[Runner, ...] = ()
        if top and advice.status == "best":
            from keelwatt.explain.tradeoff import best_kits

            runners = best_kits(advice, top)

        def write() -> None:
            if shopping is not None:
                papers.write_shopping(shopping, advice, feet=feet, again=again)
            if page is not None:
                from keelwatt.report.page.answer import answer

                write_page(page, partial(answer, advice, certain, feet=feet), again=again)

        if as_json:
            from keelwatt.report import data

            write()
            more: dict[str, Any] = {}
            if top:
                from keelwatt.report import studies_data

                more["best_kits"] = studies_data.best_kits(runners)
            more |= sure_data(certain)
            if sheet:
                more |= papers.sheet_data(advice)
            print_json(data.pick(advice) | more)
        else:
            warn(parts, no_color)
            screen = open_screen(no_color)
            show(screen, advice, certain, left_out=left_out)
            if runners:
                from keelwatt.report import tradeoff

                tradeoff.best_kits(screen, advice, runners, tradeoff.NEAR)
            if sheet:
                papers.show_sheet(screen, advice, feet=feet)
            write()
        return EXITS[advice.status]

    run(work, as_json, no_color)
