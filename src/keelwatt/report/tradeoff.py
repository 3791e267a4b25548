"""Fronts of kits, and the best that differ."""

from collections.abc import Iterator, Sequence
from functools import partial

from keelwatt import words
from keelwatt.explain.advise import Advice
from keelwatt.explain.prices import Found
from keelwatt.explain.tradeoff import Runner, Tradeoff
from keelwatt.report import plots
from keelwatt.report.blocks import Blocks, Heading, Plot, Say, numbers, table, whole
from keelwatt.report.kits import changes_text, kit_text, sums_cells, sums_columns
from keelwatt.units import shown

BEST = "The best kits that differ, each in its best wiring"

NEAR = 0.02
"""Kits this close to the best count as near-ties unless told."""


def tradeoff(
    advice: Advice,
    result: Tradeoff,
    runners: Sequence[Runner],
    within: float,
) -> Blocks:
    """The front as a table and a plot, then the best kits that differ."""
    yield Say(advice.outing.title, style="bold")
    if not result.points:
        yield Say(
            "No kit meets every limit. What clashes, and the ways out: "
            + words.command("pick", advice.outing.file)
        )
        return
    count = len(result.points)
    if count == 1:
        yield Say("One kit is both the cheapest and the lightest: there is nothing to trade.")
    else:
        yield Say(
            f"{count} kits meet every limit and are best for their price: any other kit costs "
            "more or weighs more. Each next one costs more and weighs less."
        )
    yield Heading("Best kits by price and mass")
    sums = numbers(advice.outing.currency, "Mass", f"Per {shown.now().mass} saved")
    yield table((whole("No."), *sums, "Changes to"), _points(advice, result))
    if count > 1:
        yield Heading(f"{advice.outing.currency.capitalize()} over mass")
        yield _scatter([point.found for point in result.points])
    if runners:
        yield from best_kits(advice, runners, within)


def _points(advice: Advice, result: Tradeoff) -> Iterator[list[str]]:
    last: Found | None = None
    for number, point in enumerate(result.points, start=1):
        kit = point.found
        each, told = "", kit_text(advice, kit.kit)
        if last:
            dearer = kit.cost_cents - last.cost_cents
            lighter = shown.scale("kg")[0] * (last.mass_g - kit.mass_g) / 1000
            each = words.money(dearer / lighter)
            told = changes_text(advice, kit.kit, point.changes)
        sums = [words.money(kit.cost_cents), words.kilograms(kit.mass_g)]
        yield [str(number), *sums, each, told]
        last = kit


def _scatter(found: list[Found]) -> Plot:
    return Plot(
        partial(
            plots.points,
            [(kit.mass_g, kit.cost_cents) for kit in found],
            plots.axis(found[-1].mass_g, found[0].mass_g, lambda g: words.kilograms(round(g))),
            plots.axis(found[0].cost_cents, found[-1].cost_cents, words.money),
        )
    )


def best_kits(advice: Advice, runners: Sequence[Runner], within: float) -> Blocks:
    """The best kits that differ in bank, motor or place."""
    yield Heading(BEST)
    yield from best_rows(advice, runners, within)


def best_rows(advice: Advice, runners: Sequence[Runner], within: float) -> Blocks:
    """Those kits without their heading."""
    columns = [whole("No."), *sums_columns(advice), *numbers("Behind")]
    rows = (
        [
            str(number),
            *sums_cells(advice, runner.found),
            f"{runner.behind:.1%}",
            kit_text(advice, runner.found.kit),
        ]
        for number, runner in enumerate(runners, start=1)
    )
    yield table([*columns, "Kit"], rows, caption=BEST)
    near = sum(runner.behind <= within for runner in runners) - 1
    if near > 0:
        yield Say(
            f"{near} of the others {'lies' if near == 1 else 'lie'} within {100 * within:g} %. "
            "Choose among these by what your shop has."
        )
