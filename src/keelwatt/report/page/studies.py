"""The pages of ``tradeoff``, ``stretch`` and ``whatif``: what their screens say, with drawings."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from keelwatt import words
from keelwatt.drawings import charts, kits
from keelwatt.drawings.svg import Drawing
from keelwatt.edit.whatif import WhatIf
from keelwatt.explain.advise import Advice
from keelwatt.explain.stretch import Stretch
from keelwatt.explain.tradeoff import Runner, Tradeoff
from keelwatt.limits import OVERS
from keelwatt.report import stretch, tradeoff
from keelwatt.report.blocks import Block, Table, table, unfolded
from keelwatt.report.page.answer import figures
from keelwatt.report.page.assumptions import assumptions
from keelwatt.report.page.page import Page, html
from keelwatt.report.whatif import ROOMS, whatif


def tradeoff_page(
    advice: Advice, result: Tradeoff, runners: Sequence[Runner], within: float, made: datetime
) -> str:
    """The front as a drawing and a table, then the best kits that differ."""
    drawing = None
    if len(result.points) > 1:
        drawing = kits.scatter(result, (), advice.outing.currency)
    told = tradeoff.tradeoff(advice, result, runners, within)
    return _html(advice, "Price against mass", told, made, drawing)


def stretch_page(advice: Advice, result: Stretch, made: datetime) -> str:
    """The staircase as a drawing and a table."""
    drawing, over = None, OVERS[result.over].phrase
    if len(result.climbs) > 1:
        title = stretch.plot_title(advice, result)
        drawing = kits.staircase(result, stretch.span(result), title, over, advice.outing.currency)
    best = words.MEASURES[result.by].capitalize()
    return _html(advice, f"{best} over {over}", stretch.stretch(advice, result), made, drawing)


def whatif_page(result: WhatIf, made: datetime) -> str:
    """What to buy instead, and how much of each limit either kit uses."""
    told = (_with_bars(block, result) for block in unfolded(whatif(result), full=True))
    return _html(result.after, "What if", told, made, numbers=True)


def _with_bars(block: Block, result: WhatIf) -> Block:
    if not isinstance(block, Table) or block.columns != ROOMS:
        return block
    shown = (both for both in result.limits if both.name != "parts")
    bars = ((charts.bar(limit) if limit else "" for limit in (b.before, b.after)) for b in shown)
    rows = ((name, *both, *rest) for both, (name, *rest) in zip(bars, block.rows, strict=True))
    return table((ROOMS[0], "Used before", "Used after", *ROOMS[1:]), rows)


def _html(
    advice: Advice,
    kind: str,
    told: Iterable[Block],
    made: datetime,
    drawing: Drawing | None = None,
    *,
    numbers: bool = False,
) -> str:
    """``numbers``: those the advice's kit is judged by come first."""
    shown = figures(advice, advice.proof) if numbers and advice.proof else ()
    _title, *rest = unfolded(told, full=True)
    blocks = (*rest, *assumptions(advice))
    return html(Page.of(advice, kind, blocks, figures=shown, drawing=drawing), advice, made)
