"""keelwatt why"""

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


def why(
    outing: OutingFile,
    part: Annotated[str, typer.Argument(metavar="PART", help="The part's id in the catalog.")],
    catalog: CatalogFolder = None,
    by: ByOption = None,
    solver: SolverOption = Solver.highs,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt why outing.toml lfp-12v-100ah

    Why a part is in the best kit, or why not: the rule and number that shut it out, or how much
    dearer or heavier the best kit with it is, and the price at which it would win. Exit status 4
    if no kit meets the outing at all.
    """

    def work() -> int:
        from keelwatt.explain.why import why as study
        from keelwatt.files.outing import read_outing

        wanted, parts = both(lambda: read_outing(outing), lambda: catalog_of(catalog))
        result = study(wanted, parts, part, by=by.value if by else None, solver=solver.value)
        if as_json:
            from keelwatt.report import studies_data

            print_json(studies_data.why(result))
        else:
            from keelwatt.report import why as screen

            warn(parts, no_color)
            screen.why(open_screen(no_color), result)
        return EXITS[result.advice.status]

    run(work, as_json, no_color)
