"""Water within its range and at its edges."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.physics.water import Kind, density_kg_m3, viscosity_m2_s

KINDS: tuple[Kind, ...] = ("fresh", "salt")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("temperature_c", [-0.1, 35.1, float("nan")])
def test_outside_the_range_is_refused(kind: Kind, temperature_c: float) -> None:
    with pytest.raises(ValueError, match="0 to 35 degC"):
        density_kg_m3(kind=kind, temperature_c=temperature_c)
    with pytest.raises(ValueError, match="0 to 35 degC"):
        viscosity_m2_s(kind=kind, temperature_c=np.array([15.0, temperature_c]))


def test_other_water_is_refused() -> None:
    with pytest.raises(ValueError, match="fresh or salt, not 'brackish'"):
        density_kg_m3(kind="brackish", temperature_c=15.0)  # type: ignore[arg-type]


def test_fresh_water_is_densest_at_4_degrees() -> None:
    celsius = np.linspace(0, 35, 3501)
    densest = celsius[np.argmax(density_kg_m3(kind="fresh", temperature_c=celsius))]
    assert densest == pytest.approx(3.98, abs=0.01)


@given(st.floats(0, 34), st.floats(0.01, 1), st.sampled_from(KINDS))
def test_warm_water_is_thinner(temperature_c: float, warmer_c: float, kind: Kind) -> None:
    cool = viscosity_m2_s(kind=kind, temperature_c=temperature_c)
    assert viscosity_m2_s(kind=kind, temperature_c=temperature_c + warmer_c) < cool


@given(st.floats(0, 35))
def test_salt_water_is_denser_and_thicker(temperature_c: float) -> None:
    fresh = density_kg_m3(kind="fresh", temperature_c=temperature_c)
    salt = density_kg_m3(kind="salt", temperature_c=temperature_c)
    assert 1.02 < salt / fresh < 1.03
    thin = viscosity_m2_s(kind="fresh", temperature_c=temperature_c)
    assert 1.02 < viscosity_m2_s(kind="salt", temperature_c=temperature_c) / thin < 1.06
