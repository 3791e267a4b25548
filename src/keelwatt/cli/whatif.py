"""keelwatt whatif"""

from datetime import datetime
from functools import partial
from itertools import chain
from typing import Annotated, Any

import typer

from keelwatt.cli.command import EXITS, Result, Rewriting, command
from keelwatt.cli.files import both, page_file, page_place
from keelwatt.cli.options import OutingFile, PageFile, Timed


@command
def whatif(
    outing: OutingFile,
    settings: Annotated[
        list[str],
        typer.Option("--set", metavar="KEY=VALUE", help="May be given several times."),
    ],
    write: Annotated[
        bool, typer.Option("--write", help="Make the change in the outing too; keeps a backup.")
    ] = False,
    *,
    choosing: Timed,
    paper: PageFile,
) -> Result:
    """keelwatt whatif outing.toml --set hours=+2h --set budget=900

    Compare the best kit before and after a change: what to buy instead, cost, mass and room. The
    file stays as it is without --write. Exit status 4 if no kit meets the new outing.

    KEY is hours (every leg and device alike), speed (every leg), by, any other wish as stretch
    --over names it (budget, lift, trim); or a key of the file: limits.budget, leg.home.speed,
    leg.1.speed, parts.own. VALUE is "3 mph" for the value itself, "+2h" or "-5 kg" to change it,
    "-10%" to change it by a share (the reserve and other shares: by percentage points), none to
    give a wish up. KEY==VALUE keeps a + or - as part of the value.
    """
    from keelwatt import json
    from keelwatt.edit.edit import edited
    from keelwatt.edit.whatif import whatif as study
    from keelwatt.files.outing import read_text
    from keelwatt.report.applied import changed_lines, made
    from keelwatt.report.whatif import whatif as told

    def text() -> str:
        words = read_text(outing)
        edited(words, str(outing), settings)
        return words

    words, parts, _ = both(text, partial(choosing.read, outing), lambda: page_place(paper))
    result = study(words, str(outing), parts, settings, **choosing.wishes)

    def page(made: datetime) -> str:
        from keelwatt.report.page.studies import whatif_page

        return whatif_page(result, made)

    def data(backup: str | None = None) -> dict[str, Any]:
        written = json.written(backup) if write else {}
        return json.answer(after.status, after.catalog, after.solver, result, written)

    after = result.after
    status = EXITS[after.status]
    rewriting = None
    if write and result.edits:
        rewriting = Rewriting(outing, words, result.text, partial(made, result), refused=status)
    return Result(
        data,
        chain(told(result, writing=write), changed_lines(result.changes) if rewriting else ()),
        status,
        parts.warnings,
        page_file(paper, page),
        rewriting,
        catalog=parts,
        outing=after.outing,
    )
