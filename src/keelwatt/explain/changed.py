"""Kits side by side: what changes from one to the next, and kits as rows of a table."""

from keelwatt.explain.prices import Found
from keelwatt.files.kit import SEASON_UNITS_PER_CENT, Kit

PLACES = {
    "battery": ("battery", "series", "parallel", "compartment"),
    "box": ("box",),
    "motor": ("motor", "mount"),
    "controller": ("controller",),
    "cable": ("cable", "run_m"),
    "fuse": ("fuse",),
    "connector": ("connector",),
    "charger": ("charger",),
}
"""Each kind of part, and what of a kit says which, how many and where."""

COLUMNS = {
    "price": "price of what is not owned, in the outing's currency",
    "mass_kg": "mass carried",
    "season_price": "price spread over each part's life, a season",
    "battery": "battery id",
    "series": "batteries in series",
    "parallel": "strings in parallel",
    "compartment": "where they stand",
    "motor": "motor id",
    "mount": "where it hangs",
    "controller": "external controller's id, None for none",
    "cable": "cable id",
    "run_m": "its length one way",
    "fuse": "fuse id",
    "connector": "connector id",
    "charger": "charger id, None for none",
    "box": "id of each battery's box, None for a strap",
}
"""Column -> meaning of every table of kits."""


def changed(before: Kit, after: Kit) -> tuple[str, ...]:
    """The kinds of part that differ in id, number or place."""
    return tuple(
        kind
        for kind, fields in PLACES.items()
        if any(getattr(before, name) != getattr(after, name) for name in fields)
    )


def kit_row(found: Found | None) -> list[object]:
    """A kit under COLUMNS; None throughout where there is none."""
    if found is None:
        return [None] * len(COLUMNS)
    sums = (
        found.cost_cents / 100,
        found.mass_g / 1000,
        found.season_units / SEASON_UNITS_PER_CENT / 100,
    )
    return [*sums, *(getattr(found.kit, name) for name in list(COLUMNS)[len(sums) :])]
