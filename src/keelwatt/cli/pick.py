"""keelwatt pick"""

from dataclasses import replace
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from keelwatt.cli.command import EXITS, Result, Rewriting, command
from keelwatt.cli.ending import IMPOSSIBLE
from keelwatt.cli.files import both, outing_and_text, page_file, pick_places, shopping_file
from keelwatt.cli.options import OutingFile, PageFile, Timed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from keelwatt.explain.advise import Advice
    from keelwatt.files.catalog.reader import Catalog
    from keelwatt.files.outing import Outing
    from keelwatt.report.answer import Answer
    from keelwatt.report.blocks import Block


@command
def pick(
    outing: OutingFile,
    *,
    choosing: Timed,
    left_out: Annotated[
        bool, typer.Option("--left-out", help="Also list the parts no kit could use, and why.")
    ] = False,
    top: Annotated[
        int | None,
        typer.Option("--top", metavar="N", min=1, help="Also the N best kits that differ."),
    ] = None,
    way_out: Annotated[
        int | None,
        typer.Option(
            "--apply", metavar="N", min=1, help="Write way out N into the outing; keeps a backup."
        ),
    ] = None,
    chance: Annotated[
        str | None,
        typer.Option(
            "--sure", metavar="95%", help="The best kit whose day goes as planned with this chance."
        ),
    ] = None,
    sheet: Annotated[
        bool, typer.Option("--sheet", help="Also the wiring sheet: what to cut, join and test.")
    ] = False,
    shopping: Annotated[
        Path | None,
        typer.Option("--shopping", metavar="FILE.csv", help="Write the shopping list as a table."),
    ] = None,
    feet: Annotated[
        bool, typer.Option("--feet", help="Cable is sold by the foot; else as you write lengths.")
    ] = False,
    paper: PageFile,
) -> Result:
    """keelwatt pick outing.toml --by mass

    Choose the best kit for an outing; show it, its limits and what binds. Where nothing fits, show
    what clashes and every way out; --apply 2 writes the second into the outing. With --sure 95%,
    the best kit whose day goes as planned on 95 of 100 days drawn about it.
    """
    (wanted, text), parts, share, _ = both(
        lambda: outing_and_text(outing),
        partial(choosing.read, outing),
        lambda: _chance(chance, applying=way_out is not None),
        lambda: pick_places(shopping, paper, applying=way_out is not None),
    )
    if feet:
        policy = wanted.policy.model_copy(update={"cable_by": "foot"})
        wanted = wanted.model_copy(update={"policy": policy})
    answer = _answer(wanted, parts, share, **choosing.wishes)
    advice = answer.advice
    if way_out is not None:
        return _applied(outing, text, advice, way_out)
    if top and advice.status == "best":
        from keelwatt.explain.tradeoff import best_kits

        answer = replace(answer, runners=best_kits(advice, top))
    lists = (partial(shopping_file, shopping, answer, again=paper.again),) if shopping else ()

    def page(made: datetime) -> str:
        from keelwatt.report.page.answer import pick_page

        return pick_page(answer, made)

    return Result(
        lambda: _data(answer, top=top is not None, sheet=sheet),
        _told(answer, left_out=left_out, sheet=sheet),
        EXITS[advice.status],
        parts.warnings,
        (*lists, *page_file(paper, page)),
        catalog=parts,
        outing=wanted,
    )


def _chance(text: str | None, *, applying: bool) -> float | None:
    """The chance asked for, if any."""
    if text is None:
        return None
    from keelwatt.chance.sure import chance_asked

    return chance_asked(text, applying=applying)


def _answer(outing: "Outing", catalog: "Catalog", share: float | None, **wishes: Any) -> "Answer":
    """The best kit, and how sure it is if a chance was asked for."""
    from keelwatt.report.answer import Answer

    if share is None:
        from keelwatt.explain.advise import decide, explained

        known = decide(outing, catalog, **wishes)
        try:
            return Answer(explained(known))
        except KeyboardInterrupt:
            raise KeyboardInterrupt(_unexplained(Answer(known))) from None
    from keelwatt.chance.sure import sure

    certain = sure(outing, catalog, share, **wishes)
    return Answer(certain.advice, certain)


def _unexplained(answer: "Answer") -> str:
    """What is known of an answer that was stopped while it was explained."""
    if answer.advice.status == "impossible":
        return "Stopped before what clashes and the ways out were found. No kit meets every limit."
    from keelwatt import words

    with words.about(answer.advice.outing):
        kit = f" The best kit: {answer.brief}." if answer.advice.proof else ""
    return f"Stopped before the answer was explained.{kit}"


def _told(answer: "Answer", *, left_out: bool, sheet: bool) -> "Iterator[Block]":
    """The answer, then what was asked for besides."""
    if answer.certain:
        from keelwatt.report import sure

        yield from sure.pick(answer, left_out=left_out)
    else:
        from keelwatt.report.pick import pick

        yield from pick(answer, left_out=left_out)
    if answer.runners:
        from keelwatt.report import tradeoff

        yield from tradeoff.best_kits(answer.advice, answer.runners, tradeoff.NEAR)
    if sheet and answer.advice.proof:
        from keelwatt.report.blocks import First, Heading
        from keelwatt.report.fitting import fitting
        from keelwatt.report.pick import bill_table, dangers
        from keelwatt.report.wiring_sheet import wiring_sheet

        yield First((Heading("What to buy"), bill_table(answer)))
        yield from wiring_sheet(answer.net, answer.sheet)
        yield from fitting(answer.fitting, answer.proof.chosen, answer.net)
        yield First(tuple(dangers(answer.advice, answer.proof)))


def _data(answer: "Answer", *, top: bool, sheet: bool) -> dict[str, Any]:
    from keelwatt import json

    more: dict[str, Any] = {}
    if top:
        more["best_kits"] = answer.runners
    if answer.certain:
        more["sure"] = answer.certain
    data: dict[str, Any] = json.pick(answer.advice) | json.plain(more)
    if sheet:
        found = answer.advice.proof is not None
        data["wiring"] = json.wiring(answer.net, answer.sheet) if found else None
        data["fitting"] = json.plain(answer.fitting) if found else None
    return data


def _applied(outing: Path, text: str, advice: "Advice", number: int) -> Result:
    """A way out on its way into the outing: the difference is shown before it is written."""
    from keelwatt import json
    from keelwatt.edit.apply import apply_way
    from keelwatt.report.applied import difference, done

    result = apply_way(text, advice, number)
    return Result(
        partial(json.applied, result),
        difference(result),
        rewriting=Rewriting(outing, text, result.edited.text, partial(done, result), IMPOSSIBLE),
        catalog=advice.catalog,
        outing=advice.outing,
    )
