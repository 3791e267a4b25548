"""keelwatt worth"""

from functools import partial
from typing import Annotated

import typer

from keelwatt.cli.command import EXITS, Result, command
from keelwatt.cli.files import both, kit_at, outing_at
from keelwatt.cli.options import Choosing, OutingFile


@command
def worth(
    outing: OutingFile,
    part: Annotated[str, typer.Argument(metavar="PART", help="The part's id in the catalog.")],
    kit: Annotated[
        str | None,
        typer.Option("--kit", metavar="KIT", help="A kit file, or ids of parts joined by +."),
    ] = None,
    *,
    choosing: Choosing,
) -> Result:
    """keelwatt worth outing.toml chopper-12-24v-50a

    What a part buys, in hours, money, mass and top speed: in one kit with it and without it, and
    between the best kits with it and without it. Exit status 4 if no kit meets the outing at all.

    The one kit is the best kit with the part, or yours: --kit kit.json. As little else as possible
    changes in it; hours and other wishes may go unmet, rules never.
    """
    from keelwatt import json
    from keelwatt.explain.why import kind_of
    from keelwatt.explain.worth import worth as study
    from keelwatt.report.worth import worth as told

    wanted, parts = both(outing_at(outing), partial(choosing.read, outing))
    wishes = choosing.wishes
    _, given = both(
        partial(kind_of, parts, part),
        lambda: kit_at(kit, wanted, parts, wishes["by"]) if kit else None,
    )
    result = study(wanted, parts, part, given, **wishes)
    return Result(
        partial(json.chosen, result.advice, result),
        told(result, kit),
        EXITS[result.advice.status],
        parts.warnings,
        catalog=parts,
        outing=wanted,
    )
