"""Michell's integral against published values and against two direct quadratures of it."""

from typing import TypedDict

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import dblquad, quad

from keelwatt.physics.hull import draft_m as draft_for
from keelwatt.physics.hull import wetted_surface_m2
from keelwatt.physics.ladder import running_maximum_n
from keelwatt.physics.water import G
from physics.laws import wave_resistance_n

RHO = 1000.0


class Form(TypedDict):
    length_m: float
    beam_m: float
    fineness: int
    fullness: int


def metre_long(beam_m: float, p: int, q: int) -> Form:
    return Form(length_m=1.0, beam_m=beam_m, fineness=p, fullness=q)


def ours_n(froude: float, draft_m: float, form: Form) -> float:
    speed = froude * np.sqrt(G * form["length_m"])
    return float(wave_resistance_n(speed_m_s=speed, draft_m=draft_m, density_kg_m3=RHO, **form))


@pytest.mark.parametrize(
    ("froude", "computed"),
    [(0.25, "1.06392"), (0.30, "2.14167"), (0.35, "1.24792"), (0.40, "2.73393")],
)
def test_wigley_coefficients(froude: float, computed: str) -> None:
    """L/B 10, B/T 1.6: computed by two quadratures; ``measured.py`` has what others found."""
    wigley, draft = metre_long(0.1, 2, 2), 0.0625
    dynamic = 0.5 * RHO * float(wetted_surface_m2(draft_m=draft, **wigley)) * froude**2 * G
    coefficient = 1000 * ours_n(froude, draft, wigley) / dynamic
    assert f"{coefficient:.5f}" == computed


@pytest.mark.parametrize(("p", "q", "froude"), [(2, 2, 0.45), (3, 4, 0.8)])
def test_the_definition_by_scipy(p: int, q: int, froude: float) -> None:
    """Both integrals as Michell wrote them, by adaptive quadrature; lambda = 1 + t**2."""
    beam, draft = 0.15, 0.06
    k = 1 / froude**2

    def part(wave: float, turn: float) -> float:
        """The real (turn 0) or imaginary (turn -pi/2) part of I + iJ, half a hull at a time."""

        def integrand(z: float, x: float) -> float:
            slope = -beam * p * np.sign(x) * abs(2 * x) ** (p - 1) * (1 - (z / draft) ** q)
            return float(slope * np.exp(-k * wave**2 * z) * np.cos(k * wave * x + turn))

        halves = ((-0.5, 0.0), (0.0, 0.5))
        return sum(
            float(dblquad(integrand, a, b, 0, draft, epsabs=1e-6, epsrel=1e-6)[0])
            for a, b in halves
        )

    def outer(t: float) -> float:
        wave = 1 + t**2
        square = part(wave, 0.0) ** 2 + part(wave, -np.pi / 2) ** 2
        return float(square * wave**2 * 2 / np.sqrt(wave + 1))

    integral, _ = quad(outer, 0, 4, epsabs=1e-7, epsrel=1e-4)
    expected = 4 * RHO * G * k / np.pi * integral
    assert ours_n(froude, draft, metre_long(beam, p, q)) == pytest.approx(expected, rel=1e-3)


def gauss(panels: float, end: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Sixteen Gauss nodes on each of equal panels from 0 to ``end``."""
    nodes, weights = np.polynomial.legendre.leggauss(16)
    width = end / np.ceil(panels)
    starts = np.arange(0, end - width / 2, width)
    return (
        (starts[:, None] + width / 2 * (nodes + 1)).ravel(),
        np.tile(width / 2 * weights, starts.size),
    )


def direct_n(froude: float, draft: float, beam: float, p: int, q: int) -> float:
    """Of a metre: no closed form, no recurrence, no halving, panels as short as oscillations."""
    k = 1 / froude**2
    farthest = 50 * max(1.0, froude) * max(1.0, 1 / np.sqrt(k * draft))
    end = float(np.arccosh(farthest))
    u, outer = gauss(20 + end * k * 30 / 20, end)
    x, across = gauss(2 + k / 2 * farthest / 20, 1.0)
    z, down = gauss(20, 1.0)
    z, down = z**2, 2 * z * down
    integral = 0.0
    for some in np.array_split(np.arange(u.size), 1 + u.size // 500):
        wave = np.cosh(u[some])
        along = 2 * p * np.sin(np.outer(k / 2 * wave, x)) @ (across * x ** (p - 1))
        deep = draft * np.exp(np.outer(-k * draft * wave**2, z)) @ (down * (1 - z**q))
        integral += float(outer[some] @ (beam / 2 * along * deep * wave) ** 2)
    return 4 * RHO * G * k / np.pi * integral


@pytest.mark.parametrize(("p", "q"), [(2, 2), (2, 6), (3, 5), (4, 8), (8, 10)])
@pytest.mark.parametrize("froude", [0.08, 0.1, 0.157, 0.159, 0.2, 0.31, 0.5, 1.0, 3.0])
@pytest.mark.parametrize("draft", [pytest.param(0.005, marks=pytest.mark.slow), 0.03])
def test_gauss_throughout(p: int, q: int, froude: float, draft: float) -> None:
    """On both sides of where the waves' beat is taken out first, at 0.158."""
    beam = 0.15
    expected = direct_n(froude, draft, beam, p, q)
    least = 1e-9 * RHO * draft * froude**2 * G
    ours = ours_n(froude, draft, metre_long(beam, p, q))
    assert ours == pytest.approx(expected, rel=3e-6, abs=least)


SMALL_CRAFT = [
    (Form(length_m=4.5, beam_m=0.8, fineness=2, fullness=4), 0.12),
    (Form(length_m=5.0, beam_m=0.5, fineness=2, fullness=3), 0.10),
    (Form(length_m=4.5, beam_m=0.9, fineness=4, fullness=8), 0.10),
    (Form(length_m=3.0, beam_m=0.75, fineness=2, fullness=6), 0.08),
    (Form(length_m=3.0, beam_m=1.4, fineness=2, fullness=8), 0.25),
    (Form(length_m=6.0, beam_m=0.6, fineness=8, fullness=10), 0.05),
]


@pytest.mark.parametrize(("form", "draft_m"), SMALL_CRAFT)
def test_running_maximum_against_a_fine_sweep(form: Form, draft_m: float) -> None:
    """Never below the largest of a sweep in steps of a phase of 0.05, at most 0.2 % above it."""
    froude = np.arange(1 / 0.05**2 - 1e-6, 1 / 0.55**2, -0.05) ** -0.5
    speed = froude * np.sqrt(G * form["length_m"])
    waves = wave_resistance_n(speed_m_s=speed, draft_m=draft_m, density_kg_m3=RHO, **form)
    swept = np.maximum.accumulate(np.asarray(waves))
    ladder = running_maximum_n(speed_m_s=speed, draft_m=draft_m, density_kg_m3=RHO, **form)
    ratio = np.asarray(ladder) / swept
    assert ratio.min() >= 1.0
    assert ratio.max() <= 1.002


@pytest.mark.parametrize(
    ("froude", "draft", "p", "q"),
    [
        (0.19, 0.03, 2, 4),
        pytest.param(0.121, 0.02, 2, 8, marks=pytest.mark.slow),
        pytest.param(0.1, 0.03, 6, 6, marks=pytest.mark.slow),
    ],
)
def test_running_maximum_against_gauss_throughout(
    froude: float, draft: float, p: int, q: int
) -> None:
    """Of the last hump and a little more, by the direct quadrature; older humps are lower."""
    beam, turns = 0.15, 1 / froude**2 + np.linspace(0, 7.5, 16)
    coarse = [direct_n(turn**-0.5, draft, beam, p, q) for turn in turns]
    top = turns[int(np.argmax(coarse))] + np.linspace(-0.4, 0.4, 7)
    close = [direct_n(turn**-0.5, draft, beam, p, q) for turn in top[top >= turns[0]]]
    speed = froude * np.sqrt(G)
    form = metre_long(beam, p, q)
    table = running_maximum_n(speed_m_s=speed, draft_m=draft, density_kg_m3=RHO, **form)
    assert 1.0 <= table / max(*coarse, *close) <= 1.002


def test_a_boat_that_was_once_below_the_law() -> None:
    """3.02 x 1.45 m, flat-bottomed, 255.6 kg, 1.1028 m/s: the ladder lay 0.04 % too low."""
    form = Form(length_m=3.02, beam_m=1.45, fineness=4, fullness=8)
    draft = float(draft_for(volume_m3=255.6 / 999.1, **form))
    sweep = np.linspace(0.9, 1.1028, 3000)
    waves = wave_resistance_n(speed_m_s=sweep, draft_m=draft, density_kg_m3=999.1, **form)
    table = running_maximum_n(speed_m_s=1.1028, draft_m=draft, density_kg_m3=999.1, **form)
    assert 1.0 <= table / np.max(waves) <= 1.002


def test_no_speed_settles_by_chance() -> None:
    """Froude number 0.0588, p 2, q 8: two rules that stepped over the waves agreed, 0.3 % low."""
    near = np.array([289.1, 289.2, 289.3]) ** -0.5 * np.sqrt(G)
    waves = wave_resistance_n(
        speed_m_s=near, draft_m=0.02, density_kg_m3=RHO, **metre_long(0.1, 2, 8)
    )
    before, there, after = np.asarray(waves)
    assert there == pytest.approx((before + after) / 2, rel=1e-3)
