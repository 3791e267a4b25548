"""The page's colours can be read in light, in the dark and on paper."""

import re
from importlib.resources import files

import pytest

STYLE = (files("keelwatt.report.page") / "templates" / "page.css").read_text(encoding="utf-8")
SCHEMES = ["light", "dark", "print"]


def colours(scheme: str) -> dict[str, str]:
    """The custom properties of one scheme."""
    blocks = re.findall(r":root \{(.*?)\}", STYLE, re.DOTALL)
    assert len(blocks) == len(SCHEMES)
    return dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", blocks[SCHEMES.index(scheme)]))


def luminance(colour: str) -> float:
    """Relative luminance. Source: WCAG 2.2, definition of relative luminance."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Source: WCAG 2.2, definition of contrast ratio."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_black_on_white_as_published() -> None:
    assert f"{contrast('#000000', '#ffffff'):.0f}" == "21"


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("text", ["ink", "quiet", "accent", "warn"])
@pytest.mark.parametrize("ground", ["paper", "card", "soft"])
def test_text_reaches_level_aa(scheme: str, text: str, ground: str) -> None:
    """4.5 to 1. Source: WCAG 2.2, success criterion 1.4.3."""
    of = colours(scheme)
    assert contrast(of[text], of[ground]) >= 4.5


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("line", ["hull", "accent", "warn", "plus", "minus"])
def test_lines_that_mean_something_reach_level_aa(scheme: str, line: str) -> None:
    """3 to 1. Source: WCAG 2.2, success criterion 1.4.11."""
    of = colours(scheme)
    assert contrast(of[line], of["card"]) >= 3.0


def test_every_scheme_gives_every_colour() -> None:
    assert set(colours("light")) == set(colours("dark")) == set(colours("print"))
    assert set(re.findall(r"var\(--(\w+)\)", STYLE)) - {"wide"} <= set(colours("light"))


@pytest.mark.parametrize("scheme", SCHEMES)
def test_wires_have_the_colours_that_the_drawing_says(scheme: str) -> None:
    """Plus: red. Minus: black or yellow."""
    of = colours(scheme)
    plus, minus = (
        [int(of[wire][at : at + 2], 16) for at in (1, 3, 5)] for wire in ("plus", "minus")
    )
    assert plus[0] > 2 * max(plus[1:])
    assert max(minus) < 50 or (min(minus[:2]) > 180 > 2 * minus[2])
