"""What a change of an outing comes to, in a sentence."""

import re

from keelwatt import words
from keelwatt.edit.settings import GIVEN_UP, Setting
from keelwatt.edit.whatif import Difference, Swap, WhatIf
from keelwatt.explain.advise import Advice
from keelwatt.proof.bill import BillLine
from keelwatt.report.blocks import Blocks, Say
from keelwatt.report.kits import MAIN, called, to_pay_and_carry
from keelwatt.units import shown
from keelwatt.wiring.shopping import arrangement

LABELS = {"hours": "on the water", "by": "the choice by"}
"""Names in a sentence that are not the key's own."""


def sentence(result: WhatIf) -> str:
    """The answer; first that it is there already, where nothing is to be bought."""
    if not result.edits:
        return f"You already have that: the outing says {_phrases(result)}."
    same = result.swaps and all(swap.how == "kept" for swap in result.swaps)
    if same and result.difference and _same_bill(result):
        told = _told(result.difference, result.after)
        wishes = (Setting.read(words_).key.lower() for words_ in result.settings)
        found = {both.name: both.after for both in result.limits if both.after}
        has = "".join(
            f" {words.LABELS[name]}: {words.has(limit)}, {words.needs(limit)} asked."
            for name in dict.fromkeys(wishes)
            if (limit := found.get(name)) and limit.kind == "wish"
        )
        known = f"the same kit is {_best(result.after)}{told and f' ({told})'}"
        return f"You already have the kit for {_phrases(result)}: {known}.{has}"
    return f"With {_phrases(result)}: {_answer(result)}"


def whole_day(result: WhatIf) -> Blocks:
    """Where the hours of a day are changed: that all of it stretches, and how to change one leg."""
    for words_ in result.settings:
        setting = Setting.read(words_)
        if setting.key.lower() != "hours" or not result.edits:
            continue
        was, now = (
            sum(leg.duration_h for leg in advice.outing.legs)
            for advice in (result.before, result.after)
        )
        if words.duration(was) == words.duration(now):
            continue
        yield Say(
            f"Every leg and device lasts {abs(now / was - 1):.0%} "
            f"{'longer' if now > was else 'less'}: {words.duration(was)} becomes "
            f"{words.duration(now)}. To change one leg alone:"
        )
        leg = max(result.before.outing.legs, key=lambda leg: (not leg.by_distance, leg.duration_h))
        file = result.after.outing.file
        key = leg.name if re.fullmatch(r"[\w -]+", leg.name) else _number(result.before, leg.name)
        minutes = round(60 * (now - was))
        if leg.by_distance:
            one = f"leg.{key}.distance=+10%"
        elif setting.changes:
            one = f"leg.{key}.hours={_signed(setting.how.lstrip('=') + setting.value)}"
        elif minutes > -60 * leg.duration_h:
            one = f"leg.{key}.hours={minutes:+} min"
        else:
            one = f"leg.{key}.hours={setting.value}"
        yield Say(words.command("whatif", file, "--set", one), paste=True)


def _signed(amount: str) -> str:
    """ "+2h" from "+=2h" and the like."""
    return amount[0] + amount[1:].lstrip("=+-")


def _number(advice: Advice, name: str) -> str:
    return str([leg.name for leg in advice.outing.legs].index(name) + 1)


def _phrases(result: WhatIf) -> str:
    """The settings in a sentence: "2h more on the water"."""
    return words.together([_phrase(Setting.read(words_)) for words_ in result.settings])


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
        return f"{also} any more." if before.proof else f"{also}, with the change or without."
    if after.proof is None:
        return "time ran out before a kit was found; try again with more: --seconds 60."
    if difference is None:
        return f"now a kit does it, {to_pay_and_carry(after)}."
    told = _told(difference, after)
    what = _clauses(result) or "keep the main parts, with other small ones"
    return f"{what}; {told or 'for the same price and mass'}."


def _same_bill(result: WhatIf) -> bool:
    return lines_of(result.before) == lines_of(result.after)


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
    if small:
        told += f", with another {words.together([swap.kind for swap in small])}"
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


def lines_of(advice: Advice) -> dict[BillLine, str]:
    """The bill's lines, the battery's with how they are joined; empty without a kit."""
    if advice.proof is None or advice.proof.assessment.bill is None:
        return {}
    joined = arrangement(advice.proof.assessment.kit)
    lines = advice.proof.assessment.bill.lines
    return {line: joined if line.what == "battery" else "" for line in lines}
