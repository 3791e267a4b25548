"""What shops print, read as the catalog's own words and classes."""

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

from keelwatt.units import UnitError, cable_area_mm2

CLASSES = (12, 24, 36, 48)

CHARGED = 14.6 / 12
"""What a battery reaches on its charger over its class: four cells of LiFePO4 at 3.65 V."""

_CHEMISTRIES: Mapping[str, str] = {
    **dict.fromkeys(["lifepo4", "lifepo", "lithiumiron", "lithiumironphosphate"], "lfp"),
    **dict.fromkeys(["sealedleadacid", "sealedlead", "sla", "vrla"], "agm"),
    **dict.fromkeys(["agmleadacid", "absorbedglassmat", "absorbentglassmat"], "agm"),
    **dict.fromkeys(["gelleadacid", "gelcell"], "gel"),
    **dict.fromkeys(["leadacid", "lead", "wet", "wetcell", "floodedleadacid"], "flooded"),
    **dict.fromkeys(["liionnmc", "lithiumnickelmanganese", "lithiumnmc"], "nmc"),
}
_TWO_KINDS = {"lithium", "lithiumion", "liion", "li"}
_NOISE = re.compile(r"deep cycle|battery|batteries|marine|[^a-z0-9]+")

ALSO: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(["weight"], ("mass",)),
    "l": ("length",),
    "w": ("width",),
    "h": ("height",),
    **dict.fromkeys(["type", "kind"], ("chemistry", "chemistries", "kind", "what", "control")),
    **dict.fromkeys(["chemistry"], ("chemistries",)),
    **dict.fromkeys(["amps", "amp", "amperage", "current", "rating"], ("current", "rating")),
    **dict.fromkeys(["max_amps", "max_current", "amp_draw", "max_amp_draw"], ("current",)),
    **dict.fromkeys(["volts", "voltage"], ("voltage", "system", "max_voltage")),
    **dict.fromkeys(["ah", "amp_hours"], ("capacity",)),
    **dict.fromkeys(["max_discharge", "max_discharge_current"], ("continuous",)),
    **dict.fromkeys(["continuous_discharge", "max_continuous_discharge"], ("continuous",)),
    **dict.fromkeys(["interrupting", "interrupt_rating", "aic"], ("interrupts",)),
    **dict.fromkeys(["gauge", "awg"], ("size",)),
    **dict.fromkeys(["shaft_length"], ("shaft",)),
    **dict.fromkeys(["product", "title", "description"], ("name",)),
    **dict.fromkeys(["price_per_meter", "price_per_m"], ("price_per_metre",)),
}
"""Column as shops call it -> the catalog's names for it, the first one known counts."""

PER_FOOT = {"price_per_foot", "price_per_ft"}
AWG = {"gauge", "awg"}
"""Columns of cable sizes whose bare numbers are American gauges."""

UNKNOWN = {"?", "-", "unknown", "n/a", "na", "not known"}
"""Cells that say that nobody knows."""


def chemistry(word: object) -> object:
    """The catalog's word for a battery's chemistry; any other word as it stands.

    >>> chemistry("LiFePO4"), chemistry("Sealed Lead-Acid Battery"), chemistry("agm")
    ('lfp', 'agm', 'agm')
    """
    plain = _NOISE.sub("", str(word).lower())
    if not word:
        raise UnitError("is not said by the name", "write flooded, agm, gel, lfp or nmc")
    if plain in _TWO_KINDS:
        what = "can be two kinds"
        remedy = "write lfp if the label says LiFePO4 or 12.8 V, nmc if it says NMC or 3.7 V a cell"
        raise UnitError(what, remedy)
    return _CHEMISTRIES.get(plain, plain or word)


def chemistry_named(name: str) -> str:
    """The words of a battery's name that say its chemistry, most of them first; else nothing.

    >>> chemistry_named("Smart LiFePO4 100 Ah"), chemistry_named("Sealed lead-acid 35 Ah")
    ('lifepo4', 'sealedleadacid')
    """
    words = re.findall("[a-z0-9]+", name.lower())
    said = {"flooded", "agm", "gel", "lfp", "nmc", *_CHEMISTRIES, *_TWO_KINDS}
    runs = ("".join(words[at : at + n]) for n in (4, 3, 2, 1) for at in range(len(words)))
    found = next((run for run in runs if run in said), "")
    return "lithium" if found in _TWO_KINDS else found


def chemistries(words: object) -> object:
    """Of a charger. One for lead-acid batteries is not taken for one that suits gel."""
    if not isinstance(words, tuple):
        return words
    found: list[object] = []
    for word in words:
        found.append(chemistry(word))
        if found[-1] == "flooded" != word:
            found.append("agm")
    return tuple(dict.fromkeys(found))


def system_class(volts: object) -> object:
    """The class of a voltage on a label or a charger: 12.8 and 14.6 are 12.

    >>> system_class(25.6), system_class(14.6)
    (24, 12)
    """
    if volts in CLASSES or not isinstance(volts, int | float):
        return volts
    near = [each for each in CLASSES if 0.9 * each <= volts <= 1.25 * each]
    if len(near) == 2:
        what = f"can be of {near[0]} V or of {near[1]} V"
        remedy = f"write {near[0]} or {near[1]} as its system"
        raise UnitError(what, remedy)
    if not near:
        raise UnitError("is not a system voltage", "write 12, 24, 36 or 48")
    return near[0]


def least_class(volts: object) -> object:
    """The lowest class of battery that a control beginning at this voltage works on.

    >>> least_class(9.0), least_class(12), least_class(20)
    (12, 12, 24)
    """
    if not isinstance(volts, int | float):
        return volts
    enough = [each for each in CLASSES if 1.07 * each >= volts]  # 12.8 V may be printed for 12
    if not enough:
        raise UnitError("is above every system voltage", "write 12, 24, 36 or 48")
    return enough[0]


def most_class(volts: object) -> object:
    """The highest class of battery that stays at or below this voltage on its charger.

    >>> most_class(60), most_class(50), most_class(24)
    (48, 36, 24)
    """
    if volts in CLASSES or not isinstance(volts, int | float):
        return volts
    within = [each for each in CLASSES if CHARGED * each <= volts]
    if not within:
        what = f"is below the {CHARGED * 12:g} V that a 12 V battery reaches on its charger"
        remedy = "write 12 if it is made for 12 V batteries"
        raise UnitError(what, remedy)
    return within[-1]


@dataclass(frozen=True)
class Shared:
    """One printed column that holds several of the catalog's; ``between`` joins them again."""

    columns: tuple[str, ...]
    split: Callable[[str], tuple[str, ...]]
    between: str


def _ends(text: str) -> tuple[str, ...]:
    """Of a range: "12-60 V" is 12 and 60."""
    found = re.findall(r"[0-9]+(?:[.,][0-9]+)?", text)
    return (found[0], found[-1]) if found else (text, text)


def sides(text: str) -> tuple[str, ...]:
    """Length, width and height: "13 x 6.8 x 8.4 in"."""
    found = [
        re.sub(r"[\s(]*(?<![A-Za-z])[LWHDlwhd]?[\s).]*$", "", side).strip()
        for side in re.split("[x×X*]", text)
    ]
    if len(found) != 3:
        raise UnitError("is not length x width x height", 'write it as "13 x 6.8 x 8.4 in"')
    unit = re.sub(r"^[0-9.,/ -]*", "", found[-1])
    return tuple(f"{side} {unit}".strip() if side[-1:].isdigit() else side for side in found)


def _sizes(text: str) -> tuple[str, ...]:
    """The thinnest and the thickest cable: "6-10 AWG" is 10 AWG and 6 AWG."""
    unit = "mm2" if "mm" in text.lower() else "AWG"
    found = re.findall(r"[1-4]/0|[0-9]+(?:\.[0-9]+)?", re.sub("(?i)mm2", "", text))
    sizes = sorted((f"{size} {unit}" for size in found), key=cable_area_mm2)
    return (sizes[0], sizes[-1]) if sizes else (text, text)


def _speeds(text: str) -> tuple[str, ...]:
    """Control and forward speeds: "5 forward, 3 reverse" is a switch of 5, "variable" a chopper."""
    count = re.search("[0-9]+", text)
    return ("stepped", count[0]) if count else ("chopper" if "vari" in text.lower() else text, "0")


_SHARED: Mapping[str, Shared] = {
    **dict.fromkeys(
        ["voltage", "volts", "system"], Shared(("min_system", "max_system"), _ends, "-")
    ),
    **dict.fromkeys(
        ["dimensions", "dimension", "size"], Shared(("length", "width", "height"), sides, " x ")
    ),
    **dict.fromkeys(
        ["wire", "wire_size", "cable", "cable_size"],
        Shared(("smallest", "largest"), _sizes, " to "),
    ),
    "speeds": Shared(("control", "steps"), _speeds, " "),
}


def shared(printed: str, known: Collection[str]) -> Shared | None:
    """Where a file's kind of part has these columns and none of that name."""
    found = None if printed in known else _SHARED.get(printed)
    return found if found and set(found.columns) <= set(known) else None
