"""Before and after."""

import re
from collections.abc import Callable, Iterator

from keelwatt import words
from keelwatt.edit.whatif import Both, WhatIf
from keelwatt.explain.advise import Advice
from keelwatt.proof import Proof
from keelwatt.proof.bill import WHAT
from keelwatt.report.blocks import (
    Block,
    Blocks,
    Column,
    Heading,
    Rest,
    Say,
    numbers,
    table,
    whole,
)
from keelwatt.report.changes import lines_of, sentence, whole_day
from keelwatt.report.explanations import nothing
from keelwatt.report.first import MUST, Ranked, fitted, in_the_way
from keelwatt.report.kits import shopping_columns, shopping_row
from keelwatt.wiring.shopping import called as part_name

UNCHANGED = "none"


MOST_ROOMS = 4
"""Limits on the first screen, those with the least room of what changed."""


def whatif(result: WhatIf, *, writing: bool = False) -> Blocks:
    """A sentence, then what to buy instead, then cost, mass and room: what changed, then all.

    ``writing``: the change is on its way into the outing.
    """
    yield fitted(_first(result, writing))
    yield Rest(_all_of_it(result))


def _first(result: WhatIf, writing: bool) -> Iterator[Ranked]:
    before, after = result.before, result.after
    yield MUST, Say(after.outing.title, style="bold")
    yield MUST, Say(sentence(result))
    for said in whole_day(result):
        yield 1, said
    if after.proof is None:
        yield from in_the_way(after)
    else:
        if table_ := _bought_instead(before, after):
            yield 1, table_
        if before.proof and (rows := _sum_rows(before.proof, after.proof, after.outing.currency)):
            yield 2, table(SUMS, rows)
        if before.proof and (rooms := [both for both in result.limits if _moved(both)]):
            rooms = sorted(rooms, key=lambda both: both.after.relative_room if both.after else 9.0)
            kept = rooms[:MOST_ROOMS]
            shown_ = tuple(both for both in result.limits if both in kept)
            yield 3, table(ROOMS, _room_rows(shown_))
    again = [word for setting in result.settings for word in ("--set", setting)]
    command = words.command("whatif", after.outing.file, *again, "--full")
    if result.edits and not writing:
        yield 1, Say("The outing stays as it is; add --write to make the change in it.")
    yield MUST, Say(f"Next: {command}", paste=True)


def _moved(both: Both) -> bool:
    was, now = both.before, both.after
    if was is None or now is None:
        return was is not now
    return words.room(was) != words.room(now)


def _all_of_it(result: WhatIf) -> Blocks:
    before, after = result.before, result.after
    yield Say(after.outing.title, style="bold")
    yield Say(sentence(result))
    yield from whole_day(result)
    yield from _edits(result)
    if after.proof is None:
        yield Heading("With the change")
        yield from nothing(after)
        return
    yield from _purchases(before, after)
    if before.proof:
        yield Heading("Together")
        currency = after.outing.currency
        yield table(SUMS, _sum_rows(before.proof, after.proof, currency, every=True))
    yield Heading("Room under every limit")
    yield table(ROOMS, _room_rows(result.limits))


SUMS: tuple[str | Column, ...] = ("Sum", *numbers("Before", "After", "Change"))
ROOMS: tuple[Column, ...] = (whole("Limit"), *numbers("Asked", "Room before", "Room after"))


def _edits(result: WhatIf) -> Blocks:
    yield Heading("Changed in the outing, not in its file")
    if not result.edits:
        yield Say("Nothing.")
        return
    rows = ((edit.key, _rounded(edit.old), _rounded(edit.new)) for edit in result.edits)
    yield table(("Key", *numbers("Was", "Is")), rows)


def _rounded(text: str | None) -> str:
    """What the file says, without decimals nobody has."""
    if text is None:
        return "not set"
    text = re.sub(r"\d+\.\d+(?= ?min)", lambda found: f"{float(found[0]):.0f}", text)
    return re.sub(r"\d+\.\d{3,}", lambda found: f"{float(found[0]):.3g}", text)


def _bought_instead(before: Advice, after: Advice) -> Block | None:
    """Lines that go with a minus and lines that come with a plus; None where nothing changes."""
    rows = _changed_rows(before, after)
    if not rows:
        return None
    title = "Buy instead" if before.proof else "What to buy"
    columns = (Column(title, cut=True), *numbers(after.outing.currency, "Mass"))
    return table(columns, [[name, price, mass] for name, _, price, mass in rows])


def _purchases(before: Advice, after: Advice) -> Blocks:
    """Lines that go with a minus, lines that come with a plus, the rest by name."""
    old, new = lines_of(before), lines_of(after)
    kept = [part_name(line) for line in old if line in new]
    rows = _changed_rows(before, after)
    yield Heading("What to buy instead" if old else "What to buy")
    if rows:
        yield table(shopping_columns(after.outing.currency), rows)
    if kept:
        yield Say(f"Kept: {', '.join(kept)}.")


def _changed_rows(before: Advice, after: Advice) -> list[list[str]]:
    old, new = lines_of(before), lines_of(after)
    return [
        shopping_row(line, joined, sign)
        for what in WHAT
        for side, other, sign in ((old, new, "-"), (new, old, "+"))
        for line, joined in side.items()
        if line.what == what and other.get(line) != joined
    ]


def _sum_rows(
    before: Proof, after: Proof, currency: str, *, every: bool = False
) -> list[list[str]]:
    was, now = before.assessment.totals, after.assessment.totals
    seasons = round(was.season_cents), round(now.season_cents)
    rows = (
        _sum(f"To buy, {currency}", words.money, was.price_cents, now.price_cents),
        _sum("To carry", words.kilograms, was.mass_g, now.mass_g),
        _sum(f"A season, {currency}", words.money, *seasons),
    )
    return [row for row in rows if every or row[-1] != UNCHANGED]


def _sum(title: str, text: Callable[[int], str], was: int, now: int) -> list[str]:
    sign = "+" if now > was else "-"
    change = f"{sign}{text(abs(now - was))}" if now != was else UNCHANGED
    return [title, text(was), text(now), change]


def _room_rows(limits: tuple[Both, ...]) -> Iterator[list[str]]:
    for both in limits:
        if both.name != "parts":
            yield [
                words.LABELS[both.name],
                words.needs(both.after) if both.after else "gone",
                words.room(both.before) if both.before else "",
                words.room(both.after) if both.after else "",
            ]
