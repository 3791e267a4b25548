"""The pages of ``tradeoff``, ``stretch`` and ``whatif``: what their screens say, with drawings."""

from collections.abc import Sequence
from datetime import datetime

from keelwatt import words
from keelwatt.drawings import kits
from keelwatt.edit.whatif import WhatIf
from keelwatt.explain.advise import Advice
from keelwatt.explain.stretch import Stretch
from keelwatt.explain.tradeoff import Runner, Tradeoff
from keelwatt.limits import OVERS
from keelwatt.report import studies, tradeoff
from keelwatt.report.page.answer import figures
from keelwatt.report.page.assumptions import assumptions
from keelwatt.report.page.page import Figure, Page, html
from keelwatt.report.page.paper import Paper
from keelwatt.report.whatif import whatif


def tradeoff_page(
    advice: Advice,
    result: Tradeoff,
    runners: Sequence[Runner],
    within: float | None,
    made: datetime,
) -> str:
    """The front as a drawing and a table, then the best kits that differ."""
    drawing = None
    if len(result.points) > 1:
        drawing = kits.scatter(result, (), advice.outing.currency)
    paper = Paper(drawing)
    close = tradeoff.NEAR if within is None else within
    tradeoff.tradeoff(paper, advice, result, runners, close)
    return _html(paper, advice, "Price against mass", made)


def stretch_page(advice: Advice, result: Stretch, made: datetime) -> str:
    """The staircase as a drawing and a table."""
    drawing = None
    if len(result.climbs) > 1:
        drawing = kits.staircase(
            result,
            studies.span(result),
            studies.plot_title(advice, result),
            OVERS[result.over].phrase,
            advice.outing.currency,
        )
    paper = Paper(drawing)
    studies.stretch(paper, advice, result)
    best = words.MEASURES[result.by].capitalize()
    return _html(paper, advice, f"{best} over {OVERS[result.over].phrase}", made)


def whatif_page(result: WhatIf, made: datetime) -> str:
    """What to buy instead."""
    paper = Paper()
    whatif(paper, result)
    after = result.after
    shown = figures(after, after.proof) if after.proof else ()
    return _html(paper, after, "What if", made, tuple(shown))


def _html(
    paper: Paper, advice: Advice, kind: str, made: datetime, shown: Sequence[Figure] = ()
) -> str:
    _, *lead = paper.lead
    page = Page(
        title=advice.outing.title,
        kind=kind,
        lead=tuple(lead),
        figures=tuple(shown),
        blocks=(*paper.blocks, assumptions(advice)),
    )
    return html(page, advice, made)
