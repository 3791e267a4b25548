"""keelwatt odds"""

from functools import partial
from typing import Annotated

import typer

from keelwatt.cli.command import Result, command
from keelwatt.cli.files import both, outing_at
from keelwatt.cli.options import KitFile, OutingFile, Shelf


@command
def odds(
    outing: OutingFile,
    kit: KitFile,
    days: Annotated[
        int | None, typer.Option("--days", metavar="N", help="How many days to draw; else 10000.")
    ] = None,
    seed: Annotated[
        int | None,
        typer.Option("--seed", metavar="N", min=0, help="Another number draws other days; else 1."),
    ] = None,
    *,
    shelf: Shelf,
) -> Result:
    """keelwatt odds outing.toml --kit kit.json

    The odds of getting home: thousands of days drawn about the one you planned, for a kit you have
    or think of.

    Shows the chance of coming home with the reserve and before the battery is flat, how the charge
    left is spread, which unknown matters most, and how much headwind, cold, age and drag the kit
    can take. How far each thing may be off is written under [odds] in the outing.
    """
    from keelwatt import json
    from keelwatt.chance.odds import DAYS, SEED, Boat
    from keelwatt.chance.outlook import outlook
    from keelwatt.files.kit_file import read_kit
    from keelwatt.proof import Assessor
    from keelwatt.report.odds import odds as told

    wanted, parts = both(outing_at(outing), partial(shelf.read, outing))
    assessor = Assessor(wanted, parts)
    boat = Boat(assessor, read_kit(kit, parts, wanted))
    result = outlook(boat, parts, DAYS if days is None else days, SEED if seed is None else seed)
    data = partial(json.answer, "simulated", parts, None, result)
    return Result(data, told(result), catalog=parts, outing=wanted)
