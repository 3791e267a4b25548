"""How quantities are written for whoever reads: in the units they typed, or asked for."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, fields
from math import isclose, log, pi

from keelwatt.units.quantities import FACTORS, Kind

FAMILIES: Mapping[str, Mapping[str, str]] = {
    "length": {
        **dict.fromkeys(["m", "cm", "mm", "km"], "m"),
        **dict.fromkeys(["ft", "in", "yd", "mi"], "ft"),
    },
    "mass": {**dict.fromkeys(["kg", "g", "t"], "kg"), **dict.fromkeys(["lb", "oz", "st"], "lb")},
    "speed": {unit: unit for unit in ("km/h", "m/s", "mph", "kn")},
    "force": {"N": "N", "kN": "N", "lbf": "lb", "lb": "lb"},
    "temperature": {"degC": "degC", "K": "degC", "degF": "degF"},
    "moment": {"N m": "N m", "kgf m": "N m", "lbf ft": "lbf ft"},
}
"""Kind of quantity -> unit typed -> the unit it is then shown in."""


@dataclass(frozen=True)
class Units:
    """The unit of each kind; lengths in m are also shown in cm and mm, those in ft in inches."""

    length: str = "m"
    mass: str = "kg"
    speed: str = "km/h"
    force: str = "N"
    temperature: str = "degC"
    moment: str = "N m"

    @classmethod
    def typed(cls, counts: Mapping[tuple[Kind, str], int]) -> "Units":
        """Each kind as it was mostly typed, else metric; all US where length, mass and speed are.

        >>> Units.typed({("mass", "lb"): 2, ("mass", "kg"): 1}).mass
        'lb'
        """
        found: dict[str, str] = {}
        for kind, families in FAMILIES.items():
            votes: dict[str, int] = {getattr(METRIC, kind): 0}
            for (typed, unit), count in counts.items():
                if typed == kind and unit in families:
                    shown = families[unit]
                    votes[shown] = votes.get(shown, 0) + count
            if any(votes.values()):
                found[kind] = max(votes, key=lambda unit: votes[unit])
        main = [found[kind] == getattr(US, kind) for kind in MAIN if kind in found]
        rest = US if main and all(main) else METRIC
        return cls(**{each.name: found.get(each.name, getattr(rest, each.name)) for each in FIELDS})


FIELDS = fields(Units)
METRIC = Units()
US = Units("ft", "lb", "mph", "lb", "degF", "lbf ft")
MAIN = ("length", "mass", "speed")
SYSTEMS: Mapping[str, Units | None] = {"us": US, "metric": METRIC, "mixed": None}
"""What may be asked for; mixed is each kind as it was typed."""

_SHOWN: ContextVar[Units] = ContextVar("shown", default=METRIC)
_ASKED: ContextVar[Units | None] = ContextVar("asked", default=None)


@contextmanager
def asked(system: str | None) -> Iterator[None]:
    """Whatever is written meanwhile is in this system, whatever was typed."""
    token = _ASKED.set(SYSTEMS[system] if system else None)
    try:
        yield
    finally:
        _ASKED.reset(token)


@contextmanager
def written_in(typed: Units) -> Iterator[None]:
    """Whatever is written meanwhile is in these units, unless others were asked for."""
    token = _SHOWN.set(chosen(typed))
    try:
        yield
    finally:
        _SHOWN.reset(token)


def chosen(typed: Units) -> Units:
    """The units asked for, else those typed."""
    return _ASKED.get() or typed


def now() -> Units:
    return _SHOWN.get()


PLACES: Mapping[str, int] = {"kg": 2, "lb": 1, "km/h": 2, "m/s": 2, "mph": 2, "kn": 2}
"""Decimals that tell close amounts apart."""

_SI: Mapping[str, Kind] = {"kg": "mass", "m/s": "speed", "N": "force", "N m": "moment"}

INCH_M, INCHES_A_FOOT = 0.0254, 12


def scale(unit: str) -> tuple[float, str, int]:
    """For an SI unit: what it is multiplied by, the unit then shown, decimals of a close look."""
    if unit in _SI:
        kind = _SI[unit]
        shown = getattr(now(), kind)
        return 1.0 / FACTORS[kind][shown], shown, PLACES.get(shown, 1)
    if unit in ("m", "mm") and now().length == "ft":
        return (1.0 if unit == "m" else 1e-3) / INCH_M, "in", 1
    return 1.0, unit, 2 if unit == "m" else 0


def plain(value: float) -> str:
    """Whole where it is whole, else three significant digits, two decimals at most.

    >>> plain(110.0000001), plain(13.64), plain(0.5)
    ('110', '13.6', '0.50')
    """
    whole = round(value)
    if isclose(value, whole, rel_tol=1e-6, abs_tol=1e-9):
        return f"{whole}"
    size = abs(value)
    return f"{value:.{0 if size >= 100 else 1 if size >= 10 else 2}f}"


def si(value: float, unit: str) -> str:
    factor, shown, _ = scale(unit)
    return f"{plain(factor * value)} {shown}".rstrip()


def mass(grams: float) -> str:
    """From grams: "13.6 kg", "90 g", "30.0 lb", "3.2 oz"."""
    if now().mass == "kg":
        return f"{grams / 1000:.1f} kg" if grams >= 1000 else f"{grams:.0f} g"
    pounds = grams / 1000 / FACTORS["mass"]["lb"]
    return f"{pounds:.1f} lb" if pounds >= 1 else f"{16 * pounds:.1f} oz"


def speed(m_s: float) -> str:
    factor, shown, _ = scale("m/s")
    return f"{factor * m_s:.1f} {shown}"


def force(newtons: float) -> str:
    if now().force == "N":
        return f"{newtons:.0f} N"
    return f"{newtons / FACTORS['force']['lb']:.1f} lb"


def run(length_m: float) -> str:
    """A length to be cut or walked: "1.40 m", "4 ft 7.1 in"."""
    if now().length == "m":
        return f"{length_m:.2f} m"
    feet, inches = divmod(round(length_m / INCH_M, 1), INCHES_A_FOOT)
    return f"{feet:.0f} ft {inches:.1f} in" if feet else f"{inches:.1f} in"


def _short(length_m: float, metric: str) -> str:
    """As the metric words say, or in inches where lengths are in feet."""
    return metric if now().length == "m" else f"{length_m / INCH_M:.1f} in"


def small(length_m: float) -> str:
    """A height or an offset: "14 cm", "5.5 in"."""
    return _short(length_m, f"{100 * length_m:.0f} cm")


def end(length_m: float) -> str:
    """What is told apart by millimetres: "3.7 cm", "1.5 in"."""
    return _short(length_m, f"{100 * length_m:.1f} cm")


def tiny(length_m: float) -> str:
    """A gap: "10 mm", "0.4 in"."""
    return _short(length_m, f"{1000 * length_m:.0f} mm")


def temperature(celsius: float, places: int = 0) -> str:
    if now().temperature == "degC":
        return f"{celsius:.{places}f} degC"
    return f"{32 + celsius * 9 / 5:.{places}f} degF"


def degrees(celsius: float) -> str:
    """A difference of temperatures."""
    if now().temperature == "degC":
        return f"{plain(celsius)} degC"
    return f"{plain(celsius * 9 / 5)} degF"


def gauge(area_mm2: float) -> str:
    """The nearest American gauge by ASTM B258, 1/0 to 4/0 for the thickest.

    >>> gauge(5.26), gauge(53.5)
    ('10 AWG', '1/0 AWG')
    """
    diameter_mm = (4 * area_mm2 / pi) ** 0.5
    number = round(36 - 39 * log(diameter_mm / 0.127, 92))
    return f"{number} AWG" if number > 0 else f"{1 - number}/0 AWG"


def wire(size: str, area_mm2: float) -> str:
    """A printed size with the other way to say it: "10 AWG (5.3 mm2)", "16 mm2 (5 AWG)"."""
    metric = "mm" in size.lower() or "²" in size
    return f"{size} ({gauge(area_mm2) if metric else f'{area_mm2:.1f} mm2'})"
