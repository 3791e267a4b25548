"""keelwatt compare"""

from functools import partial
from typing import Annotated

import typer

from keelwatt.cli.command import Result, command
from keelwatt.cli.ending import IMPOSSIBLE, OK
from keelwatt.cli.files import both, kit_at, outing_at
from keelwatt.cli.options import Choosing, OutingFile


@command
def compare(
    outing: OutingFile,
    kits: Annotated[
        list[str], typer.Argument(metavar="KIT KIT...", help="Files, ids of parts, or best.")
    ],
    choosing: Choosing,
) -> Result:
    """keelwatt compare outing.toml best kit.json lfp-12v-100ah+motor-12v-160n-stepped

    Kits side by side: what each has of every wish, and what it breaks. Exit status 4 if none of
    them meets the outing.

    A KIT is a file (what pick --json printed), or ids joined by +, as 2xagm-12v-100ah+chopper-50a:
    the best kit with these parts, with wishes unmet if it must be. "best" is what pick finds; one
    KIT alone is compared with it.
    """
    from keelwatt import json
    from keelwatt.explain.advise import check_parts
    from keelwatt.explain.compare import compare as study
    from keelwatt.report.compare import compare as told

    wanted, parts = both(outing_at(outing), partial(choosing.read, outing))
    by = choosing.wishes["by"]
    names = kits if len(kits) > 1 else ["best", *kits]
    check_parts(wanted, parts)
    found = both(*(partial(kit_at, text, wanted, parts, by) for text in names))
    result = study(wanted, parts, zip(names, found, strict=True))
    some = any(kit.proof.holds for kit in result)
    return Result(
        partial(json.compared, result, parts, "holds" if some else "fails"),
        told(wanted, result),
        OK if some else IMPOSSIBLE,
        parts.warnings,
        catalog=parts,
        outing=wanted,
    )
