"""keelwatt tune"""

from pathlib import Path
from typing import Annotated

import typer

from keelwatt.cli.common import (
    OK,
    AsJson,
    CatalogFolder,
    NoColor,
    OutingFile,
    both,
    catalog_of,
    confirmed,
    open_screen,
    outing_and_text,
    print_json,
    run,
    warn,
)


def tune(
    outing: OutingFile,
    log: Annotated[Path, typer.Argument(metavar="LOG.csv", help="What was measured (CSV).")],
    kit: Annotated[
        Path,
        typer.Option(
            "--kit", metavar="KIT.json", help="The kit aboard: what `keelwatt pick --json` printed."
        ),
    ],
    write: Annotated[
        bool,
        typer.Option("--write", help="Write the drag factor into the outing; keeps a backup."),
    ] = False,
    catalog: CatalogFolder = None,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt tune outing.toml log.csv --kit kit.json

    Correct the outing's drag factor by what was measured on the water with this kit: what the log
    tells and how surely, old against new, and whether the kit still serves. Nothing is written
    without --write.

    The log is a CSV file with units in its header, as in the catalog. A row is a steady minute:
    speed [km/h] over ground, current [A] at the battery; voltage [V] there, headwind [m/s], stream
    [km/h] (both + against) where you know them, and throttle [%] of full, or step. A row with the
    motor off (throttle 0) tells what the devices draw; devices no says that they were off.

    Where the stream is unknown, go out and back: rows with the same name under run, and out or back
    under heading, share one stream, and it is found. Or a row is a whole trip: speed, hours [h] and
    charged [Ah], what the charger put back; charge_efficiency [%], else 83 for lead-acid and 95 for
    lithium. A column note is yours. Lines that begin with # are skipped.

    Exit status 3 if the log or the outing must be put right, or the log cannot tell.
    """

    def work() -> int:
        from datetime import date

        from keelwatt.files.kit_file import read_kit
        from keelwatt.files.log import read_log
        from keelwatt.report import tune as shown
        from keelwatt.report import tune_data
        from keelwatt.tuning import tune as study

        (wanted, text), parts, trip = both(
            lambda: outing_and_text(outing), lambda: catalog_of(catalog), lambda: read_log(log)
        )
        aboard = read_kit(kit, parts, wanted)
        result = study.tune(wanted, parts, aboard, trip)
        screen = open_screen(no_color)
        if not as_json:
            warn(parts, no_color)
            warn(trip, no_color)
            shown.tune(screen, result)
        if not write:
            if as_json:
                print_json(tune_data.tune(result, None, None))
            else:
                shown.not_asked(screen)
            return OK
        from keelwatt.edit.rewrite import rewrite
        from keelwatt.report.applied import refused

        change = study.write_in(text, result, date.today())
        if not as_json:
            shown.difference(screen, change)
        backup = str(rewrite(outing, change.text, text)) if confirmed(as_json) else None
        if as_json:
            print_json(tune_data.tune(result, change, backup))
        elif backup is None:
            refused(screen)
        else:
            shown.done(screen, result, backup)
        return OK

    run(work, as_json, no_color)
