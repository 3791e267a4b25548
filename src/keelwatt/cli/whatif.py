"""keelwatt whatif"""

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
from keelwatt.cli.page import AgainOption, PageOption, check_page, write_page


def whatif(
    outing: OutingFile,
    settings: Annotated[
        list[str],
        typer.Option("--set", metavar="KEY=VALUE", help="May be given several times."),
    ],
    catalog: CatalogFolder = None,
    by: ByOption = None,
    solver: SolverOption = Solver.highs,
    seconds: SecondsOption = None,
    explain: Annotated[
        bool,
        typer.Option("--explain", help="Explain even on a very large catalog, which takes long."),
    ] = False,
    page: PageOption = None,
    again: AgainOption = False,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt whatif outing.toml --set hours=+2h --set budget=900

    What to buy instead if the outing were another: cost, mass and room before and after. The file
    stays as it is. Exit status 4 if no kit meets the new outing.

    KEY is hours (every leg and device alike), speed (every leg), by, any other wish as stretch
    --over names it (budget, lift, trim); or a key of the file: limits.budget, leg.home.speed,
    leg.1.speed, parts.own. VALUE is "3 mph" for the value itself, "+2h" or "-5 kg" to change it,
    "-10%" to change it by a share (the reserve and other shares: by percentage points), none to
    give a wish up. KEY==VALUE takes a sign as part of the value.
    """

    def work() -> int:
        from keelwatt.edit.edit import edited
        from keelwatt.edit.whatif import whatif as study
        from keelwatt.files.outing import read_text

        def text() -> str:
            words = read_text(outing)
            edited(words, str(outing), settings)
            return words

        words, parts, _ = both(
            text, lambda: catalog_of(catalog), lambda: check_page(page, again=again)
        )
        result = study(
            words,
            str(outing),
            parts,
            settings,
            by=by.value if by else None,
            solver=solver.value,
            seconds=seconds,
            explain=explain or None,
        )

        def write() -> None:
            if page:
                from keelwatt.report.page.studies import whatif_page

                html = partial(whatif_page, result)
                write_page(page, html, again=again)

        if as_json:
            from keelwatt.report import whatif_data

            write()
            print_json(whatif_data.whatif(result))
        else:
            from keelwatt.report import whatif as screen

            warn(parts, no_color)
            screen.whatif(open_screen(no_color), result)
            write()
        return EXITS[result.after.status]

    run(work, as_json, no_color)
