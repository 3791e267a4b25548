"""What shops print, read as the catalog's own words and classes."""

import re
from collections.abc import Mapping

from keelwatt.units import UnitError

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
    **dict.fromkeys(["type", "kind"], ("chemistry", "chemistries", "kind", "what", "control")),
    **dict.fromkeys(["chemistry"], ("chemistries",)),
    **dict.fromkeys(["amps", "amp", "amperage", "current", "rating"], ("current", "rating")),
    **dict.fromkeys(["max_amps", "max_current", "amp_draw", "max_amp_draw"], ("current",)),
    **dict.fromkeys(["volts", "voltage"], ("voltage", "system", "max_voltage")),
    **dict.fromkeys(["ah", "amp_hours"], ("capacity",)),
    **dict.fromkeys(["gauge", "awg"], ("size",)),
    **dict.fromkeys(["shaft_length"], ("shaft",)),
    **dict.fromkeys(["speeds"], ("steps",)),
    **dict.fromkeys(["product", "title", "description"], ("name",)),
    **dict.fromkeys(["price_per_meter", "price_per_m"], ("price_per_metre",)),
}
"""Column as shops call it -> the catalog's names for it, the first one known counts."""

PER_FOOT = {"price_per_foot", "price_per_ft"}
UNKNOWN = {"?", "-", "unknown", "n/a", "na", "not known"}
"""Cells that say that nobody knows."""


def chemistry(word: object) -> object:
    """The catalog's word for a battery's chemistry; any other word as it stands.

    >>> chemistry("LiFePO4"), chemistry("Sealed Lead-Acid Battery"), chemistry("agm")
    ('lfp', 'agm', 'agm')
    """
    plain = _NOISE.sub("", str(word).lower())
    if plain in _TWO_KINDS:
        raise UnitError(
            "can be two kinds",
            "write lfp if the label says LiFePO4 or 12.8 V, nmc if it says NMC or 3.7 V a cell",
        )
    return _CHEMISTRIES.get(plain, plain or word)


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
        raise UnitError(
            f"can be of {near[0]} V or of {near[1]} V",
            f"write {near[0]} or {near[1]} as its system",
        )
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
        raise UnitError(
            f"is below the {CHARGED * 12:g} V that a 12 V battery reaches on its charger",
            "write 12 if it is made for 12 V batteries",
        )
    return within[-1]
