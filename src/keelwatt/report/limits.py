"""Limits in a table, broken, loosened."""

import re
from collections.abc import Iterable
from math import isinf

from keelwatt import words
from keelwatt.explain.moving import ALONG, Move
from keelwatt.explain.ways import Change
from keelwatt.files.catalog.assumed import behind
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing
from keelwatt.limits import LIMITS, Limit
from keelwatt.report.blocks import Blocks, Column, Heading, Say, numbers, table, whole
from keelwatt.units import shown

TERMS = (
    "Ampacity: the current a cable may carry. Interrupting capacity: the short-circuit current a "
    "fuse can break. GM: above 0 the boat rights itself."
)

MORE_TERMS = {
    "freeboard": "Freeboard: of the lowest edge, the boat loaded to its plate, the motor "
    "across at full throttle.",
    "mount_moment": "Moment on the mount: full throttle, tethered, on a full bank, the whole "
    "claimed thrust.",
}

KINDS = (("wish", "Your wishes"), ("rule", "Rules, kept whatever you wish"))


def limits(found: Iterable[Limit], binding: frozenset[str] = frozenset()) -> Blocks:
    """Wishes, then rules: what is asked, what the kit has, and the room between."""
    told = [limit for limit in found if limit.name != "parts" or not limit.holds]
    columns = (Column("Limit"), *numbers("Asked", "This kit", "Room"), whole(""))
    for kind, title in KINDS:
        yield Heading(title)
        yield table(columns, (row(it, it.name in binding) for it in told if it.kind == kind))
    more = (MORE_TERMS[it.name] for it in told if it.name in MORE_TERMS)
    yield Say(" ".join((TERMS, *more)))


def row(limit: Limit, binds: bool) -> list[str]:
    """Name, asked, had, room and "binding, tight", or that it is broken."""
    remarks = {"binding": binds, "tight": limit.tight} if limit.holds else {"BROKEN": True}
    if limit.name == "trim" and words.has(limit) != words.trim(limit.has):
        remarks[f"{limit.has:.2f} deg"] = True
    if limit.unit == "mm2":
        remarks[shown.gauge(limit.has)] = True
    told = ", ".join(word for word, is_so in remarks.items() if is_so)
    name = words.LABELS[limit.name]
    return [name, words.needs(limit), words.has(limit), words.room(limit), told]


def change_text(change: Change) -> str:
    """One loosened wish: "Budget 450.00 -> 918.82"."""
    if change.limit == "leg_speed":
        slower = ", ".join(f"{name} {words.safely(v, 'm/s', up=False)}" for name, v in change.legs)
        return f"Slower: {slower}"
    unit = words.unit_of(change.limit, change.unit)
    asked = words.finely(change.asked, unit)
    if isinf(change.to):
        return f"{words.LABELS[change.limit]} {asked} -> given up"
    to = words.safely(change.to, unit, up=not LIMITS[change.limit].grows)
    return f"{words.LABELS[change.limit]} {asked} -> {to}"


def move_text(move: Move) -> str:
    """A load moved: "volunteer (82.0 kg) 6 cm forward"."""
    ways = {"trim": ("forward", "aft"), "heel": ("to starboard", "to port")}
    way = ways[move.limit][move.by_m < 0]
    return f"{move.load} ({shown.mass(1000 * move.mass_kg)}) {shown.small(abs(move.by_m))} {way}"


def move_setting(move: Move, outing: Outing) -> str:
    """The same as ``--set`` takes it: "aboard.volunteer.x=+6 cm"."""
    names = [load.name for load in outing.aboard]
    plain = re.fullmatch(r"[\w -]+", move.load)
    name = move.load if plain else str(names.index(move.load) + 1)
    axis = ALONG[move.limit].removesuffix("_m")
    return f"aboard.{name}.{axis}={'+' if move.by_m > 0 else '-'}{shown.small(abs(move.by_m))}"


def resting(catalog: Catalog, rules: Iterable[str], only: str | None = None) -> Blocks:
    """What rules rest on because the catalog is silent, of one part or of all."""
    for one in behind(rules, catalog, only):
        parts = one.parts[0] if len(one.parts) == 1 else f"{len(one.parts)} parts"
        yield Say(
            f"{one.file} leaves {one.column} open for {parts}; {one.taken} is taken "
            f"({one.source}). Fill in what you know."
        )


def together(conflicts: Iterable[tuple[str, ...]]) -> list[str]:
    """Limits that no kit keeps together, a line each."""
    return [" + ".join(words.LABELS[name] for name in names) for names in conflicts]
