"""keelwatt prove"""

from keelwatt.cli.common import (
    IMPOSSIBLE,
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


def prove(
    outing: OutingFile,
    kit: KitFile,
    catalog: CatalogFolder = None,
    as_json: AsJson = False,
    no_color: NoColor = False,
) -> None:
    """keelwatt prove outing.toml --kit kit.json

    Check any kit against every limit, and simulate its day minute by minute. Exit status 0 if the
    kit holds, 4 if it does not.

    A kit file is what pick --json prints, or its "kit" alone:
    {"battery": {"id": ..., "series": 1, "parallel": 1, "compartment": ...},
    "motor": {"id": ..., "mount": ...}, "controller": null, "cable": {"id": ...},
    "fuse": ..., "connector": ..., "charger": null}
    """

    def work() -> int:
        from keelwatt.files.kit_file import read_kit
        from keelwatt.files.outing import read_outing
        from keelwatt.prove import Assessor
        from keelwatt.prove import prove as simulate

        wanted, parts = both(lambda: read_outing(outing), lambda: catalog_of(catalog))
        assessor = Assessor(wanted, parts)
        proof = simulate(assessor, read_kit(kit, parts, wanted))
        if as_json:
            from keelwatt.report import data

            print_json(data.proof(proof, parts))
        else:
            from keelwatt.report import terminal

            terminal.prove(open_screen(no_color), proof, wanted.title)
        return OK if proof.holds else IMPOSSIBLE

    run(work, as_json, no_color)
