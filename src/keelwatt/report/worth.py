"""What a part buys."""

from collections.abc import Iterator
from math import isinf

from keelwatt import words
from keelwatt.explain.changed import changed
from keelwatt.explain.compare import Contender
from keelwatt.explain.worth import SPARE, Pair, Worth
from keelwatt.files.kit import Kit
from keelwatt.limits import Limit
from keelwatt.report.blocks import Blocks, Column, Rest, Say, items, numbers, table
from keelwatt.report.compare import Named, breaking, cell, in_full, label, text
from keelwatt.report.first import MUST, Ranked, fitted

ROWS = ("hours", "top_speed", "budget", "kit_mass")


def worth(result: Worth, kit: str | None = None) -> Blocks:
    """What it buys in a sentence, and the kits that say so; ``kit``: the one asked about."""
    yield fitted(_first(result, kit))
    yield Rest(_all_of_it(result, kit))


def _first(result: Worth, kit: str | None) -> Iterator[Ranked]:
    for said in _sentences(result, kit):
        yield MUST, said
    named, file = _named(result, kit), result.advice.outing.file
    if not named:
        yield MUST, Say(f"Next: {words.command('pick', file)}", paste=True)
        return
    columns = (Column("What it comes to"), *numbers(*(name for name, _ in named)))
    yield MUST, table(columns, _rows(result, named))
    yield 1, items(f"{name}: {text(held)}." for name, held in named)
    if any(held.broken for _, held in named):
        yield 2, items(breaking(named))
    if result.best.with_it is None:
        yield MUST, Say(f"Why: {words.command('why', file, result.part)}", paste=True)
    asked = ("--kit", kit) if kit else ()
    full = words.command("worth", file, result.part, *asked, "--full")
    yield MUST, Say(f"Next: {full}", paste=True)


def _all_of_it(result: Worth, kit: str | None) -> Blocks:
    yield from _sentences(result, kit)
    if named := _named(result, kit):
        yield from in_full(result.advice.outing, named)


def _named(result: Worth, kit: str | None) -> Named:
    """The kits that differ, each under one name."""
    mine = "Yours" if kit else "Same kit"
    sides = {
        f"{mine} without": result.same.without,
        f"{mine} with": result.same.with_it,
        "Best without": result.best.without,
        "Best with": result.best.with_it,
    }
    found: dict[str, Contender] = {}
    for name in list(sides) if kit else reversed(sides):
        side = sides[name]
        if side and side.kit not in [known.kit for known in found.values()]:
            found[name] = side
    return tuple((name, found[name]) for name in sides if name in found)


def _rows(result: Worth, named: Named) -> Iterator[list[str]]:
    outing = result.advice.outing
    season = ("season",) if result.advice.by == "season" else ()
    for name in (*ROWS, *season):
        needs = next((words.needs(kit.limits[name]) for _, kit in named if name in kit.limits), "")
        asked = f" ({needs})" if needs else ""
        yield [
            f"{label(outing, name)}{asked}",
            *(cell(kit, name) for _, kit in named),
        ]


def _sentences(result: Worth, kit: str | None) -> Blocks:
    part = result.advice.catalog.part(result.part)
    yield Say(f"{part.name} ({result.part})", style="bold")
    same, best = result.same, result.best
    if same.without or same.with_it:
        yield Say(_in_one_kit(result, kit))
    none = f"any {result.kind}" if result.kind == "controller" else "it"
    if best.without is None and best.with_it is None:
        yield Say(
            f"No kit with it meets every limit, and none without {none}."
            if result.advice.choice.kit
            else "No kit of the catalog meets every limit, with it or without it."
        )
    elif best.without is None:
        yield Say(f"Without {none} no kit of the catalog meets every limit.")
    elif best.with_it is None:
        yield Say("No kit of the catalog that has it meets every limit.")
    elif (best.without.kit, best.with_it.kit) != _kits(same):
        yield Say(f"Between the best kits with it and without it, it {_bought(result, best)}.")
    if found := result.advice.choice.kit:
        yield Say(_verdict(result, found))
    if result.set_aside:
        ids = ", ".join(result.set_aside)
        yield Say(f"To answer, the outing's wishes about {ids} under [parts] were set aside.")


def _kits(pair: Pair) -> tuple[Kit | None, Kit | None]:
    without, with_it = (side.kit if side else None for side in (pair.without, pair.with_it))
    return without, with_it


def _in_one_kit(result: Worth, kit: str | None) -> str:
    same, it = result.same, "your kit" if kit else "the same kit"
    if same.without and same.with_it:
        other = getattr(same.without.proof.chosen, result.kind)
        instead = f", instead of {other.name}," if other else ""
        follow = [k for k in changed(same.without.kit, same.with_it.kit) if k != result.kind]
        also = f" Changed with it: {words.together(follow)}." if follow else ""
        return f"In {it}{instead} it {_bought(result, same)}.{also}"
    if same.without:
        rules = "; ".join(map(_rule, result.in_the_way))
        return f"It cannot go into {'your' if kit else 'the best'} kit. {rules}."
    if result.kind in SPARE:
        return f"Without it {it} breaks a rule."
    return f"With another {result.kind} in its place {it} no longer meets every limit."


def _rule(limit: Limit) -> str:
    if limit.name == "controller_rating" and limit.sense == "at most":
        return "The motor has a control of its own"
    needs = words.needs(limit) or "a match"
    return f"{words.LABELS[limit.name]}: {needs} asked, {words.has(limit)} found"


def _verdict(result: Worth, found: Kit) -> str:
    best = words.MEASURES[result.advice.by]
    if result.part in found.ids:
        return f"It is in the {best}."
    other = getattr(found, result.kind)
    if result.kind in SPARE and other:
        return f"The {best} has another {result.kind}: {result.advice.catalog.part(other).name}."
    return f"The {best} does without it."


def _bought(result: Worth, pair: Pair) -> str:
    """ "buys 1 h 58 more on the water for 80.72 crowns; 736 g heavier"."""
    without, with_it, buys = pair.without, pair.with_it, pair.buys
    assert without and with_it and buys
    money = f"{words.money(abs(buys.cost_cents))} {result.advice.outing.currency}"
    more_h = _shown_h(with_it) - _shown_h(without)
    hours = f"{words.duration(abs(more_h))} {'more' if more_h > 0 else 'less'} on the water"
    rest = []
    if more_h > 0:
        how = f" for {money}" if buys.cost_cents > 0 else f" and saves {money}"
        told = f"buys {hours}{how if buys.cost_cents else ' at the same price'}"
    else:
        how = f"costs {money}" if buys.cost_cents > 0 else f"saves {money}"
        told = how if buys.cost_cents else "costs nothing"
        rest += [hours] if more_h else []
    speeds = [words.speed(side.top_speed_m_s) for side in (without, with_it)]
    if speeds[0] != speeds[1]:
        rest.append(f"top speed {speeds[1]} instead of {speeds[0]}")
    if buys.mass_g:
        weighs = "heavier" if buys.mass_g > 0 else "lighter"
        rest.append(f"{words.kilograms(abs(buys.mass_g))} {weighs}")
    return f"{told}; {', '.join(rest)}" if rest else told


def _shown_h(kit: Contender) -> float:
    """Hours as they are shown, so that the difference agrees with them."""
    return kit.hours if isinf(kit.hours) else round(60 * kit.hours) / 60
