"""keelwatt pick"""

from typing import TYPE_CHECKING, Annotated

import typer

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
    print_json,
    run,
    warn,
)

if TYPE_CHECKING:
    from keelwatt.outing import Outing


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
    explain: Annotated[
        bool,
        typer.Option("--explain", help="Explain even on a very large catalog, which takes long."),
    ] = False,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt pick outing.toml --by mass

    Choose the best kit for an outing; show it, its limits and what binds. Where nothing fits, show
    what clashes and every way out; --apply 2 writes the second into the outing.
    """

    def work() -> int:
        from keelwatt.advise import advise
        from keelwatt.outing import outing_from_text, read_text

        def read() -> "tuple[str, Outing]":
            text = read_text(outing)
            return text, outing_from_text(text, str(outing))

        (text, wanted), parts = both(read, lambda: catalog_of(catalog))
        advice = advise(
            wanted,
            parts,
            by=by.value if by else None,
            solver=solver.value,
            seconds=seconds,
            explain=True if explain or left_out or way_out else None,
        )
        if way_out is not None:
            from keelwatt.cli.apply import apply

            return apply(outing, text, advice, way_out, as_json=as_json, no_color=no_color)
        from keelwatt.studies.tradeoff import best_kits

        runners = best_kits(advice, top) if top and advice.status == "best" else ()
        if as_json:
            from keelwatt.present import data, studies_data

            more = {"best_kits": studies_data.best_kits(runners)} if top else {}
            print_json(data.pick(advice) | more)
        else:
            from keelwatt.present import terminal, tradeoff

            warn(parts, no_color)
            screen = open_screen(no_color)
            terminal.pick(screen, advice, left_out=left_out)
            if runners:
                tradeoff.best_kits(screen, advice, runners, tradeoff.NEAR)
        return EXITS[advice.status]

    run(work, as_json, no_color)
