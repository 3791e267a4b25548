"""Problems, and the catalog as tables."""

from collections.abc import Iterable

from keelwatt import words
from keelwatt.errors import Problem
from keelwatt.files.catalog.parts import (
    Battery,
    Cable,
    Charger,
    Connector,
    Controller,
    Fuse,
    Motor,
    Part,
)
from keelwatt.files.catalog.reader import Catalog
from keelwatt.report.screen import Column, Screen


def problems(screen: Screen, found: Iterable[Problem]) -> None:
    """Every problem: where, what, and what to write instead."""
    for problem in found:
        screen.say(_place(problem), style="bold")
        value = f"{problem.value!r} " if problem.value is not None else ""
        screen.say(f"  {value}{problem.what}")
        screen.say(f"  -> {problem.remedy}")


def _place(problem: Problem) -> str:
    parts = [problem.file]
    if problem.row is not None:
        parts.append(
            f"row {problem.row}" if problem.column or _is_csv(problem) else f"line {problem.row}"
        )
    if problem.column:
        parts.append(f"column {problem.column}")
    if problem.key:
        parts.append(problem.key)
    word = "warning: " if problem.warning else ""
    return word + ", ".join(parts)


def _is_csv(problem: Problem) -> bool:
    return problem.file.lower().endswith(".csv")


def check(screen: Screen, catalog: Catalog) -> None:
    """A catalog without problems."""
    if catalog.warnings:
        problems(screen, catalog.warnings)
        screen.console.print()
    counts = ", ".join(
        f"{len(parts)} {words.KINDS[kind].lower()}" for kind, parts in catalog.kinds().items()
    )
    screen.say(f"No problems in {catalog.folder}: {counts}.")


def listing(screen: Screen, catalog: Catalog, kinds: Iterable[str]) -> None:
    """The parts of some kinds as tables."""
    for kind in kinds:
        parts = catalog.kinds()[kind]
        screen.heading(f"{words.KINDS[kind]} ({len(parts)})")
        if parts:
            columns = [Column("Part"), *(Column(t, number=True) for t in _TITLES[kind])]
            screen.table(columns, [_row(part) for part in parts])


_TITLES = {
    "batteries": ("Volts", "Capacity", "Kind", "Gives", "Mass", "Price"),
    "motors": ("Volts", "Thrust", "Current", "Control", "Mass", "Price"),
    "controllers": ("Volts", "Current", "Efficiency", "Mass", "Price"),
    "cables": ("Size", "Insulation", "A metre", "Price"),
    "fuses": ("Kind", "Rating", "Breaks", "Up to", "Price"),
    "connectors": ("Current", "Cables", "Mass", "Price"),
    "chargers": ("Volts", "Current", "For", "Price"),
}


def _row(part: Part) -> list[str]:
    price = words.money(getattr(part, "price_cents", 0))
    mass = f"{words.number(getattr(part, 'mass_kg', 0.0))} kg"
    match part:
        case Battery():
            cells = [
                f"{part.system_v} V",
                f"{part.capacity_ah:g} Ah",
                part.chemistry,
                f"{part.continuous_a:g} A",
                mass,
                price,
            ]
        case Motor():
            control = f"{part.steps} steps" if part.control == "stepped" else "chopper"
            cells = [
                f"{part.system_v} V",
                f"{part.thrust_n:g} N",
                f"{part.current_a:g} A",
                control,
                mass,
                price,
            ]
        case Controller():
            cells = [
                f"{part.min_system_v}-{part.max_system_v} V",
                f"{part.current_a:g} A",
                f"{part.efficiency:.0%}",
                mass,
                price,
            ]
        case Cable():
            cells = [
                part.size,
                f"{part.insulation_c:g} degC",
                f"{1000 * part.mass_kg_m:.0f} g",
                f"{words.money(part.price_cents_m)} a metre",
            ]
        case Fuse():
            cells = [
                part.kind,
                f"{part.rating_a:g} A",
                f"{part.interrupts_a:g} A",
                f"{part.max_voltage_v:g} V",
                price,
            ]
        case Connector():
            cells = [f"{part.current_a:g} A", f"{part.smallest} to {part.largest}", mass, price]
        case Charger():
            cells = [
                f"{part.system_v} V",
                f"{part.current_a:g} A",
                ", ".join(part.chemistries),
                price,
            ]
    return [part.id, *cells]
