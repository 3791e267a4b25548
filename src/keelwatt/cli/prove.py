"""keelwatt prove"""

from functools import partial

from keelwatt.cli.command import Result, command
from keelwatt.cli.ending import IMPOSSIBLE, OK
from keelwatt.cli.files import both, outing_at
from keelwatt.cli.options import KitFile, OutingFile, Shelf


@command
def prove(outing: OutingFile, kit: KitFile, shelf: Shelf) -> Result:
    """keelwatt prove outing.toml --kit kit.json

    Check any kit against every limit, and simulate its day minute by minute. Exit status 0 if the
    kit holds, 4 if it does not.

    A kit file is what pick --json prints, or its "kit" alone:
    {"battery": {"id": ..., "series": 1, "parallel": 1, "compartment": ..., "box": null},
    "motor": {"id": ..., "mount": ...}, "controller": null, "cable": {"id": ...},
    "fuse": ..., "connector": ..., "charger": null}
    """
    from keelwatt import json
    from keelwatt.files.kit_file import read_kit
    from keelwatt.proof import Assessor
    from keelwatt.proof import prove as simulate
    from keelwatt.report.pick import prove as told

    wanted, parts = both(outing_at(outing), partial(shelf.read, outing))
    proof = simulate(Assessor(wanted, parts), read_kit(kit, parts, wanted))
    return Result(
        partial(json.answer, "holds" if proof.holds else "fails", parts, None, proof),
        told(proof, wanted.title),
        OK if proof.holds else IMPOSSIBLE,
        catalog=parts,
        outing=wanted,
    )
