"""keelwatt odds"""

from typing import Annotated

import typer

from keelwatt.cli.common import (
    OK,
    AsJson,
    CatalogFolder,
    KitFile,
    NoColor,
    OutingFile,
    both,
    catalog_of,
    open_screen,
    print_json,
    run,
)


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
    catalog: CatalogFolder = None,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt odds outing.toml --kit kit.json

    The odds of getting home: thousands of days drawn about the one you planned, for a kit you have
    or think of.

    Tells the chance of coming home with the reserve and before the battery is flat, how the charge
    left is spread, which unknown matters most, and how much headwind, cold, age and drag the kit
    stands. How far each thing may be off is written under [odds] in the outing.
    """

    def work() -> int:
        from keelwatt.chance.odds import DAYS, SEED, Boat
        from keelwatt.chance.outlook import outlook
        from keelwatt.files.kit_file import read_kit
        from keelwatt.files.outing import read_outing
        from keelwatt.prove import Assessor

        wanted, parts = both(lambda: read_outing(outing), lambda: catalog_of(catalog))
        assessor = Assessor(wanted, parts)
        boat = Boat(assessor, read_kit(kit, parts, wanted))
        result = outlook(
            boat, parts, DAYS if days is None else days, SEED if seed is None else seed
        )
        if as_json:
            from keelwatt.report import odds_data

            print_json(odds_data.odds(result))
        else:
            from keelwatt.report import odds as screens

            screens.odds(open_screen(no_color), result)
        return OK

    run(work, as_json, no_color)
