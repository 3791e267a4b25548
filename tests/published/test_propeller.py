"""Propeller and motor against the Wageningen B-series and the actuator disc."""

from itertools import product

import numpy as np
import pytest
from scipy.optimize import brentq

from keelwatt.physics.propeller import (
    DOUBTFUL_SHARE,
    momentum_thrust_n,
    plausible_thrust_ratio,
    thrust_ratio,
)
from published.b_series import K_Q, K_T, coefficient, no_thrust_advance


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
