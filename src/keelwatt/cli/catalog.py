"""keelwatt catalog"""

from enum import StrEnum
from functools import partial
from typing import Annotated

import typer

from keelwatt.cli.command import Result, command
from keelwatt.cli.options import Shelf


class Kind(StrEnum):
    batteries = "batteries"
    motors = "motors"
    controllers = "controllers"
    cables = "cables"
    fuses = "fuses"
    connectors = "connectors"
    chargers = "chargers"
    fittings = "fittings"


@command
def check(shelf: Shelf) -> Result:
    """keelwatt catalog check --catalog my-boat/catalog

    Every problem of the catalog, with file, row and column.
    """
    from keelwatt import json
    from keelwatt.files.catalog.assumed import assumed
    from keelwatt.report.catalog_screens import check as told

    parts = shelf.read()
    data = partial(
        json.said,
        status="valid",
        parts={kind: len(some) for kind, some in parts.shelves().items()},
        warnings=parts.warnings,
        assumed=tuple(assumed(parts)),
        **json.source(parts),
    )
    return Result(data, told(parts), catalog=parts)


@command
def listing(
    kinds: Annotated[
        list[Kind] | None, typer.Argument(metavar="[KIND]...", help="batteries, motors, ...")
    ] = None,
    *,
    shelf: Shelf,
) -> Result:
    """keelwatt catalog list batteries

    The parts on offer as tables: all of them, or some kinds.
    """
    from keelwatt import json
    from keelwatt.report.catalog_screens import listing as told

    parts = shelf.read()
    shown = {kind.value: parts.shelves()[kind.value] for kind in kinds or Kind}
    data = partial(json.said, parts=shown, **json.source(parts))
    return Result(data, told(parts, shown), catalog=parts)
