"""Water against ITTC 7.5-02-01-03 (2011), as printed, and against IAPWS."""

import iapws
import numpy as np
import pytest

from keelwatt.physics.water import AIR_DENSITY_KG_M3, G, Kind, density_kg_m3, viscosity_m2_s

CELSIUS = np.arange(0.0, 31.0, 2.5)
ATMOSPHERE_MPA = 0.101325
REFERENCE_SALINITY_KG_KG = 0.03516504


@pytest.mark.parametrize(("temperature_c", "printed"), [(15.0, "999.10"), (20.0, "998.21")])
def test_fresh_density_ittc(temperature_c: float, printed: str) -> None:
    assert f"{density_kg_m3(kind='fresh', temperature_c=temperature_c):.2f}" == printed


@pytest.mark.parametrize(
    ("kind", "temperature_c", "printed"),
    [
        ("fresh", 15.0, "1.1386"),
        ("fresh", 20.0, "1.0034"),
        ("salt", 15.0, "1.1892"),
        ("salt", 20.0, "1.0508"),
    ],
)
def test_viscosity_ittc(kind: Kind, temperature_c: float, printed: str) -> None:
    assert f"{1e6 * viscosity_m2_s(kind=kind, temperature_c=temperature_c):.4f}" == printed


@pytest.mark.parametrize(("temperature_c", "printed"), [(15.0, "1026.02"), (20.0, "1024.81")])
def test_salt_density_ittc(temperature_c: float, printed: str) -> None:
    """The table holds one atmosphere below the surface, and there as printed."""

    def reference(atmospheres: int) -> float:
        return float(
            iapws.SeaWater(
                T=temperature_c + 273.15,
                P=atmospheres * ATMOSPHERE_MPA,
                S=REFERENCE_SALINITY_KG_KG,
            ).rho
        )

    squeeze = reference(2) - reference(1)
    assert 0.044 < squeeze < 0.046
    surface = density_kg_m3(kind="salt", temperature_c=temperature_c)
    assert f"{reference(2):.2f}" == printed
    assert f"{surface + squeeze:.2f}" == printed
    assert surface == pytest.approx(float(printed), abs=0.05)


def test_fresh_density_iapws95() -> None:
    reference = [iapws.IAPWS95(T=t + 273.15, P=ATMOSPHERE_MPA).rho for t in CELSIUS]
    ours = density_kg_m3(kind="fresh", temperature_c=CELSIUS)
    np.testing.assert_allclose(ours, reference, rtol=0, atol=0.001)


def test_salt_density_iapws08() -> None:
    reference = [
        iapws.SeaWater(T=t + 273.15, P=ATMOSPHERE_MPA, S=REFERENCE_SALINITY_KG_KG).rho
        for t in CELSIUS
    ]
    ours = density_kg_m3(kind="salt", temperature_c=CELSIUS)
    np.testing.assert_allclose(ours, reference, rtol=0, atol=0.005)


def test_fresh_viscosity_iapws() -> None:
    reference = [iapws.IAPWS95(T=t + 273.15, P=ATMOSPHERE_MPA).nu for t in CELSIUS]
    ours = viscosity_m2_s(kind="fresh", temperature_c=CELSIUS)
    np.testing.assert_allclose(ours, reference, rtol=2e-4)


def test_eos80_printed_check_values() -> None:
    """Unesco Technical Papers in Marine Science 44 (1983), p. 19: S 35, p 0 (from memory)."""
    assert f"{density_kg_m3(kind='salt', temperature_c=5.0):.5f}" == "1027.67547"
    assert f"{density_kg_m3(kind='salt', temperature_c=25.0):.5f}" == "1023.34306"


def test_standard_gravity_and_air() -> None:
    """CGPM 1901 resolution 2; ISO 2533 standard atmosphere."""
    assert f"{G:.5f}" == "9.80665"
    assert f"{AIR_DENSITY_KG_M3:.3f}" == "1.225"
