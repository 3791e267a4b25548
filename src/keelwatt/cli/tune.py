"""keelwatt tune"""

from functools import partial
from pathlib import Path
from typing import Annotated, Any

import typer

from keelwatt.cli.command import Result, Rewriting, command
from keelwatt.cli.ending import OK
from keelwatt.cli.files import both, outing_and_text
from keelwatt.cli.options import OutingFile, Shelf


@command
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
    *,
    shelf: Shelf,
) -> Result:
    """keelwatt tune outing.toml log.csv --kit kit.json

    Correct the outing's drag factor by what was measured on the water with this kit: the log's
    result and its error, old against new, and whether the kit still serves. Nothing is written
    without --write.

    The log is a CSV file with units in its header, as in the catalog. A row is a steady minute:
    speed [km/h] over ground, current [A] at the battery; voltage [V] there, headwind [m/s], stream
    [km/h] (both + against) where you know them, and throttle [%] of full, or step. A row with the
    motor off (throttle 0) shows what the devices draw; devices no says that they were off.

    Where the stream is unknown, go out and back: rows with the same name under run, and out or back
    under heading, share one stream, and it is found. Or a row is a whole trip: speed, hours [h] and
    charged [Ah], what the charger put back; charge_efficiency [%], else 90 for lead-acid and 98 for
    lithium. One whole trip alone will do, and leaves much open. A column note is yours. Lines that
    begin with # are skipped.

    Exit status 3 if the log or the outing must be put right, or the log does not suffice.
    """
    from datetime import date

    from keelwatt import json
    from keelwatt.files.kit_file import read_kit
    from keelwatt.files.log import read_log
    from keelwatt.report import tune as told
    from keelwatt.tuning.fit import LEVEL
    from keelwatt.tuning.tune import tune as study
    from keelwatt.tuning.tune import write_in

    (wanted, text), parts, trip = both(
        lambda: outing_and_text(outing), partial(shelf.read, outing), lambda: read_log(log)
    )
    result = study(wanted, parts, read_kit(kit, parts, wanted), trip)
    change = write_in(text, result, date.today()) if write else None

    def data(backup: str | None = None) -> dict[str, Any]:
        written = {"difference": change and change.difference} | json.written(backup)
        return json.answer("tuned", parts, None, {"level": LEVEL}, result, written)

    rewriting = None
    if change:
        done = partial(told.done, result)
        rewriting = Rewriting(outing, text, change.text, done, refused=OK)
    return Result(
        data,
        told.tune(result, change),
        warnings=parts.warnings + result.warnings,
        rewriting=rewriting,
        catalog=parts,
        outing=wanted,
    )
