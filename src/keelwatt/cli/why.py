"""keelwatt why"""

from functools import partial
from typing import Annotated

import typer

from keelwatt.cli.command import EXITS, Result, command
from keelwatt.cli.files import both, outing_at
from keelwatt.cli.options import Choosing, OutingFile


@command
def why(
    outing: OutingFile,
    part: Annotated[str, typer.Argument(metavar="PART", help="The part's id in the catalog.")],
    choosing: Choosing,
) -> Result:
    """keelwatt why outing.toml lfp-12v-100ah

    Why a part is in the best kit, or why not: the rule and number that shut it out, or how much
    dearer or heavier the best kit with it is, and the price at which it would win. Exit status 4
    if no kit meets the outing at all.
    """
    from keelwatt import json
    from keelwatt.explain.why import why as study
    from keelwatt.report.why import why as told

    wanted, parts = both(outing_at(outing), partial(choosing.read, outing))
    result = study(wanted, parts, part, **choosing.wishes)
    return Result(
        partial(json.chosen, result.advice, result),
        told(result),
        EXITS[result.advice.status],
        parts.warnings,
        catalog=parts,
        outing=wanted,
    )
