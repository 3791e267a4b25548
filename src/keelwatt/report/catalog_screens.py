"""Problems, and the catalog as tables."""

from collections.abc import Iterable
from itertools import repeat

from keelwatt import words
from keelwatt.errors import Problem
from keelwatt.files.catalog.assumed import Assumed, assumed
from keelwatt.files.catalog.parts import Cable, Charger, Enclosure, Fitting, Motor, Part
from keelwatt.files.catalog.reader import Catalog
from keelwatt.report.blocks import Blocks, Heading, Say, items, numbers, table
from keelwatt.units import shown

FEW = 2
"""Parts named one by one."""

LONGEST = 300
"""Of what was typed, in signs: more is cut where a problem names it."""


def problems(found: Iterable[Problem]) -> Blocks:
    """Every problem: where, what, and what to write instead."""
    for problem in found:
        yield Say(_place(problem), style="bold")
        value = f"{_short(problem.value)!r} " if problem.value is not None else ""
        yield Say(f"  {value}{problem.what}")
        yield Say(f"  -> {problem.remedy}")


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
    return word + ", ".join(map(_short, parts))


def _short(text: str) -> str:
    """As much of what was typed as finds it again."""
    return text if len(text) <= LONGEST else f"{text[: LONGEST // 2]}...{text[-LONGEST // 4 :]}"


def _is_csv(problem: Problem) -> bool:
    return problem.file.lower().endswith(".csv")


def source(catalog: Catalog) -> Say:
    """Which catalog an answer was made from."""
    return Say(f"Catalog: {catalog.folder}. {invented(catalog)}".strip(), style="dim")


def invented(catalog: Catalog) -> str:
    """Which of its parts are those that keelwatt comes with."""
    total = sum(map(len, catalog.shelves().values()))
    if catalog.invented >= total:
        return "Its parts and prices are invented."
    some = f"{catalog.invented} of its {total} parts and their prices are invented."
    return some if catalog.invented else ""


def check(catalog: Catalog) -> Blocks:
    """A catalog without problems."""
    if catalog.warnings:
        yield from problems(catalog.warnings)
        yield Say("")
    counts = ", ".join(
        f"{words.KINDS[kind].lower()} {len(parts)}" for kind, parts in catalog.shelves().items()
    )
    taken = tuple(assumed(catalog))
    if taken:
        yield Heading("Assumed where a cell is blank or a column missing; fill in what you know")
        yield items(map(_assumed, taken))
    yield Say(f"No problems in {catalog.folder}: {counts}.")


def _assumed(one: Assumed) -> str:
    few = ", ".join(one.parts) if len(one.parts) <= FEW else f"{len(one.parts)} parts"
    return f"{one.file}, {one.column}: {one.taken} ({one.source}); {few}"


def listing(catalog: Catalog, kinds: Iterable[str]) -> Blocks:
    """The parts of some kinds as tables."""
    for kind in kinds:
        parts = catalog.shelves()[kind]
        yield Heading(f"{words.KINDS[kind]} ({len(parts)})")
        if parts:
            yield table(("Part", *numbers(*COLUMNS[kind])), map(_row, repeat(kind), parts))


def _row(kind: str, part: Part) -> list[str]:
    has = part.model_dump() | {
        "price": words.money(getattr(part, "price_cents", 0)),
        "mass": shown.si(getattr(part, "mass_kg", 0.0), "kg"),
    }
    match part:
        case Motor():
            has["thrust"] = shown.force(part.thrust_n)
            has["control"] = f"{part.steps} steps" if part.control == "stepped" else "chopper"
        case Cable():
            foot = shown.now().length == "ft"
            long_m, long = (0.3048, "foot") if foot else (1.0, "metre")
            has["length"] = f"{shown.mass(1000 * long_m * part.mass_kg_m)} a {long}"
            has["price"] = f"{words.money(long_m * part.price_cents_m)} a {long}"
            has["size"] = shown.wire(part.size, part.area_mm2)
        case Fitting():
            has["current"] = f"{part.rating_a:g} A" if part.rating_a else "-"
            has["size"] = part.size or "-"
        case Enclosure():
            for name, size_m in (("inside", part.inner_m), ("outside", part.outer_m)):
                has[name] = " x ".join(shown.tiny(side_m) for side_m in size_m)
        case Charger():
            has["chemistries"] = ", ".join(part.chemistries)
    return [part.id, *(cell.format_map(has) for cell in COLUMNS[kind].values())]


COLUMNS = {
    kind: dict(column.split(": ") for column in told.split("; "))
    for kind, told in {
        "batteries": "Volts: {system_v} V; Capacity: {capacity_ah:g} Ah; Kind: {chemistry}; "
        "Gives: {continuous_a:g} A; Mass: {mass}; Price: {price}",
        "motors": "Volts: {system_v} V; Thrust: {thrust}; Current: {current_a:g} A; "
        "Control: {control}; Mass: {mass}; Price: {price}",
        "controllers": "Volts: {min_system_v}-{max_system_v} V; Current: {current_a:g} A; "
        "Efficiency: {efficiency:.0%}; Mass: {mass}; Price: {price}",
        "cables": "Size: {size}; Insulation: {insulation_c:g} degC; Mass: {length}; Price: {price}",
        "fuses": "Kind: {kind}; Rating: {rating_a:g} A; Interrupts: {interrupts_a:g} A; "
        "Up to: {max_voltage_v:g} V; Price: {price}",
        "connectors": "Current: {current_a:g} A; Cables: {smallest} to {largest}; Mass: {mass}; "
        "Price: {price}",
        "chargers": "Volts: {system_v} V; Current: {current_a:g} A; For: {chemistries}; "
        "Price: {price}",
        "boxes": "For: {holds}; Inside: {inside}; Outside: {outside}; Mass: {mass}; Price: {price}",
        "fittings": "What: {what}; Current: {current}; Cable: {size}; Mass: {mass}; Price: {price}",
    }.items()
}
"""Each kind's columns, and what a part says in them."""
