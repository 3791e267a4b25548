"""Fronts of kits, and the best that differ, in a terminal."""

from collections.abc import Iterator, Sequence

from keelwatt import words
from keelwatt.explain.advise import Advice
from keelwatt.explain.prices import Found
from keelwatt.explain.tradeoff import Runner, Tradeoff
from keelwatt.report import plots
from keelwatt.report.explanations import kit_text
from keelwatt.report.screen import Column, Screen
from keelwatt.report.studies import WIDEST, axis, changes_text, sums_cells, sums_columns

NEAR = 0.02
"""Kits this close to the best count as near-ties unless told."""


def tradeoff(
    screen: Screen,
    advice: Advice,
    result: Tradeoff,
    runners: Sequence[Runner],
    within: float,
) -> None:
    """The front as a table and a plot, then the best kits that differ."""
    screen.say(advice.outing.title, style="bold")
    if not result.points:
        screen.say(
            "No kit meets every limit. keelwatt pick OUTING names what clashes and ways out."
        )
        return
    count = len(result.points)
    if count == 1:
        screen.say("One kit is both the cheapest and the lightest: there is nothing to trade.")
    else:
        screen.say(
            f"{count} kits meet every limit and are not beaten on both price and mass: whichever "
            "of them you take, no other is cheaper and lighter. Each next one is dearer and "
            "lighter."
        )
    screen.heading("Every kit not beaten")
    screen.table(
        [
            Column("No.", whole=True),
            Column(advice.outing.currency, number=True),
            Column("Mass", number=True),
            Column("A kg less", number=True),
            Column("Changes to"),
        ],
        list(_points(advice, result)),
    )
    if count > 1:
        _scatter(screen, advice, result)
    if runners:
        best_kits(screen, advice, runners, within)


def _points(advice: Advice, result: Tradeoff) -> Iterator[list[str]]:
    last: Found | None = None
    for number, point in enumerate(result.points, start=1):
        kit = point.found
        a_kg, told = "", kit_text(advice, kit.kit)
        if last:
            dearer = kit.cost_cents - last.cost_cents
            a_kg = words.money(1000 * dearer / (last.mass_g - kit.mass_g))
            told = changes_text(advice, kit.kit, point.changes)
        sums = [words.money(kit.cost_cents), words.kilograms(kit.mass_g)]
        yield [str(number), *sums, a_kg, told]
        last = kit


def _scatter(screen: Screen, advice: Advice, result: Tradeoff) -> None:
    screen.heading(f"{advice.outing.currency.capitalize()} over mass")
    found = [point.found for point in result.points]
    screen.plot(
        plots.points(
            [(kit.mass_g, kit.cost_cents) for kit in found],
            axis(found[-1].mass_g, found[0].mass_g, lambda g: words.kilograms(round(g))),
            axis(found[0].cost_cents, found[-1].cost_cents, words.money),
            width=min(WIDEST, screen.console.width),
            ascii_only=screen.console.options.ascii_only,
        )
    )


def best_kits(screen: Screen, advice: Advice, runners: Sequence[Runner], within: float) -> None:
    """The best kits that differ in bank, drive or place."""
    screen.heading("The best kits that differ, each in its best wiring")
    columns = [Column("No.", whole=True), *sums_columns(advice)]
    columns += [Column("Behind", number=True), Column("Kit")]
    rows = [
        [
            str(number),
            *sums_cells(advice, runner.found),
            f"{runner.behind:.1%}",
            kit_text(advice, runner.found.kit),
        ]
        for number, runner in enumerate(runners, start=1)
    ]
    screen.table(columns, rows)
    near = sum(runner.behind <= within for runner in runners) - 1
    if near > 0:
        screen.say(
            f"{near} of the others {'lies' if near == 1 else 'lie'} within {100 * within:g} %: as "
            "good as the best but for what numbers do not know, such as what your shop has."
        )
