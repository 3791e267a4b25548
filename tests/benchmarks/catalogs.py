"""Catalogs of any size for measuring growth: seeded, valid, every part and price invented.

The shipped catalog sets the scale: shares of chemistries and voltages, energy per mass, prices per
watt-hour, newton and ampere lie about the values there, each row some per cent off at random.
Prices have cents and masses grams, so that equal kits are rare. A catalog of more times holds the
rows of one of fewer times with the same seed, in the same order, first.
"""

import csv
from collections.abc import Callable
from math import log
from pathlib import Path
from random import Random
from typing import TypeVar

from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.physics.propeller import momentum_thrust_n
from keelwatt.units import cable_area_mm2

T = TypeVar("T")
Row = list[str | int | float]

WH_KG = {"flooded": 45, "agm": 40, "gel": 36, "lfp": 110, "nmc": 150}
PRICE_WH = {"flooded": 0.13, "agm": 0.18, "gel": 0.25, "lfp": 0.48, "nmc": 0.76}
KG_L = {"flooded": 2.0, "agm": 2.5, "gel": 2.4, "lfp": 1.1, "nmc": 1.35}
PEUKERT = {"flooded": 1.27, "agm": 1.11, "gel": 1.15, "lfp": 1.03, "nmc": 1.05}
CYCLES = {"flooded": 400, "agm": 520, "gel": 725, "lfp": 2800, "nmc": 850}
YEARS = {"flooded": 5, "agm": 6, "gel": 7, "lfp": 10, "nmc": 8}
CHEMISTRIES = {"flooded": 6, "agm": 9, "gel": 4, "lfp": 12, "nmc": 5}
"""How many rows of the shipped catalog have each chemistry."""

SYSTEMS = {
    "lead": {12: 1},
    "lfp": {12: 7, 24: 3, 36: 1, 48: 1},
    "nmc": {12: 1, 24: 2, 36: 1, 48: 1},
}
CELL_GROUP_V = {"flooded": 12.0, "agm": 12.0, "gel": 12.0, "lfp": 12.8, "nmc": 12.6}
"""Nominal voltage of what makes 12 V of system."""

AWG = ("12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0")
MM2 = ("4", "6", "10", "16", "25", "35", "50", "70")
SIZES = (*(f"{gauge} AWG" for gauge in AWG), *(f"{area} mm2" for area in MM2))
COPPER_KG_M_MM2 = 8.89e-3

RATINGS_A = (2, 5, 10, 16, 20, 25, 30, 35, 40, 50, 60, 70, 75, 80, 90, 100, 110, 125, 150, 175, 200)
FUSES = (
    ("blade", "fuse", 1000, 32, 0.05, 6.5, 60),
    ("bolt", "fuse", 2000, 58, 0.09, 12.0, 200),
    ("terminal", "fuse", 10000, 58, 0.11, 21.0, 200),
    ("ceramic", "fuse", 20000, 80, 0.28, 46.0, 200),
    ("breaker", "breaker", 3000, 48, 0.14, 27.0, 100),
    ("heavy-breaker", "breaker", 5000, 65, 0.22, 43.0, 200),
)
"""Family, kind, interrupts [A], largest voltage, mass [kg], price, largest rating [A]."""

CONVERTERS_V = (5, 12, 12, 24)

Maker = Callable[[Random, int], Row]


def write_catalog(folder: Path, times: int, seed: int) -> Path:
    """The folder, with a catalog of ``times`` the shipped catalog's rows in it."""
    folder.mkdir(parents=True, exist_ok=True)
    for stem, maker in MAKERS.items():
        header, rows = _shipped(stem)
        random = Random(f"{seed}/{stem}")
        with (folder / f"{stem}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(header)
            writer.writerows(maker(random, number) for number in range(times * rows))
            file.write(f"# Every part and price in this file is invented: seed {seed}.\n")
    return folder


def _shipped(stem: str) -> tuple[list[str], int]:
    """The header of a shipped file and how many parts it holds."""
    text = (shipped_catalog() / f"{stem}.csv").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return next(csv.reader(lines[:1])), len(lines) - 1


def _about(r: Random, value: float, share: float = 0.12) -> float:
    return value * r.uniform(1 - share, 1 + share)


def _pick(r: Random, weights: dict[T, int]) -> T:
    return r.choices(list(weights), list(weights.values()))[0]


def _tens(value: float) -> int:
    return 10 * round(value / 10)


def _price(value: float) -> str:
    return f"{value:.2f}"


def _kg(value: float) -> str:
    return f"{value:.3f}"


def _battery(r: Random, number: int) -> Row:
    chemistry = _pick(r, CHEMISTRIES)
    lead = chemistry in {"flooded", "agm", "gel"}
    system = _pick(r, SYSTEMS["lead" if lead else chemistry])
    blocks = system // 12
    largest_ah = (200 if lead else 220) / blocks**0.8
    capacity_ah = round(20 * (largest_ah / 20) ** r.random())
    voltage_v = round(CELL_GROUP_V[chemistry] * blocks, 1)
    energy_wh = voltage_v * capacity_ah
    mass_kg = energy_wh / _about(r, WH_KG[chemistry], 0.08)
    side_mm = 100 * (mass_kg / _about(r, KG_L[chemistry], 0.10)) ** (1 / 3)
    width_mm, height_mm = side_mm * r.uniform(0.70, 0.90), side_mm * r.uniform(0.85, 1.10)
    continuous_a = round(capacity_ah * (r.uniform(0.55, 1.10) if lead else r.uniform(0.80, 1.30)))
    short_a = _tens(capacity_ah * r.uniform(11, 20)) if r.random() < 0.9 else ""
    return [
        f"{chemistry}-{system}v-{capacity_ah}ah-{number}",
        f"Invented {chemistry} battery {number}, {system} V {capacity_ah} Ah",
        chemistry,
        system,
        voltage_v,
        capacity_ah,
        20 if lead else r.choice([1, 5]) if chemistry == "nmc" else 5,
        continuous_a,
        _kg(mass_kg),
        round(side_mm**3 / (width_mm * height_mm)),
        round(width_mm),
        round(height_mm),
        "yes" if chemistry == "flooded" else "no",
        r.choice([1, 4 // blocks]) if chemistry == "lfp" else 4 if lead else 1,
        r.choice([2, 3, 4]) if blocks == 1 else 2,
        _tens(_about(r, CYCLES[chemistry], 0.2)),
        _price(_about(r, PRICE_WH[chemistry]) * energy_wh * (energy_wh / 1000) ** -0.07),
        f"{_about(r, PEUKERT[chemistry] - 1, 0.15) + 1:.3f}",
        short_a,
        YEARS[chemistry] + r.choice([-1, 0, 0, 1]),
    ]


def _motor(r: Random, number: int) -> Row:
    system = _pick(r, {12: 9, 24: 4, 36: 2, 48: 1})
    current_a = round(r.uniform(24, 52) if system == 12 else r.uniform(24, 48))
    power_w = system * current_a
    stepped = system <= 24 and r.random() < 0.55
    propeller_mm = round(200 + 56 * log(power_w / 288) + r.uniform(-10, 10))
    ceiling_n = float(momentum_thrust_n(power_w=power_w, diameter_m=propeller_mm / 1000))
    thrust_n = round(ceiling_n * r.uniform(0.58, 0.69))
    control = "stepped" if stepped else "chopper"
    return [
        f"motor-{system}v-{thrust_n}n-{control}-{number}",
        f"Invented {control} motor {number}, {system} V {thrust_n} N",
        system,
        thrust_n,
        current_a,
        control,
        r.choice([5, 5, 5, 8]) if stepped else 0,
        propeller_mm,
        r.choice([610, 760, 760, 910, 910, 1070]),
        _kg(_about(r, 0.115 * thrust_n**0.78)),
        _price(_about(r, 0.92 if stepped else 1.5 + power_w / 4000) * thrust_n),
        f"{current_a * r.uniform(0.03, 0.045):.2f}",
        "",
        "" if stepped else f"{r.uniform(0.94, 0.97):.3f}",
    ]


def _controller(r: Random, number: int) -> Row:
    largest_v = r.choice([24, 24, 36, 48, 48])
    current_a = r.randrange(30, 151, 5)
    sealed = r.random() < 0.6
    return [
        f"chopper-12-{largest_v}v-{current_a}a-{number}",
        f"Invented {'sealed' if sealed else 'open'} chopper {number}, {current_a} A",
        12,
        largest_v,
        current_a,
        f"{r.uniform(0.95, 0.98) if sealed else r.uniform(0.92, 0.95):.3f}",
        _kg(_about(r, 0.0125 if sealed else 0.0085) * current_a),
        _price(_about(r, 1.6 if sealed else 1.1) * (24 + current_a) * (largest_v / 24) ** 0.3),
    ]


def _cable(r: Random, number: int) -> Row:
    size = r.choice(SIZES)
    insulation_c = r.choice([60, 75, 75, 90, 90, 105, 105, 125])
    area_mm2 = cable_area_mm2(size)
    tinned = insulation_c >= 105
    return [
        f"cable-{size.lower().replace(' ', '').replace('/', '-')}-{insulation_c}c-{number}",
        f"Invented copper cable {number}, {size} {insulation_c} degC",
        size,
        insulation_c,
        _kg(area_mm2 * COPPER_KG_M_MM2 * r.uniform(1.28, 1.48)),
        _price(area_mm2 * _about(r, 0.34 if tinned else 0.25)),
    ]


def _fuse(r: Random, number: int) -> Row:
    family, kind, interrupts_a, largest_v, mass_kg, price, largest_a = r.choice(FUSES)
    rating_a = r.choice([rating for rating in RATINGS_A if rating <= largest_a])
    return [
        f"{family}-{rating_a}a-{number}",
        f"Invented {family} {number}, {rating_a} A",
        kind,
        rating_a,
        interrupts_a,
        largest_v,
        _kg(_about(r, mass_kg)),
        _price(_about(r, price) * (1 + rating_a / 1000)),
    ]


def _connector(r: Random, number: int) -> Row:
    sizes = r.choice([[f"{gauge} AWG" for gauge in AWG], [f"{area} mm2" for area in MM2]])
    smallest = r.randrange(len(sizes) - 1)
    largest = min(len(sizes) - 1, smallest + r.choice([1, 2, 3]))
    current_a = round(_about(r, 9 * cable_area_mm2(sizes[smallest]) ** 0.75, 0.2) / 5 + 2) * 5
    return [
        f"plug-{current_a}a-{number}",
        f"Invented two-pole plug {number}, {current_a} A",
        current_a,
        sizes[smallest],
        sizes[largest],
        _kg(_about(r, 0.0023) * current_a),
        _price(_about(r, 0.26) * current_a),
    ]


def _charger(r: Random, number: int) -> Row:
    chemistries = r.choice(["flooded|agm|gel", "flooded|agm|gel", "lfp", "lfp", "nmc"])
    if r.random() < 0.1:
        chemistries = "flooded|agm|gel|lfp"
    system = _pick(r, {12: 9, 24: 5, 36: 3, 48: 3})
    current_a = r.randrange(5, 31 if system == 12 else 17)
    return [
        f"charger-{system}v-{current_a}a-{number}",
        f"Invented charger {number}, {system} V {current_a} A",
        chemistries,
        system,
        current_a,
        _price(_about(r, 0.45) * system * current_a + 12),
    ]


def _fitting(r: Random, number: int) -> Row:
    """In turn a bar, an inlet, a lug, a converter, a hold-down, a cover: each kind grows."""
    kind, rating_a = number % 6, r.choice(RATINGS_A)
    studs, output_v, area_mm2 = r.choice([4, 6, 8, 12]), r.choice(CONVERTERS_V), r.choice(MM2)
    price = _price(_about(r, 4 + 0.1 * rating_a))
    mass = _kg(_about(r, 0.05 + 0.0015 * rating_a))
    if kind == 0:
        row: Row = [f"bar-{number}", "bus bar", rating_a, "", studs, "", 80, mass, price]
    elif kind == 1:
        row = [f"inlet-{number}", "inlet", rating_a, "", "", "", 80, mass, price]
    elif kind == 2:
        price = _price(_about(r, 0.4 + 0.04 * float(area_mm2)))
        mass = _kg(_about(r, 0.002 + 0.0007 * float(area_mm2)))
        row = [f"lug-{number}", "lug", "", f"{area_mm2} mm2", "", "", "", mass, price]
    elif kind == 3:
        row = [f"converter-{number}", "converter", rating_a, "", "", output_v, 80, mass, price]
    elif kind == 4:
        row = [f"strap-{number}", "hold-down", "", "", "", "", "", _kg(_about(r, 0.25)), price]
    else:
        price = _price(_about(r, 1.5))
        row = [f"cover-{number}", "terminal cover", "", "", "", "", "", "0.01", price]
    return [row[0], f"Invented {row[1]} {number}", *row[1:]]


def _enclosure(r: Random, number: int) -> Row:
    """Two for a battery, then one for a control."""
    holds = "control" if number % 3 == 2 else "battery"
    least = (140, 100, 60) if holds == "control" else (180, 150, 160)
    inner = [r.randrange(side, 2 * side) for side in least]
    outer = [side + r.randrange(10, 50) for side in inner]
    litres = inner[0] * inner[1] * inner[2] / 1e6
    mass = _kg(_about(r, 0.3 + 0.08 * litres))
    price = _price(_about(r, 6 + 0.6 * litres))
    name = f"Invented {holds} box {number}"
    return [f"{holds}-box-{number}", name, holds, *inner, *outer, mass, price, 2]


MAKERS: dict[str, Maker] = {
    "batteries": _battery,
    "motors": _motor,
    "controllers": _controller,
    "cables": _cable,
    "fuses": _fuse,
    "connectors": _connector,
    "chargers": _charger,
    "fittings": _fitting,
    "boxes": _enclosure,
}
