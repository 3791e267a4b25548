"""Charts of many kits: price against mass, and the best kit as one wish grows."""

from collections.abc import Sequence
from itertools import pairwise

from markupsafe import Markup

from keelwatt import words
from keelwatt.choose.sums import Measure
from keelwatt.drawings.frame import Frame, axis
from keelwatt.drawings.svg import Drawing, shortened, text
from keelwatt.explain.prices import Found
from keelwatt.explain.stretch import Stretch
from keelwatt.explain.tradeoff import Runner, Tradeoff
from keelwatt.units import shown

HEIGHT = 280.0
IN_FULL = 14
"""Characters of a currency's name on an axis."""


def scatter(front: Tradeoff, runners: Sequence[Runner], currency: str) -> Drawing:
    """Price against mass: kits not beaten on a stepped line, the best that differ by number.
    Without runners, the kits not beaten have the numbers."""
    unbeaten = [_place(point.found) for point in front.points]
    others = [_place(runner.found) for runner in runners]
    every = [*unbeaten, *others]
    frame = Frame(
        axis(f"mass to carry, {shown.now().mass}", [kg for kg, _ in every], from_zero=False),
        axis(
            f"price, {shortened(currency, IN_FULL)}", [price for _, price in every], from_zero=False
        ),
        height=HEIGHT,
    )
    steps = [
        corner
        for (kg, price), (next_kg, next_price) in pairwise(unbeaten)
        for corner in ((kg, price), (kg, next_price), (next_kg, next_price))
    ]
    body = [
        frame.axes(),
        frame.line(steps, "line"),
        frame.dots(others[1:], "dot"),
        frame.dots(unbeaten, "hollow"),
        frame.dots(others[:1], "accent-fill"),
        frame.numbers(others or unbeaten),
    ]
    told = (
        f"{len(unbeaten)} kits are best by price and mass together, from "
        f"{_told(front.points[0].found, currency)} to {_told(front.points[-1].found, currency)}."
    )
    return frame.drawing("kits", "Price against mass", told, body)


def _place(found: Found) -> tuple[float, float]:
    return shown.scale("kg")[0] * found.mass_g / 1000.0, found.cost_cents / 100.0


def _told(found: Found, currency: str) -> str:
    return f"{words.kilograms(found.mass_g)} for {words.money(found.cost_cents)} {currency}"


def staircase(
    result: Stretch, span: tuple[float, float], title: str, over: str, currency: str
) -> Drawing:
    """The best kit's measure over one wish; gaps where nothing fits; what is asked, marked."""
    scale, unit, _ = words.fine(result.unit)
    low, high = (scale * end for end in span)
    treads = [
        (max(low, scale * step.start), min(high, scale * step.end), _height(step.found, result.by))
        for step in result.steps
        if step.found and scale * step.end >= low and scale * step.start <= high
    ]
    heights = [value for _, _, value in treads]
    amount = shortened(currency, IN_FULL) if result.unit == "money" else unit.strip()
    frame = Frame(
        axis(f"{over}, {amount}", [low, high], from_zero=False, about=6),
        axis(_measured(result.by, currency), heights, from_zero=False),
    )
    drawn = [frame.axes()]
    for (_, end, here), (start, _, there) in pairwise(treads):
        if start == end:
            drawn.append(frame.line([(end, here), (end, there)], "line"))
    drawn += [frame.line([(start, value), (end, value)], "accent") for start, end, value in treads]
    if result.asked is not None and low <= scale * result.asked <= high:
        drawn += _asked(frame, scale * result.asked)
    told = (
        f"{len(treads)} steps from {low:g} to {high:g} {amount}, between "
        f"{min(heights):,.2f} and {max(heights):,.2f}."
    )
    return frame.drawing("staircase", title, told, drawn)


def _asked(frame: Frame, amount: float) -> list[Markup]:
    x, _ = frame.place(amount, frame.y.low)
    beside, anchor = (5.0, "start") if x < (frame.left + frame.right) / 2 else (-5.0, "end")
    return [
        frame.line([(amount, frame.y.low), (amount, frame.y.high)], "warn"),
        text("asked", x + beside, frame.bottom - 5.0, "small halo", anchor),
    ]


def _height(found: Found, by: Measure) -> float:
    if by == "mass":
        return shown.scale("kg")[0] * found.value(by) / 1000.0
    return found.value(by) / 100.0


def _measured(by: Measure, currency: str) -> str:
    money = shortened(currency, IN_FULL)
    mass = f"mass, {shown.now().mass}"
    return {"cost": f"price, {money}", "mass": mass, "season": f"a season, {money}"}[by]
