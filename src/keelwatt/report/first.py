"""First screens: what answers, within the lines of a small terminal."""

from collections.abc import Iterable, Iterator
from itertools import chain

from keelwatt import words
from keelwatt.explain.advise import Advice
from keelwatt.explain.moving import Move
from keelwatt.proof import Proof
from keelwatt.report.answer import Answer
from keelwatt.report.blocks import Block, Column, First, Numbered, Say, items, numbers, table
from keelwatt.report.cautions import awash, cautions, reservations, too_shallow
from keelwatt.report.day import charge_left
from keelwatt.report.explanations import (
    accepting,
    moving,
    nearest_misses,
    proved_none,
    saving,
    setting,
)
from keelwatt.report.kits import found_text, shopping_row, total, verdict, way_text
from keelwatt.report.limits import move_setting, move_text, resting, together
from keelwatt.report.screen import height
from keelwatt.wiring.shopping import arrangement

LINES, WIDTH = 23, 80
"""Of a small terminal, a line kept for the catalog's name."""

MUST = 0
"""Rank of what is never left out."""

MOST_STEPS, MOST_WAYS, MOST_CLASHES, MOST_CAUTIONS, MOST_MISSES = 4, 3, 3, 3, 4

Ranked = tuple[int, Block]


def room_for(parts: Iterable[Block]) -> int:
    """Lines left of a first screen that holds these."""
    return LINES - height(parts, WIDTH)


def fitted(parts: Iterable[Ranked]) -> First:
    """Blocks in their order; what ranks last goes, until the rest has room."""
    left = list(parts)
    while height((block for _, block in left), WIDTH) > LINES:
        worst = max(range(len(left)), key=lambda at: (left[at][0], at))
        if left[worst][0] == MUST:
            break
        del left[worst]
    return First(tuple(block for _, block in left))


def pick(answer: Answer) -> First:
    """What to buy, what decided it, what to know before, and what to type next."""
    advice = answer.advice
    return fitted(_kit(answer) if advice.proof else _nothing(advice))


def _kit(answer: Answer) -> Iterator[Ranked]:
    advice, proof = answer.advice, answer.proof
    yield MUST, Say(advice.outing.title, style="bold")
    yield MUST, Say(f"{verdict(advice)}.")
    yield MUST, _bill(answer)
    yield MUST, Say(_hours(proof))
    if odds := _odds(answer):
        yield 2, Say(odds)
    yield from _decided(advice)
    for note in reservations(advice):
        yield 1, Say(f"Before you buy: {note}", style="bold")
    yield MUST, Say(_safety(answer))
    sure = ("--sure", f"{100 * answer.certain.asked:g}%") if answer.certain else ()
    full = words.command("pick", advice.outing.file, *sure, "--full")
    yield MUST, Say(f"Next: {full}", paste=True)


def _bill(answer: Answer) -> Block:
    advice, kit = answer.advice, answer.kit
    sums, joined = answer.totals, arrangement(kit)
    places = {"battery": kit.compartment, "motor": kit.mount}
    rows = []
    for line in answer.bill.lines:
        if line.part in kit.ids and line.what != "cable":
            name, _, price, mass = shopping_row(line, joined)
            place = f", {places[line.what]}" if line.what in places else ""
            rows.append([f"{name}{place}", price, mass])
    rest = [line for line in answer.bill.lines if line.part not in kit.ids or line.what == "cable"]
    cents, grams = sum(it.price_cents or 0 for it in rest), sum(it.mass_g for it in rest)
    grams += answer.spare_g
    more = "Cable, lugs, small fuses and fittings (list: --full)"
    rows.insert(
        -1 if kit.charger else len(rows), [more, words.money(cents), words.kilograms(grams)]
    )
    season = f", {words.money(sums.season_cents)} a season" if advice.by == "season" else ""
    label, _, price, mass = total(sums.price_cents, sums.mass_g)
    columns = (Column("What to buy", cut=True), *numbers(advice.outing.currency, "Mass"))
    return table(columns, [*rows, [f"{label}{season}", price, mass]], total=True)


def _hours(proof: Proof) -> str:
    hours = next(limit for limit in proof.assessment.limits if limit.name == "hours")
    return (
        f"Hours: {words.has(hours)} ({words.quantity(hours.needs, 'h')} needed). "
        f"Charge left: {charge_left(proof)}."
    )


def _safety(answer: Answer) -> str:
    """The cautions by name, as many as a line takes."""
    case, proof = answer.advice.case, answer.proof
    names = [each.name for each in cautions(case, proof.assessment, proof.chosen)]
    named, more = names[:MOST_CAUTIONS], len(names) - MOST_CAUTIONS
    return f"Safety: {', '.join(named)}, {more} more: read them under --full."


def _odds(answer: Answer) -> str:
    """On how many days all goes as planned."""
    chances, certain = answer.chances, answer.certain
    if chances is None:
        return ""
    share = chances.as_planned.share
    often = f"{100 * share:.0f}" if share <= 0.995 or share == 1.0 else "over 99"
    days = f"Odds: {often} days in 100 go as planned"
    if certain is None:
        return f"{days}; wind, drag and cold vary (keelwatt odds)."
    if certain.holds:
        return f"{days} ({100 * certain.asked:g}% asked)."
    return f"{days}: it FALLS SHORT of the {100 * certain.asked:g}% asked."


def _decided(advice: Advice) -> Iterator[Ranked]:
    """Binding limits, the dearest first, and the step that saves most.

    Where gear or a seat moved saves as much as a limit dropped, that is told in its place.
    """
    if not advice.explained:
        return
    moved = {move.limit: move for move in reversed(advice.moves)}
    wishes = [price for price in advice.prices if price.binding and price.wish]
    rules = [words.in_a_sentence(p.name) for p in advice.prices if p.binding and not p.wish]
    rows = [(saving(advice, move.found), moving(advice, move)) for move in moved.values()]
    rows += [
        (saving(advice, price.lifted), accepting(advice, price))
        for price in wishes
        if price.name not in moved
    ]
    if not rows:
        yield 2, Say("What decided it: no wish of yours; only parts and rules.")
    else:
        yield (
            1,
            Say("What decided it: drop one of these limits, and a better kit fits (--full: all)."),
        )
    rows.sort(key=lambda row: -row[0])
    for at, (_, text) in enumerate(rows[:MOST_STEPS]):
        yield 3 + at, items([text])
    if rules:
        yield 4, items([f"Rules, to be kept: {', '.join(rules)}"])
    steps = [(saving(advice, move.found), _to_move(advice, move)) for move in moved.values()]
    steps += [
        (
            saving(advice, price.next_step),
            words.command("whatif", advice.outing.file, "--set", setting(price)),
        )
        for price in wishes
        if price.next_step
    ]
    if steps:
        yield 2, Say(f"One step: {max(steps, key=lambda step: step[0])[1]}", paste=True)


def _to_move(advice: Advice, move: Move) -> str:
    setting_ = move_setting(move, advice.outing)
    return words.command("whatif", advice.outing.file, "--set", setting_)


def _nothing(advice: Advice) -> Iterator[Ranked]:
    file = advice.outing.file
    yield MUST, Say(advice.outing.title, style="bold")
    yield MUST, Say(proved_none(advice))
    for note in too_shallow(advice.case):
        yield MUST, Say(note)
    yield from in_the_way(advice)
    if advice.empty:
        yield MUST, Say(f"Next: {words.command('pick', file, '--left-out')}", paste=True)
        return
    if advice.ways_out:
        take = words.command("pick", file, "--apply", "1")
        yield MUST, Say(f"To take the first: {take}", paste=True)
    yield MUST, Say(f"Next: {words.command('pick', file, '--full')}", paste=True)


def in_the_way(advice: Advice) -> Iterator[Ranked]:
    """What clashes, and the mildest ways out; nothing where time ran out."""
    if advice.status == "unproved":
        return
    if advice.empty:
        yield MUST, items(advice.empty)
        yield 1, items(list(nearest_misses(advice))[:MOST_MISSES])
        return
    for move in advice.moves[:1]:
        yield MUST, Say(f"To loosen nothing, move {move_text(move)}. Then a kit meets every limit:")
        yield 1, Say(found_text(advice, move.found))
        yield MUST, Say(f"One step: {_to_move(advice, move)}", paste=True)
    yield 1, Say("These limits clash:")
    for at, clash in enumerate(together(advice.conflicts)[:MOST_CLASHES]):
        yield 2 + at, items([clash])
    for told in resting(advice.catalog, chain.from_iterable(advice.conflicts)):
        yield 2, told
    if not advice.ways_out:
        yield MUST, Say("No loosening of your wishes helps: a rule is in the way.")
        yield from ((MUST, Say(each)) for each in awash(advice.case))
        return
    yield MUST, Say("Ways out, the mildest first:")
    for number, way in enumerate(advice.ways_out[:MOST_WAYS], start=1):
        rank = MUST if number == 1 else 1 + number
        yield rank, Numbered(way_text(advice, way), number)
