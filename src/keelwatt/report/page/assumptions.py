"""What an answer takes for granted, so that whoever reads the page can judge it."""

from collections.abc import Iterable, Iterator

from keelwatt import words
from keelwatt.explain.advise import Advice
from keelwatt.files.catalog.assumed import as_catalogs_write, left_open, value_left_open
from keelwatt.files.catalog.cells import Column
from keelwatt.report.blocks import Blocks, Heading, items, table
from keelwatt.units import shown

TOLD = (
    "The hull is a smooth parametric shape: friction by the ITTC-1957 line, waves by Michell's "
    "thin-ship integral without credit for its hollows, times a drag factor for roughness, "
    "fittings and the motor's shaft. The default factors are from memory and can be wrong by a "
    "third: measure on the water.",
    "The propeller behaves like scaled Wageningen B-series; the battery follows Peukert's law, a "
    "usable share by chemistry, and loses to cold and age.",
    "Cable, fuse and breaker sizes follow 33 CFR 183.425, written for inboard petrol boats and "
    "good practice here.",
    "Parts and prices are the catalog's: check them against what the shop sells.",
)


def assumptions(advice: Advice) -> Blocks:
    yield Heading("What this assumes")
    yield table(("Taken", "As"), _rows(advice))
    yield items(TOLD)


def _rows(advice: Advice) -> Iterator[tuple[str, str]]:
    outing = advice.outing
    craft, limits, policy = outing.craft, outing.limits, outing.policy
    shape = craft.shape or f"fineness {craft.fineness}, fullness {craft.fullness}"
    yield "Water", f"{outing.water.kind}, {shown.temperature(outing.water.temperature_c)}"
    yield (
        "Hull at the water",
        f"{shape}, {shown.run(craft.waterline_length_m)} long, "
        f"{shown.run(craft.waterline_beam_m)} wide",
    )
    if craft.towed:
        yield "Drag", f"as towed, all-up {shown.mass(1000 * advice.case.towed_kg)}"
    else:
        yield "Drag factor", f"{craft.drag_factor:g} times the smooth hull"
    yield "Hull, people and gear", shown.mass(1000 * advice.case.bare_kg)
    if advice.proof:
        yield from _battery(advice, advice.proof.chosen.battery.chemistry)
    yield "Reserve kept", f"{limits.reserve:.0%} of what may be used ({policy.discharge} use)"
    yield "Battery's health", f"{policy.health:.0%} of its rated capacity"
    yield "Drop allowed in the cable", f"{limits.voltage_drop:.0%}"
    yield "Where the cable lies", f"{shown.temperature(policy.place_temperature_c)} at the most"
    yield "Fuse at the most", f"{policy.fuse_over_ampacity:.0%} of what the cable carries"
    yield "Room round the batteries", shown.tiny(policy.clearance_m)
    yield "Outings a season", f"{outing.wish.outings_per_season}"
    if advice.proof:
        yield from _of_parts(advice, advice.proof.assessment.kit.ids)
    if outing.parts.own:
        yield "Already owned", ", ".join(outing.parts.own)
    yield "Best means", words.MEASURES[advice.by]


def _of_parts(advice: Advice, ids: Iterable[str]) -> Iterator[tuple[str, str]]:
    """What the catalog leaves open of the kit's parts."""
    for part in map(advice.catalog.part, sorted(ids)):
        open_ = [
            f"{column.name} {value_left_open(part, column, _written)}" for column in left_open(part)
        ]
        if open_:
            yield f"Not in the catalog: {part.name}", "; ".join(open_)


def _written(value: float, column: Column) -> str:
    """In the units of the outing."""
    if column.kind == "length":
        return shown.tiny(value) if column.unit == "mm" else shown.run(value)
    if column.kind == "mass":
        return shown.mass(1000 * value)
    if column.kind == "temperature":
        return shown.temperature(value)
    return as_catalogs_write(value, column)


def _battery(advice: Advice, chemistry: str) -> Iterator[tuple[str, str]]:
    case = advice.case
    warm = case.full_share(chemistry) / advice.outing.policy.health
    yield "Capacity at this temperature", f"{warm:.0%} of the rated"
