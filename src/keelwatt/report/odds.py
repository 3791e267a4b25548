"""How a kit's days turn out."""

from collections.abc import Iterator
from math import ceil, floor, hypot

import numpy as np

from keelwatt import words
from keelwatt.chance.margins import Margin
from keelwatt.chance.odds import Chance, Chances
from keelwatt.chance.outlook import Outlook
from keelwatt.chance.spreads import MEASURED_THRUST, Spreads, Unknown
from keelwatt.physics.bank import COLDEST_TABLED_C
from keelwatt.physics.battery import LEAD_ACID
from keelwatt.report.blocks import Blocks, Heading, Plot, Say, Table, items, numbers, table, whole
from keelwatt.report.plots import DOTS, dot_plot
from keelwatt.units import shown

UNKNOWNS: dict[Unknown, str] = {
    "drag": "Drag factor",
    "wind": "Wind",
    "stream": "Stream",
    "capacity": "Battery capacity",
    "thrust": "Motor thrust",
    "temperature": "Battery temperature",
    "length": "Length of the legs",
}

QUANTILES = (
    (0.05, "1 day in 20 has less than"),
    (0.25, "1 day in 4 has less than"),
    (0.5, "Half the days have less than"),
    (0.75, "1 day in 4 has more than"),
    (0.95, "1 day in 20 has more than"),
)

WIDEST = 60
SURE_ENOUGH = 0.95
"""Below this the screen says how to be surer."""


def odds(result: Outlook) -> Blocks:
    yield Say(result.outing.title, style="bold")
    yield Say(
        f"{result.days:,} days with this kit, drawn about the day as planned "
        f"(seed {result.seed}). Wind, drag and battery are never known exactly."
    )
    yield Heading("Chances")
    yield chance_table(result.chances)
    yield Say(f"The interval holds the true chance 95 times in 100, from {result.days:,} days.")
    yield items(_slow(result.chances))
    yield from _left(result)
    yield from _matters(result)
    yield from _stands(result)
    yield Heading("What to do")
    yield items(_next(result))


def chance_table(chances: Chances) -> Table:
    named = {
        "Home, reserve kept": chances.above_reserve,
        "Home, battery not flat": chances.above_zero,
        "Every leg at its speed": chances.in_time,
        "Top speed within reach": chances.top_speed,
        "All as planned": chances.as_planned,
    }
    rows = (
        (name, percent(chance.share), within(chance), in_words(chance))
        for name, chance in named.items()
        if chance
    )
    return table(("Outcome", *numbers("Chance", "95 % interval"), whole("")), rows)


def percent(share: float) -> str:
    """One decimal; never all or nothing unless it is."""
    if 0.9995 <= share < 1.0:
        return "over 99.9%"
    if 0.0 < share < 0.0005:
        return "under 0.1%"
    return f"{share:.1%}" if 0.0 < share < 1.0 else f"{share:.0%}"


def within(chance: Chance) -> str:
    """The 95 % interval, rounded outward."""
    low, high = chance.interval
    return f"{floor(low * 1000) / 10:.1f} to {ceil(high * 1000) / 10:.1f}%"


def in_words(chance: Chance) -> str:
    """How often it is not so: "not on 1 day in 8"."""
    not_so = chance.days - chance.hits
    if not not_so:
        return "every day drawn"
    if not chance.hits:
        return "on no day drawn"
    if 2 * not_so > chance.days:
        return f"on 1 day in {round(chance.days / chance.hits):,}"
    return f"not on 1 day in {round(chance.days / not_so):,}"


def _slow(chances: Chances) -> Iterator[str]:
    slow = 1.0 - chances.in_time.share
    if slow:
        yield (
            f"On {percent(slow)} of the days some leg cannot be made at its speed. The motor then "
            "runs at full throttle, slower; a leg given by its distance takes longer."
        )
    if chances.adrift.hits:
        yield (
            f"On {percent(chances.adrift.share)} full throttle does not even hold the boat where "
            "it is: those days count as not home."
        )


def _left(result: Outlook) -> Blocks:
    yield Heading("Charge left at the end")
    shares = [result.left_at((dot + 0.5) / DOTS)[0] for dot in range(DOTS)]
    keep = result.run.keep_share
    yield Plot(lambda width, _: dot_plot(shares, keep, width=min(width, WIDEST)))
    flat = sum(share <= 0.0 for share in shares)
    below = sum(0.0 < share < keep for share in shares)
    told = f"Each of the {DOTS} marks is a day in {DOTS}, by the share of a full battery left: "
    told += f"o {DOTS - flat - below} with the reserve or more, x {below} with less"
    yield Say(told + (f", F {flat} flat before home." if flat else "."))
    left = {name: result.left_at(quantile) for quantile, name in QUANTILES}
    left["Reserve"] = (keep, keep * float(np.median(result.run.full_ah)))
    rows = ((name, f"{of:.0%}", f"{words.number(ah)} Ah") for name, (of, ah) in left.items())
    yield table(("Left", *numbers("Of a full battery", "Charge")), rows)


def _matters(result: Outlook) -> Blocks:
    yield Heading("What matters most for the charge left")
    drawn = dict(assumptions(result.spreads))
    rows = [
        [UNKNOWNS[each.unknown], drawn[each.unknown], f"{each.share:.0%}"]
        for each in result.shares.shares
        if each.share > 0.0
    ]
    if not rows:
        yield Say("Nothing: every spread is 0.")
        return
    if result.shares.together >= 0.005:
        rows.append(["Several together", "", f"{result.shares.together:.0%}"])
    yield table(("Unknown", "One standard deviation", *numbers("Share")), rows)
    error = max(each.standard_error for each in result.shares.shares)
    yield Say(
        f"Share of the variance each makes by itself, known to {max(0.01, 2 * error):.0%} or "
        "better. About 2 days in 3 lie within one standard deviation."
    )


def assumptions(spreads: Spreads) -> Iterator[tuple[Unknown, str]]:
    """What is drawn, and how far it is off."""
    outing, odds = spreads.outing, spreads.outing.odds
    craft = outing.craft
    measured = "measured" if craft.drag_measured else "never measured"
    measured += ", thrust in it" if craft.drag_factor_motor else ""
    of = "what it was when towed" if craft.towed else f"{craft.drag_factor:.2f}, {measured}"
    yield "drag", f"{spreads.drag:.0%} of {of}"
    gusts = words.speed(odds.gust_spread_m_s)
    yield "wind", f"{odds.wind_spread:.0%} of the day's, and {gusts} on each leg"
    streams = any(leg.current_m_s for leg in outing.legs)
    yield "stream", f"{odds.stream_spread:.0%} of the day's" if streams else "no stream given"
    taken = odds.thrust_spread if craft.drag_factor_motor else 0.0
    claimed, known = (f"{hypot(each, taken):.0%}" for each in (odds.thrust_spread, MEASURED_THRUST))
    first = "none for the log's motor, else " if craft.drag_factor_motor else ""
    yield "thrust", f"{first}{claimed} where it is claimed, {known} where it was measured"
    yield "capacity", f"{odds.capacity_spread:.0%} of what is planned"
    yield "temperature", shown.degrees(odds.temperature_spread_c)
    yield "length", f"{odds.length_spread:.0%}, each leg by itself"


def _stands(result: Outlook) -> Blocks:
    yield Heading("How much worse each condition may get, others as planned")
    amounts = numbers("Planned", "Reserve kept", "Not flat", "Speeds kept")
    yield table(["Condition", *amounts], map(_margin_row, result.margins))
    yield Say('"any": no end found. "broken": fails on the day as planned.')
    if result.boat.chosen.battery.chemistry in LEAD_ACID and _off_the_table(result.margins):
        coldest = shown.temperature(COLDEST_TABLED_C, places=1)
        yield Say(
            f"The table for cold lead-acid ends at {coldest}; below it, its last step goes on. "
            "Leave room."
        )


def _off_the_table(margins: tuple[Margin, ...]) -> bool:
    """Whether a cold shown is colder than the tabled ones."""
    (cold,) = (margin for margin in margins if margin.strain == "cold")
    ends = (cold.reserve_kept, cold.not_flat)
    return any(amount is not None and amount < COLDEST_TABLED_C for amount in ends)


STRAINS = {
    "headwind": "More headwind, all legs",
    "cold": "A colder battery",
    "ageing": "An older battery",
    "drag": "A hull with more drag",
}


def _margin_row(margin: Margin) -> list[str]:
    def until(amount: float | None) -> str:
        if amount is None:
            return "broken"
        return "any" if amount == margin.end else _amount(margin, amount)

    amounts = map(until, (margin.reserve_kept, margin.not_flat, margin.speed_kept))
    return [STRAINS[margin.strain], _amount(margin, margin.planned), *amounts]


def _amount(margin: Margin, amount: float) -> str:
    """Rounded to where it still holds."""
    if margin.strain == "headwind":
        factor, unit, _ = shown.scale("m/s")
        return f"+{floor(10 * factor * amount + 1e-6) / 10:.1f} {unit}"
    if margin.strain == "cold":
        return shown.temperature(ceil(amount * 10 - 1e-6) / 10, places=1)
    if margin.strain == "ageing":
        return f"{ceil(amount * 100 - 1e-6)}%"
    return f"{floor(amount * 100 + 1e-6) / 100:.2f}"


def _next(result: Outlook) -> Iterator[str]:
    first = result.shares.shares[0]
    if result.chances.as_planned.share < SURE_ENOUGH:
        surer = words.command("pick", result.outing.file, "--sure", f"{SURE_ENOUGH:.0%}")
        yield (
            f"To be surer, choose a kit for such days: {surer}. Or ask less of the day, or turn "
            "back earlier when the wind is up."
        )
    if not result.outing.craft.drag_measured and result.spreads.drag:
        share = next(each.share for each in result.shares.shares if each.unknown == "drag")
        yield (
            f"The drag factor was never measured and makes {share:.0%} of the spread. Write a log "
            "of a day on the water, and keelwatt tune measures it (keelwatt tune --help)."
        )
    if first.unknown == "wind":
        yield "The wind matters most: read a forecast on the day, and go against it first."
    if first.unknown == "stream":
        yield "The stream matters most: look it up for the day, and go against it first."
    yield (
        "The spreads are from memory unless you give your own under [odds] in the outing. What "
        "is not drawn can still happen: a motor fails, weeds wind round it, a storm comes up."
    )
