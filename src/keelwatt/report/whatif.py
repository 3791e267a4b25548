"""Before and after."""

from collections.abc import Callable, Iterator

from keelwatt import words
from keelwatt.edit.settings import GIVEN_UP, Setting
from keelwatt.edit.whatif import Both, Difference, Swap, WhatIf
from keelwatt.explain.advise import Advice
from keelwatt.proof import Proof
from keelwatt.report.blocks import Blocks, Heading, Say, numbers, table, whole
from keelwatt.report.explanations import nothing
from keelwatt.report.kits import MAIN, called, shopping_columns, shopping_row, to_pay_and_carry
from keelwatt.units import shown
from keelwatt.wiring.shopping import Line, arrangement, shopping_list

LABELS = {"hours": "on the water", "by": "the choice by"}
"""Names in a sentence that are not the key's own."""


def whatif(result: WhatIf) -> Blocks:
    """A sentence, then what to buy instead, then cost, mass and room."""
    before, after = result.before, result.after
    yield Say(after.outing.title, style="bold")
    yield Say(f"{asked(result)}: {_answer(result)}")
    yield from _edits(result)
    if after.proof is None:
        yield Heading("With the change")
        yield from nothing(after)
        return
    yield from _purchases(before, after)
    if before.proof:
        yield from _sums(before.proof, after.proof, after.outing.currency)
    yield Heading("Room under every limit")
    rooms = numbers("Asked", "Room before", "Room after")
    yield table([whole("Limit"), *rooms], _room_rows(result.limits))


def asked(result: WhatIf) -> str:
    """The settings as the beginning of a sentence: "With 2h more on the water"."""
    phrases = [_phrase(Setting.read(words_)) for words_ in result.settings]
    *first, last = phrases
    return f"With {', '.join(first)} and {last}" if first else f"With {last}"


def _phrase(setting: Setting) -> str:
    if "." in setting.key:
        return f"{setting.key} {setting.how.strip('=')}{setting.value}"
    label = LABELS.get(setting.key.lower(), setting.key.replace("_", " "))
    if setting.value.lower() == GIVEN_UP:
        return f"no {label}"
    if not setting.changes:
        return f"{setting.value} {label}" if setting.key == "hours" else f"{label} {setting.value}"
    sign = setting.how[0] if setting.how != "=" else setting.value[0]
    amount = setting.value.lstrip("+-").strip()
    return f"{amount} {'less' if sign == '-' else 'more'} {label}"


def _answer(result: WhatIf) -> str:
    before, after, difference = result.before, result.after, result.difference
    if after.status == "impossible":
        also = "no kit meets every limit"
        return f"{also} any more." if before.proof else f"{also}, nor does one without the change."
    if after.proof is None:
        return "time ran out before a kit was found; try again with more: --seconds 60."
    if difference is None:
        return f"now a kit does it, {to_pay_and_carry(after)}."
    told = _told(difference, after)
    if all(swap.how == "kept" for swap in result.swaps):
        return f"nothing changes, the same kit is {_best(after)}{told and f'; {told}'}."
    return f"{_clauses(result)}; {told or 'for the same price and mass'}."


def _best(advice: Advice) -> str:
    return "still the best" if advice.status == "best" else "the best found in the time"


def _told(difference: Difference, advice: Advice) -> str:
    """ "85.00 crowns more, 3.2 kg heavier", empty if there is no difference."""
    cents, grams, season = difference.cost_cents, difference.mass_g, difference.season_cents
    told = []
    if cents:
        currency = advice.outing.currency
        told.append(f"{words.money(abs(cents))} {currency} {'more' if cents > 0 else 'less'}")
    if grams:
        told.append(f"{words.kilograms(abs(grams))} {'heavier' if grams > 0 else 'lighter'}")
    if advice.by == "season" and round(season):
        told.append(f"{words.money(abs(season))} a season {'more' if season > 0 else 'less'}")
    return ", ".join(told)


def _clauses(result: WhatIf) -> str:
    """ "buy A instead of B, fit C on the stern, with another cable and fuse"."""
    swaps = {swap.kind: swap for swap in result.swaps if swap.how != "kept"}
    main = [_clause(result, swaps[kind]) for kind in MAIN if kind in swaps]
    small = [swap for kind, swap in swaps.items() if kind not in MAIN]
    if not main:
        main, small = [_clause(result, swap) for swap in small], []
    told = ", ".join(main)
    *rest, last = [swap.kind for swap in small] or [""]
    if last:
        told += f", with another {', '.join(rest)}{' and ' if rest else ''}{last}"
    return told


def _clause(result: WhatIf, swap: Swap) -> str:
    assert result.before.proof and result.after.proof
    was, now = result.before.proof.assessment.kit, result.after.proof.assessment.kit
    old, new = (called(result.after, swap.kind, kit) for kit in (was, now))
    if swap.how == "added":
        return f"add {new}"
    if swap.how == "dropped":
        return f"leave out {old}"
    if old != new:
        return f"buy {new} instead of {old}"
    if swap.kind == "battery":
        moved = was.compartment != now.compartment
        return f"put {new} into {now.compartment}" if moved else f"join {new} {arrangement(now)}"
    where = f"on {now.mount}" if swap.kind == "motor" else f"in {shown.run(2 * now.run_m)}"
    return f"fit {new} {where}"


def _edits(result: WhatIf) -> Blocks:
    yield Heading("Changed in the outing, not in its file")
    if not result.edits:
        yield Say("Nothing: the file says so already.")
        return
    rows = ((edit.key, edit.old or "not set", edit.new or "not set") for edit in result.edits)
    yield table(("Key", *numbers("Was", "Is")), rows)


def _purchases(before: Advice, after: Advice) -> Blocks:
    """Lines that go with a minus, lines that come with a plus, the rest by name."""
    old, new = _lines(before), _lines(after)
    kinds = dict.fromkeys([*old, *new])
    kept = [old[kind][0].name for kind in kinds if old.get(kind) == new.get(kind)]
    rows = [
        shopping_row(*side[kind], sign)
        for kind in kinds
        if old.get(kind) != new.get(kind)
        for side, sign in ((old, "-"), (new, "+"))
        if kind in side
    ]
    yield Heading("What to buy instead" if old else "What to buy")
    if rows:
        yield table(shopping_columns(after.outing.currency), rows)
    if kept:
        yield Say(f"Kept: {', '.join(kept)}.")


def _lines(advice: Advice) -> dict[str, tuple[Line, str]]:
    """The bill by kind, the battery's with how they are joined; empty without a kit."""
    if advice.proof is None:
        return {}
    kit = advice.proof.assessment.kit
    return {
        line.kind: (line, arrangement(kit) if line.kind == "battery" else "")
        for line in shopping_list(kit, advice.proof.chosen, advice.outing.parts)
    }


def _sums(before: Proof, after: Proof, currency: str) -> Blocks:
    was, now = before.assessment.totals, after.assessment.totals
    yield Heading("Together")
    seasons = round(was.season_cents), round(now.season_cents)
    rows = (
        _sum(f"To buy, {currency}", words.money, was.price_cents, now.price_cents),
        _sum("To carry", words.kilograms, was.mass_g, now.mass_g),
        _sum(f"A season, {currency}", words.money, *seasons),
    )
    yield table(("Sum", *numbers("Before", "After", "Change")), rows)


def _sum(title: str, text: Callable[[int], str], was: int, now: int) -> list[str]:
    sign = "+" if now > was else "-"
    change = f"{sign}{text(abs(now - was))}" if now != was else "none"
    return [title, text(was), text(now), change]


def _room_rows(limits: tuple[Both, ...]) -> Iterator[list[str]]:
    for both in limits:
        if both.name != "parts":
            yield [
                words.LABELS[both.name],
                words.needs(both.after) if both.after else "no more",
                words.room(both.before) if both.before else "",
                words.room(both.after) if both.after else "",
            ]
