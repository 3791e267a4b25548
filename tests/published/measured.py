"""Cases somebody else measured, tabled or computed, with what keelwatt says of each.

``PYTHONPATH=tests python tests/published/measured.py`` prints the rows of the table "Held against
something measured" in DEVELOPERS.md, but for their last column. A test holds the table to them.
"""

import sys
from collections.abc import Callable, Iterable
from functools import partial
from itertools import product
from math import radians
from typing import NamedTuple, TypedDict

import numpy as np
from numpy.typing import NDArray

from keelwatt.files.outing import Odds
from keelwatt.physics import hull
from keelwatt.physics.bank import bank_voltage_v, cold_factor
from keelwatt.physics.battery import PEUKERT
from keelwatt.physics.cable import awg_area_mm2, resistance_ohm_m
from keelwatt.physics.ladder import running_maximum_n
from keelwatt.physics.motor import current_fraction
from keelwatt.physics.propeller import CLAIMED_SHARE, thrust_fraction
from keelwatt.physics.shapes import HULL_SHAPES
from keelwatt.physics.stowage import stiffness_kg_m
from keelwatt.physics.water import G
from physics.laws import wave_resistance_n
from published.b_series import K_Q, K_T, Shape, coefficient, no_thrust_advance
from published.cells import (
    CELL_V,
    RATES_H,
    VOLTS,
    kept_at_a_rate,
    kept_boxed,
    kept_in_the_cold,
)

Floats = NDArray[np.float64]

KNOT_M_S, POUND_N, FOOT_M = 1852 / 3600, 4.4482216, 0.3048


class Held(NamedTuple):
    """A row of the table."""

    source: str
    case: str
    published: str
    keelwatt: str
    ratio: str


class Form(TypedDict):
    length_m: float
    beam_m: float
    fineness: int
    fullness: int


def span(values: Iterable[float], digits: int = 2) -> str:
    low, high = (f"{pick(values):.{digits}f}" for pick in (min, max))
    return low if low == high else f"{low} to {high}"


# Larkin and Kohnen, Boat Resistance Measurements (2013): 22 lb at 4 kn by a spring scale and
# GPS; from 2 to 5.5 kn resistance grew as the square of speed. The boat's length of 24 ft is
# published; waterline, beam and 600 to 750 kg are from memory, beside an elder sister's 1100 lb
# without crew (J. Michalak, essay of 21 November 1997).
LARKIN = "Larkin and Kohnen, Boat Resistance Measurements (2013), tow test, spring scale and GPS"
TOWED_KN, TOWED_LB = 4.0, 22.0
TOWED_KG = (600.0, 750.0)


def towed_n(speed_kn: Floats, displacement_kg: float) -> Floats:
    """Resistance of the towed hull as keelwatt has it."""
    shape, density = HULL_SHAPES["flat-bottomed"], 999.1
    form = Form(length_m=6.7, beam_m=1.45, fineness=shape.fineness, fullness=shape.fullness)
    draft_m = float(hull.draft_m(volume_m3=displacement_kg / density, **form))
    speed = speed_kn * KNOT_M_S
    friction = hull.friction_n(
        speed_m_s=speed,
        length_m=6.7,
        wetted_surface_m2=hull.wetted_surface_m2(draft_m=draft_m, **form),
        density_kg_m3=density,
        viscosity_m2_s=1.1386e-6,
    )
    waves = running_maximum_n(speed_m_s=speed, draft_m=draft_m, density_kg_m3=density, **form)
    return np.asarray(shape.drag_factor * (friction + waves))


def towed() -> Held:
    published_n = TOWED_LB * POUND_N
    ours = [float(towed_n(np.array([TOWED_KN]), kg)[0]) for kg in TOWED_KG]
    return Held(
        LARKIN,
        "a 24 ft flat-bottomed hull at 4 kn",
        f"{published_n:.0f} N",
        f"{span(ours, 0)} N",
        span([n / published_n for n in ours]),
    )


def towed_growth() -> Held:
    speed = np.linspace(2.0, 5.5, 15)
    powers = [float(np.polyfit(np.log(speed), np.log(towed_n(speed, kg)), 1)[0]) for kg in TOWED_KG]
    return Held(
        LARKIN,
        "power of speed it grows with, 2 to 5.5 kn",
        "2",
        span(powers, 1),
        span([power / 2 for power in powers]),
    )


# J. Gerritsma, R. Onnink and A. Versluis, Geometry, resistance and stability of the Delft
# systematic yacht hull series (1981), as given by the UCI Machine Learning Repository, Yacht
# Hydrodynamics: the narrowest models, one of two with the same figures left out. Prismatic
# coefficient, length over the cube root of volume, beam over draft, length over beam, then
# thousandths of the weight at DELFT_FROUDE.
DELFT_FROUDE = np.array([0.20, 0.25, 0.30, 0.35])
DELFT = np.array(
    [
        [0.569, 4.78, 3.04, 3.64, 0.66, 1.59, 3.29, 7.11],
        [0.565, 5.10, 3.94, 3.51, 0.83, 1.90, 3.76, 8.76],
        [0.565, 5.10, 3.94, 3.51, 0.77, 1.76, 3.85, 7.74],
        [0.530, 5.11, 3.69, 3.51, 0.75, 1.57, 2.98, 7.84],
        [0.600, 5.10, 4.17, 3.51, 0.73, 1.96, 4.46, 8.68],
    ]
)


def delft_ratios() -> Floats:
    """Waves of keelwatt's finest hull of like length, beam and volume over what was measured."""
    length_m, density = 10.0, 1000.0
    speed = DELFT_FROUDE * np.sqrt(G * length_m)
    ratios = []
    for _, slender, _, narrow, *thousandths in DELFT:
        volume = (length_m / slender) ** 3
        form = Form(length_m=length_m, beam_m=length_m / narrow, fineness=2, fullness=2)
        waves = running_maximum_n(
            speed_m_s=speed,
            draft_m=float(hull.draft_m(volume_m3=volume, **form)),
            density_kg_m3=density,
            **form,
        )
        ratios.append(1000 * np.asarray(waves) / (density * G * volume) / np.array(thousandths))
    return np.array(ratios)


def delft() -> Held:
    ratios = delft_ratios()
    measured = DELFT[:, 4:]
    return Held(
        "Gerritsma, Onnink and Versluis, Delft systematic yacht hull series (1981), towing tank",
        "waves and form drag of five beamy hulls, length over beam 3.5 to 3.6, Fn 0.20 to 0.35, "
        "thousandths of the weight",
        span(measured.ravel()),
        span((ratios * measured).ravel(), 1),
        span(ratios.ravel(), 1),
    )


# Soundings Trade Only (2020): a third party's tank test of four motors; pounds measured, claimed.
THRUSTS_LB = np.array([[56.7, 105.0], [74.9, 120.0], [72.2, 112.0], [113.5, 100.0]])
THRUST_SHARES = THRUSTS_LB[:, 0] / THRUSTS_LB[:, 1]
SOUNDINGS = "Soundings Trade Only (2020), a third party's tank test of four motors"


def thrust_planned() -> Held:
    middle = float(np.exp(np.mean(np.log(THRUST_SHARES))))
    shares = ", ".join(f"{share:.2f}" for share in THRUST_SHARES)
    return Held(
        SOUNDINGS,
        "thrust measured over claimed",
        f"{shares}; geometric mean {middle:.2f}",
        f"{CLAIMED_SHARE:.2f} planned",
        f"{CLAIMED_SHARE / middle:.2f}",
    )


def thrust_spread() -> Held:
    found = float(np.std(np.log(THRUST_SHARES), ddof=1))
    ours = Odds().thrust_spread
    return Held(
        SOUNDINGS,
        "standard deviation of its logarithm",
        f"{found:.2f}",
        f"{ours:.2f} drawn by `odds`",
        f"{ours / found:.2f}",
    )


def our_fraction(curve: str, scaled: float) -> float:
    """Thrust or torque over bollard at full shaft speed; the current with no no-load part."""
    if curve == "thrust":
        return float(thrust_fraction(shaft_ratio=1.0, speed_fraction=scaled))
    return float(current_fraction(shaft_ratio=1.0, speed_fraction=scaled, no_load_fraction=0.0))


TABLES = {"thrust": K_T, "torque": K_Q}
B_SERIES = "Oosterveld and van Oossanen (1975), Wageningen B-series, polynomials of its tank tests"


def propeller(curve: str, pitch: float, advance: float) -> Held:
    at = Shape(pitch=pitch, area=0.5, blades=3)
    still, running = (coefficient(TABLES[curve], advance=j, **at) for j in (0.0, advance))
    ours = our_fraction(curve, advance / no_thrust_advance(**at))
    return Held(
        B_SERIES,
        f"{curve} over bollard, B3-50, P/D {pitch}, J {advance}",
        f"{running / still:.3f}",
        f"{ours:.3f}",
        f"{ours * still / running:.2f}",
    )


def farthest(curve: str) -> float:
    """How far one curve lies from those of twenty-four propellers, over bollard."""
    table, worst = TABLES[curve], 0.0
    for blades, pitch, area in product((2, 3), (0.5, 0.6, 0.7, 0.8), (0.3, 0.38, 0.5)):
        at = Shape(pitch=pitch, area=area, blades=blades)
        still, free = coefficient(table, advance=0.0, **at), no_thrust_advance(**at)
        for scaled in (n / 20 for n in range(21)):
            share = coefficient(table, advance=scaled * free, **at) / still
            worst = max(worst, abs(our_fraction(curve, scaled) - share))
    return worst


def collapse() -> Held:
    return Held(
        B_SERIES,
        "thrust and torque over bollard, B2 and B3, P/D 0.5 to 0.8, area 0.3 to 0.5",
        "a curve each",
        f"within {farthest('thrust'):.3f} and {farthest('torque'):.3f}",
        "",
    )


# A. Morrall, 1957 ITTC model-ship correlation line, NPL Ship Division Report 142 (1970), its worked
# example: a model at 1.5 m/s in water of 1.13902e-6 m2/s.
NPL_RE, NPL_C_F = 5.62e6, 0.003325


def friction() -> Held:
    ours = float(hull.friction_coefficient(reynolds=NPL_RE))
    return Held(
        "Morrall, NPL Ship Division Report 142 (1970), worked example",
        "friction at Re 5.62e6",
        f"{NPL_C_F}",
        f"{ours:.7f}",
        f"{ours / NPL_C_F:.3f}",
    )


# Introduction to Naval Architecture (Tupper; the author from memory), page 191, Table 8.3, without
# its 0.002085 (as scanned) at Re 1e8, where the line is 0.075 / 36 or 0.002083.
ITTC_LINE = {
    1e5: 0.008333, 5e5: 0.005482, 1e6: 0.004688, 5e6: 0.003397, 1e7: 0.003000, 5e7: 0.002309,
    5e8: 0.001671, 1e9: 0.001531, 5e9: 0.001265, 1e10: 0.001172,
}  # fmt: skip


def friction_table() -> Held:
    ours = [float(hull.friction_coefficient(reynolds=reynolds)) for reynolds in ITTC_LINE]
    return Held(
        "Tupper, Introduction to Naval Architecture, Table 8.3",
        "friction at Re 1e5 to 1e10",
        f"{ITTC_LINE[1e5]:.6f} to {ITTC_LINE[1e10]:.6f}",
        f"{ours[0]:.6f} to {ours[-1]:.6f}",
        span([c / theirs for c, theirs in zip(ours, ITTC_LINE.values(), strict=True)], 4),
    )


SETS = {"lfp": "BPX lfp", "nmc": "OKane2022, ORegan2022, Ecker2015"}


def simulated(sets: str, heat: str = "isothermal") -> str:
    return f"PyBaMM 26.10.1.1, DFN, {heat}, of {sets} (computed)"


def cold(chemistry: str, temperature_c: int, *, boxed: bool = False) -> Held:
    theirs = kept_boxed(temperature_c) if boxed else kept_in_the_cold(chemistry, temperature_c)
    ours = float(cold_factor(chemistry=chemistry, temperature_c=float(temperature_c)))
    heat = "warming itself in a box" if boxed else "isothermal"
    return Held(
        simulated(SETS[chemistry], heat),
        f"{chemistry}, capacity at {temperature_c} degC over that at 25, C/20, C/5, C/2",
        ", ".join(span(at_rate) for at_rate in theirs.T),
        f"{ours:.2f}",
        ", ".join(span(ours / at_rate) for at_rate in theirs.T),
    )


def fast(chemistry: str, sets: str) -> Held:
    theirs = kept_at_a_rate(chemistry)[:, 2]
    ours = (RATES_H[2] / RATES_H[0]) ** (PEUKERT[chemistry] - 1)
    return Held(
        simulated(sets),
        f"{chemistry}, capacity at C/2 over that at C/20, 25 degC",
        span(theirs),
        f"{ours:.2f}",
        span(ours / theirs),
    )


def low(chemistry: str, sets: str) -> Held:
    ours = float(
        bank_voltage_v(chemistry=chemistry, nominal_voltage_v=CELL_V[chemistry], state="low")
    )
    theirs = VOLTS[chemistry]
    return Held(
        simulated(sets),
        f"{chemistry}, volts of a cell with 80 % drawn at C/5 and C/2, 25 degC",
        span(theirs),
        f"{ours:.2f}",
        span([ours / volts for volts in theirs]),
    )


WIGLEY = {0.25: 1.063, 0.30: 2.140, 0.35: 1.247, 0.40: 2.733}


def wigley() -> Held:
    form = Form(length_m=1.0, beam_m=0.1, fineness=2, fullness=2)
    surface = float(hull.wetted_surface_m2(draft_m=0.0625, **form))
    froude = np.array(list(WIGLEY))
    waves = wave_resistance_n(
        speed_m_s=froude * np.sqrt(G), draft_m=0.0625, density_kg_m3=1.0, **form
    )
    ours = [float(c) for c in 1000 * np.asarray(waves) / (0.5 * surface * froude**2 * G)]
    return Held(
        "a public computation of thin-ship theory (from memory, its author not named)",
        "1000 C_w of the Wigley hull at Fn 0.25, 0.30, 0.35, 0.40",
        ", ".join(f"{c:.3f}" for c in WIGLEY.values()),
        ", ".join(f"{c:.4f}" for c in ours),
        span([c / theirs for c, theirs in zip(ours, WIGLEY.values(), strict=True)], 4),
    )


# T. L. Floyd, Electric Circuit Fundamentals, 2nd edition, as HyperPhysics (Georgia State
# University) tables it: ohms in 1000 ft at 20 degC. 0 is 1/0, -3 is 4/0.
OHMS = {
    -3: "0.049", -2: "0.0618", -1: "0.078", 0: "0.0983", 1: "0.124", 2: "0.1563", 3: "0.197",
    4: "0.2485", 5: "0.3133", 6: "0.3951", 7: "0.4982", 8: "0.6282", 9: "0.7921", 10: "0.9989",
    11: "1.26", 12: "1.588", 13: "2.003", 14: "2.525", 15: "3.184", 16: "4.016", 17: "5.064",
    18: "6.385",
}  # fmt: skip


def awg_ohm(gauge: int) -> float:
    area = awg_area_mm2(gauge=gauge)
    return float(1000 * FOOT_M * resistance_ohm_m(area_mm2=area, temperature_c=20.0))


def wire() -> Held:
    return Held(
        "Floyd, Electric Circuit Fundamentals, 2nd edition, as tabled by HyperPhysics",
        "ohms of 1000 ft of copper, 4/0 to 18 AWG, at 20 degC",
        f"{OHMS[-3]} to {OHMS[18]}",
        f"{awg_ohm(-3):.4f} to {awg_ohm(18):.3f}",
        span([awg_ohm(gauge) / float(printed) for gauge, printed in OHMS.items()], 3),
    )


# Barrass and Derrett, Ship Stability for Masters and Mates, the box of the wall-sided formula:
# 65 x 12 m, draft 4 m, KG 4 m, salt water. 278.9 t m at 5 degrees, 1790.9 at 25; the latter from
# memory, and what its formula gives with the righting lever rounded to 0.56 m.
BOX_T_M = {5: 278.9, 25: 1790.9}


def box_t_m(heel_deg: float) -> float:
    """Moment that holds the box at a heel: of a shifted mass, whose arm shrinks with the cosine."""
    mass_kg = 1025.0 * 65 * 12 * 4
    stiffness = stiffness_kg_m(
        density_kg_m3=1025.0,
        waterplane_m4=hull.waterplane_transverse_m4(length_m=65.0, beam_m=12.0, fineness=1e12),
        rising_moment_kg_m=mass_kg * (4.0 - 2.0),
    )
    return float(stiffness * np.sin(radians(heel_deg))) / 1000


def box(heel_deg: int) -> Held:
    recalled = "" if heel_deg == 5 else " (from memory)"
    return Held(
        "Barrass and Derrett, Ship Stability for Masters and Mates, wall-sided formula",
        f"righting moment of a box of 65 x 12 m at 4 m draft, heeled {heel_deg} degrees{recalled}",
        f"{BOX_T_M[heel_deg]} t m",
        f"{box_t_m(heel_deg):.1f} t m",
        f"{box_t_m(heel_deg) / BOX_T_M[heel_deg]:.3f}",
    )


HELD: tuple[Callable[[], Held], ...] = (
    towed,
    towed_growth,
    delft,
    thrust_planned,
    thrust_spread,
    lambda: propeller("thrust", 0.6, 0.4),
    lambda: propeller("torque", 0.6, 0.4),
    lambda: propeller("thrust", 0.8, 0.5),
    lambda: propeller("torque", 0.8, 0.5),
    collapse,
    friction,
    friction_table,
    wigley,
    wire,
    lambda: box(5),
    lambda: box(25),
    *(partial(cold, chemistry, at) for chemistry in SETS for at in (10, 0, -10)),
    *(partial(cold, "lfp", at, boxed=True) for at in (10, 0, -10)),
    lambda: fast("lfp", "BPX lfp, Prada2013"),
    lambda: fast("nmc", SETS["nmc"]),
    lambda: low("lfp", "BPX lfp"),
    lambda: low("nmc", "OKane2022"),
)


def rows() -> list[Held]:
    return [held() for held in HELD]


if __name__ == "__main__":
    sys.stdout.writelines(f"| {' | '.join(row)} |\n" for row in rows())
