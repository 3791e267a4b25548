"""keelwatt pick"""

from typing import Annotated

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


def pick(
    outing: OutingFile,
    catalog: CatalogFolder = None,
    by: ByOption = None,
    solver: SolverOption = Solver.highs,
    seconds: SecondsOption = None,
    left_out: Annotated[
        bool, typer.Option("--left-out", help="Also list the parts no kit could use, and why.")
    ] = False,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt pick outing.toml --by mass

    Choose the best kit for an outing; show it, its limits and what binds.
    """

    def work() -> int:
        from keelwatt.advise import advise
        from keelwatt.outing import read_outing

        wanted, parts = both(lambda: read_outing(outing), lambda: catalog_of(catalog))
        advice = advise(
            wanted,
            parts,
            by=by.value if by else None,
            solver=solver.value,
            seconds=seconds,
        )
        if as_json:
            from keelwatt.present import data

            print_json(data.pick(advice))
        else:
            from keelwatt.present import terminal

            warn(parts, no_color)
            terminal.pick(open_screen(no_color), advice, left_out=left_out)
        return EXITS[advice.status]

    run(work, as_json, no_color)
