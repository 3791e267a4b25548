"""Before and after, in a terminal."""

from collections.abc import Callable, Iterator

from keelwatt import words
from keelwatt.edit.settings import GIVEN_UP, Setting
from keelwatt.edit.whatif import Both, Difference, Swap, WhatIf
from keelwatt.explain.advise import Advice
from keelwatt.files.kit import Kit
from keelwatt.prove import Proof
from keelwatt.report.explanations import nothing
from keelwatt.report.screen import Column, Screen
from keelwatt.report.terminal import shopping_columns
from keelwatt.wiring.shopping import Line, arrangement, shopping_list

MAIN = ("battery", "motor", "controller")
"""The parts a sentence names; the rest follow from them."""

LABELS = {"hours": "on the water", "by": "the choice by"}
"""Names in a sentence that are not the key's own."""


def whatif(screen: Screen, result: WhatIf) -> None:
    """A sentence, then what to buy instead, then cost, mass and room."""
    before, after = result.before, result.after
    screen.say(after.outing.title, style="bold")
    screen.say(f"{asked(result)}: {_answer(result)}")
    _edits(screen, result)
    if after.proof is None:
        screen.heading("With the change")
        nothing(screen, after)
        return
    _purchases(screen, before, after)
    if before.proof:
        _sums(screen, before.proof, after.proof, after.outing.currency)
    _rooms(screen, result.limits)


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
        totals = after.proof.assessment.totals
        return (
            f"now a kit does it, {words.money(totals.price_cents)} {after.outing.currency} to buy, "
            f"{words.kilograms(totals.mass_g)} to carry."
        )
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
    old, new = (_called(result.after, swap.kind, kit) for kit in (was, now))
    if swap.how == "added":
        return f"add {new}"
    if swap.how == "dropped":
        return f"leave out {old}"
    if old != new:
        return f"buy {new} instead of {old}"
    if swap.kind == "battery":
        moved = was.compartment != now.compartment
        return f"put {new} into {now.compartment}" if moved else f"join {new} {arrangement(now)}"
    where = f"on {now.mount}" if swap.kind == "motor" else f"in {2 * now.run_m:.2f} m"
    return f"fit {new} {where}"


def _called(advice: Advice, kind: str, kit: Kit) -> str:
    """The kit's part of a kind by name; batteries with their number."""
    id_ = getattr(kit, kind)
    if id_ is None:
        return "none"
    count = f"{kit.units} x " if kind == "battery" and kit.units > 1 else ""
    return f"{count}{advice.catalog.part(id_).name}"


def _edits(screen: Screen, result: WhatIf) -> None:
    screen.heading("Changed in the outing, not in its file")
    if not result.edits:
        screen.say("Nothing: the file says so already.")
        return
    screen.table(
        [Column("Key"), Column("Was", number=True), Column("Is", number=True)],
        [[edit.key, edit.old or "not set", edit.new or "not set"] for edit in result.edits],
    )


def _purchases(screen: Screen, before: Advice, after: Advice) -> None:
    """Lines that go with a minus, lines that come with a plus, the rest by name."""
    old, new = _lines(before), _lines(after)
    kinds = list(dict.fromkeys([*old, *new]))
    rows = []
    for kind in kinds:
        if old.get(kind) != new.get(kind):
            rows += [_row("-", *old[kind])] if kind in old else []
            rows += [_row("+", *new[kind])] if kind in new else []
    screen.heading("What to buy instead" if old else "What to buy")
    if rows:
        screen.table(shopping_columns(after.outing.currency), rows)
    kept = [old[kind][0].name for kind in kinds if old.get(kind) == new.get(kind)]
    if kept:
        screen.say(f"Kept: {', '.join(kept)}.")


def _lines(advice: Advice) -> dict[str, tuple[Line, str]]:
    """The shopping list by kind, the battery's with how they are joined; empty without a kit."""
    if advice.proof is None:
        return {}
    kit = advice.proof.assessment.kit
    return {
        line.kind: (line, arrangement(kit) if line.kind == "battery" else "")
        for line in shopping_list(kit, advice.proof.chosen, advice.outing.parts)
    }


def _row(sign: str, line: Line, layout: str) -> list[str]:
    layout = f", {layout}" if layout else ""
    quantity = "" if line.quantity == "1 x" else f"{line.quantity} "
    price = "yours" if line.owned else f"{sign}{words.money(line.price_cents)}"
    mass = f"{sign}{words.kilograms(line.mass_g)}" if line.mass_g else "ashore"
    return [f"{sign} {quantity}{line.name}{layout}", line.where, price, mass]


def _sums(screen: Screen, before: Proof, after: Proof, currency: str) -> None:
    was, now = before.assessment.totals, after.assessment.totals
    screen.heading("Together")
    screen.table(
        [
            Column("Sum"),
            *(Column(title, number=True) for title in ("Before", "After", "Change")),
        ],
        [
            _sum(f"To buy, {currency}", words.money, was.price_cents, now.price_cents),
            _sum("To carry", words.kilograms, was.mass_g, now.mass_g),
            _sum(
                f"A season, {currency}",
                words.money,
                round(was.season_cents),
                round(now.season_cents),
            ),
        ],
    )


def _sum(title: str, text: Callable[[int], str], was: int, now: int) -> list[str]:
    sign = "+" if now > was else "-"
    change = f"{sign}{text(abs(now - was))}" if now != was else "none"
    return [title, text(was), text(now), change]


def _rooms(screen: Screen, limits: tuple[Both, ...]) -> None:
    screen.heading("Room under every limit")
    screen.table(
        [
            Column("Limit", whole=True),
            Column("Asked", number=True),
            Column("Room before", number=True),
            Column("Room after", number=True),
        ],
        list(_room_rows(limits)),
    )


def _room_rows(limits: tuple[Both, ...]) -> Iterator[list[str]]:
    for both in limits:
        if both.name != "parts":
            yield [
                words.LABELS[both.name],
                words.needs(both.after) if both.after else "no more",
                words.room(both.before) if both.before else "",
                words.room(both.after) if both.after else "",
            ]
