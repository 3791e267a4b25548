"""keelwatt catalog"""

from typing import Annotated

import typer

from keelwatt.cli.common import (
    OK,
    AsJson,
    CatalogFolder,
    Kind,
    NoColor,
    catalog_of,
    open_screen,
    print_json,
    run,
)


def check(
    catalog: CatalogFolder = None, as_json: AsJson = False, no_color: NoColor = False
) -> None:
    """keelwatt catalog check --catalog my-boat/catalog

    Every problem of the catalog, with file, row and column.
    """

    def work() -> int:
        parts = catalog_of(catalog)
        if as_json:
            from keelwatt.report import data

            print_json(data.checked(parts))
        else:
            from keelwatt.report import catalog_screens

            catalog_screens.check(open_screen(no_color), parts)
        return OK

    run(work, as_json, no_color)


def listing(
    kinds: Annotated[
        list[Kind] | None, typer.Argument(metavar="[KIND]...", help="batteries, motors, ...")
    ] = None,
    catalog: CatalogFolder = None,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt catalog list batteries

    The parts on offer as tables: all of them, or some kinds.
    """

    def work() -> int:
        parts = catalog_of(catalog)
        if as_json:
            from keelwatt.report import data

            print_json(data.parts(parts, [kind.value for kind in kinds or Kind]))
        else:
            from keelwatt.report import catalog_screens

            catalog_screens.listing(
                open_screen(no_color), parts, [kind.value for kind in kinds or Kind]
            )
        return OK

    run(work, as_json, no_color)
