"""Propeller and motor against the Wageningen B-series and the actuator disc."""

from itertools import product

import numpy as np
import pytest
from scipy.optimize import brentq

from keelwatt.physics.motor import current_fraction
from keelwatt.physics.propeller import (
    DOUBTFUL_SHARE,
    momentum_thrust_n,
    plausible_thrust_ratio,
    thrust_fraction,
    thrust_ratio,
)

# M. W. C. Oosterveld and P. van Oossanen, Further computer-analyzed data of the Wageningen
# B-screw series, International Shipbuilding Progress 22 (1975) 251, Table 5: coefficient and the
# powers of J, P/D, AE/A0 and Z.
K_T = """
 0.00880496 0 0 0 0  -0.204554 1 0 0 0   0.166351 0 1 0 0     0.158114 0 2 0 0
-0.147581 2 0 1 0    -0.481497 1 1 1 0   0.415437 0 2 1 0     0.0144043 0 0 0 1
-0.0530054 2 0 0 1    0.0143481 0 1 0 1  0.0606826 1 1 0 1   -0.0125894 0 0 1 1
 0.0109689 1 0 1 1   -0.133698 0 3 0 0   0.00638407 0 6 0 0  -0.00132718 2 6 0 0
 0.168496 3 0 1 0    -0.0507214 0 0 2 0  0.0854559 2 0 2 0   -0.0504475 3 0 2 0
 0.010465 1 6 2 0    -0.00648272 2 6 2 0 -0.00841728 0 3 0 1  0.0168424 1 3 0 1
-0.00102296 3 3 0 1  -0.0317791 0 3 1 1  0.018604 1 0 2 1    -0.00410798 0 2 2 1
-0.000606848 0 0 0 2 -0.0049819 1 0 0 2  0.0025983 2 0 0 2   -0.000560528 3 0 0 2
-0.00163652 1 2 0 2  -0.000328787 1 6 0 2 0.000116502 2 6 0 2 0.000690904 0 0 1 2
 0.00421749 0 3 1 2   0.0000565229 3 6 1 2 -0.00146564 0 3 2 2
"""
K_Q = """
 0.00379368 0 0 0 0   0.00886523 2 0 0 0  -0.032241 1 1 0 0    0.00344778 0 2 0 0
-0.0408811 0 1 1 0   -0.108009 1 1 1 0    -0.0885381 2 1 1 0   0.188561 0 2 1 0
-0.00370871 1 0 0 1   0.00513696 0 1 0 1   0.0209449 1 1 0 1   0.00474319 2 1 0 1
-0.00723408 2 0 1 1   0.00438388 1 1 1 1  -0.0269403 0 2 1 1   0.0558082 3 0 1 0
 0.0161886 0 3 1 0    0.00318086 1 3 1 0   0.015896 0 0 2 0    0.0471729 1 0 2 0
 0.0196283 3 0 2 0   -0.0502782 0 1 2 0   -0.030055 3 1 2 0    0.0417122 2 2 2 0
-0.0397722 0 3 2 0   -0.00350024 0 6 2 0  -0.0106854 3 0 0 1   0.00110903 3 3 0 1
-0.000313912 0 6 0 1  0.0035985 3 0 1 1   -0.00142121 0 6 1 1 -0.00383637 1 0 2 1
 0.0126803 0 2 2 1   -0.00318278 2 3 2 1   0.00334268 0 6 2 1 -0.00183491 1 1 0 2
 0.000112451 3 2 0 2 -0.0000297228 3 6 0 2 0.000269551 1 0 1 2 0.00083265 2 0 1 2
 0.00155334 0 2 1 2   0.000302683 0 6 1 2 -0.0001843 0 0 2 2  -0.000425399 0 3 2 2
 0.0000869243 3 3 2 2 -0.0004659 0 6 2 2   0.0000554194 1 6 2 2
"""


def coefficient(table: str, *, advance: float, pitch: float, area: float, blades: int) -> float:
    terms = np.array(table.split(), dtype=np.float64).reshape(-1, 5)
    return float(terms[:, 0] @ np.prod([advance, pitch, area, blades] ** terms[:, 1:], axis=1))


def no_thrust_advance(*, pitch: float, area: float, blades: int) -> float:
    return float(
        brentq(
            lambda advance: coefficient(
                K_T, advance=advance, pitch=pitch, area=area, blades=blades
            ),
            0.2,
            1.3,
        )
    )


def our_torque_fraction(slip_advance: float) -> float:
    """Torque at full shaft speed over bollard torque: the current with no no-load part."""
    return float(
        current_fraction(shaft_ratio=1.0, speed_fraction=slip_advance, no_load_fraction=0.0)
    )


@pytest.mark.parametrize(
    ("pitch", "advance", "thrust", "torque"),
    [
        (0.6, 0.0, "0.23338", "0.22709"),
        (0.6, 0.4, "0.10806", "0.12539"),
        (0.8, 0.0, "0.32169", "0.38785"),
        (0.8, 0.5, "0.15789", "0.21481"),
    ],
)
def test_b3_50_values(pitch: float, advance: float, thrust: str, torque: str) -> None:
    """K_T and 10 K_Q of B3-50, computed from the published polynomials."""
    at = {"advance": advance, "pitch": pitch, "area": 0.5}
    assert f"{coefficient(K_T, blades=3, **at):.5f}" == thrust
    assert f"{10 * coefficient(K_Q, blades=3, **at):.5f}" == torque


@pytest.mark.parametrize(("pitch", "printed"), [(0.6, "0.675"), (0.8, "0.881")])
def test_b3_50_zero_thrust(pitch: float, printed: str) -> None:
    assert f"{no_thrust_advance(pitch=pitch, area=0.5, blades=3):.3f}" == printed


@pytest.mark.parametrize(
    ("advance", "no_thrust", "thrust", "torque"),
    [
        (0.4, 0.675, 0.10806 / 0.23338, 0.12539 / 0.22709),
        (0.5, 0.881, 0.15789 / 0.32169, 0.21481 / 0.38785),
    ],
)
def test_curves_at_the_b3_50_values(
    advance: float, no_thrust: float, thrust: float, torque: float
) -> None:
    scaled = advance / no_thrust
    assert thrust_fraction(shaft_ratio=1.0, speed_fraction=scaled) == pytest.approx(
        thrust, abs=0.005
    )
    assert our_torque_fraction(scaled) == pytest.approx(torque, abs=0.013)


@pytest.mark.parametrize("blades", [2, 3])
@pytest.mark.parametrize("pitch", [0.5, 0.6, 0.7, 0.8])
@pytest.mark.parametrize("area", [0.3, 0.38, 0.5])
def test_curves_collapse_the_series(blades: int, pitch: float, area: float) -> None:
    """To 0.035 of bollard thrust and 0.105 of bollard torque, anywhere up to zero thrust."""
    no_thrust = no_thrust_advance(pitch=pitch, area=area, blades=blades)
    still = {"advance": 0.0, "pitch": pitch, "area": area}
    for scaled in np.linspace(0, 1, 21):
        at = {**still, "advance": scaled * no_thrust}
        thrust = coefficient(K_T, blades=blades, **at) / coefficient(K_T, blades=blades, **still)
        torque = coefficient(K_Q, blades=blades, **at) / coefficient(K_Q, blades=blades, **still)
        ours = thrust_fraction(shaft_ratio=1.0, speed_fraction=float(scaled))
        assert ours == pytest.approx(thrust, abs=0.035)
        assert our_torque_fraction(float(scaled)) == pytest.approx(torque, abs=0.105)


@pytest.mark.parametrize(
    ("diameter_m", "power_w", "printed"), [(0.20, 200.0, "135.96"), (0.30, 500.0, "328.17")]
)
def test_momentum_limit(diameter_m: float, power_w: float, printed: str) -> None:
    """Computed from the actuator disc at rest."""
    thrust = momentum_thrust_n(power_w=power_w, diameter_m=diameter_m)
    assert f"{thrust:.2f}" == printed


@pytest.mark.parametrize("density_kg_m3", [1000.0, 1025.0])
@pytest.mark.parametrize(("diameter_m", "power_w"), [(0.15, 40.0), (0.25, 350.0), (0.4, 3000.0)])
def test_momentum_limit_from_the_disc(
    density_kg_m3: float, diameter_m: float, power_w: float
) -> None:
    """Mass flow rho A v through the disc leaves at 2 v: thrust 2 rho A v**2, power thrust v."""
    flow = density_kg_m3 * np.pi * diameter_m**2 / 4

    def thrust_n(speed_m_s: float) -> float:
        return float(flow * speed_m_s * 2 * speed_m_s)

    induced = brentq(lambda v: thrust_n(v) * v - power_w, 1e-6, 100, xtol=1e-14)
    ours = momentum_thrust_n(power_w=power_w, diameter_m=diameter_m, density_kg_m3=density_kg_m3)
    assert ours == pytest.approx(thrust_n(induced), rel=1e-9)


@pytest.mark.parametrize(
    ("blades", "area", "pitch", "printed"),
    [
        (2, 0.38, 0.5, "0.521"),
        (2, 0.38, 0.6, "0.458"),
        (2, 0.38, 0.8, "0.371"),
        (3, 0.50, 0.5, "0.580"),
        (3, 0.50, 0.6, "0.512"),
        (3, 0.50, 0.8, "0.415"),
    ],
)
def test_thrust_ratios(blades: int, area: float, pitch: float, printed: str) -> None:
    """T0 / (rho V_p**2 D**2) = K_T(0) / J0**2 of a propeller of 0.2 m, from the polynomials."""
    diameter_m, turns_s, density_kg_m3 = 0.2, 20.0, 999.1
    thrust = coefficient(K_T, advance=0.0, pitch=pitch, area=area, blades=blades)
    advance = no_thrust_advance(pitch=pitch, area=area, blades=blades)
    ratio = thrust_ratio(
        static_thrust_n=thrust * density_kg_m3 * turns_s**2 * diameter_m**4,
        no_thrust_speed_m_s=advance * turns_s * diameter_m,
        diameter_m=diameter_m,
        density_kg_m3=density_kg_m3,
    )
    assert f"{ratio:.3f}" == printed
    assert plausible_thrust_ratio(thrust_ratio=ratio)


def test_best_figure_of_merit() -> None:
    """Power of the actuator disc over the shaft's at rest, both of the same thrust.

    ``K_T**1.5 / (2 pi sqrt(pi / 2) K_Q)``, computed from the published polynomials for 2 and 3
    blades of pitch ratio 0.5 to 0.8 and area ratio 0.3 to 0.5. With a motor's efficiency of 0.85 a
    propeller stays below the share of the ceiling from which a claim is doubted.
    """
    merits = []
    for blades, pitch, area in product(
        (2, 3), np.linspace(0.5, 0.8, 31), np.linspace(0.3, 0.5, 21)
    ):
        still = {"advance": 0.0, "pitch": float(pitch), "area": float(area)}
        thrust = coefficient(K_T, blades=blades, **still)
        torque = coefficient(K_Q, blades=blades, **still)
        merits.append(thrust**1.5 / (2 * np.pi * np.sqrt(np.pi / 2) * torque))
    assert f"{max(merits):.3f}" == "0.664"
    assert (max(merits) * 0.85) ** (2 / 3) < DOUBTFUL_SHARE
