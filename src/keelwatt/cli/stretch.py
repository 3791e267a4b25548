"""keelwatt stretch"""

from datetime import datetime
from enum import StrEnum
from functools import partial
from typing import Annotated

import typer

from keelwatt.cli.command import EXITS, Result, command, progress
from keelwatt.cli.files import both, outing_at, page_file, page_place
from keelwatt.cli.options import Choosing, OutingFile, PageFile
from keelwatt.limits import OVERS

OverWhat = StrEnum("OverWhat", list(OVERS))  # type: ignore[misc]


@command
def stretch(
    outing: OutingFile,
    over: Annotated[
        OverWhat, typer.Option("--over", metavar="WISH", help=f"Which wish: {', '.join(OverWhat)}.")
    ],
    low: Annotated[
        str | None, typer.Option("--from", metavar="AMOUNT", help="Where to begin: 1h, 400, 20%.")
    ] = None,
    high: Annotated[
        str | None, typer.Option("--to", metavar="AMOUNT", help="Where to end: 12h, 900, 60%.")
    ] = None,
    *,
    every_step: Annotated[
        bool, typer.Option("--every-step", help="Also the steps too narrow to matter.")
    ] = False,
    choosing: Choosing,
    paper: PageFile,
) -> Result:
    """keelwatt stretch outing.toml --over hours --from 1h --to 12h

    The best kit for every amount of one wish, all else as in the outing. A step narrower than 2 %
    of the range takes the kit of the next harder step if that is at most 2 % dearer or heavier. So
    does any step whose next kit differs in speed control or box only and is at most 5 % dearer.
    With --every-step each is given, exact from breakpoint to breakpoint.

    Over hours the whole day grows, every leg and device alike (1 to 12 h unless given); over speed
    all legs go faster or slower together, in shares of their speeds or as the fastest leg's speed,
    and legs given by distance take as long as they take. Ctrl-C ends a long search: what is done so
    far is printed, and the exit status is 5. Status 4 if nothing fits anywhere.
    """
    from keelwatt import json
    from keelwatt.explain.advise import decide
    from keelwatt.explain.bounds import bound
    from keelwatt.explain.merge import merged
    from keelwatt.explain.stretch import stretch as study
    from keelwatt.report.stretch import stretch as told

    wanted, parts, _ = both(
        outing_at(outing), partial(choosing.read, outing), lambda: page_place(paper)
    )
    start, end = both(
        lambda: bound(wanted, over.value, "--from", low),
        lambda: bound(wanted, over.value, "--to", high),
    )
    advice = decide(wanted, parts, **choosing.wishes)
    with progress() as tell:
        result = study(advice, over.value, start, end, progress=tell)
    result = result if every_step else merged(result)

    def page(made: datetime) -> str:
        from keelwatt.report.page.studies import stretch_page

        return stretch_page(advice, result, made)

    return Result(
        partial(json.chosen, advice, result, status=result.status),
        told(advice, result),
        EXITS[result.status],
        parts.warnings,
        page_file(paper, page),
        catalog=parts,
        outing=wanted,
    )
