"""A view's measuring bar."""

import re

import pytest
from markupsafe import Markup

from keelwatt.drawings.marks import Box
from keelwatt.drawings.views import SHORTEST_BAR, View, panel


@pytest.mark.parametrize("scale", [15.4, 16.1, 31.0, 33.0, 63.0, 65.0, 150.0, 170.0, 310.0])
def test_the_bar_is_the_shortest_round_length_that_is_long_enough(scale: float) -> None:
    """Round: 1, 2 or 5 times a power of ten."""
    view = View(Markup(""), (Box(0.0, 0.0),), (), (), scale)
    drawn = str(panel(view, ("", "", ""), top=0.0)[0])
    (told,) = re.findall(r">([\d.]+ c?m)<", drawn)
    number, unit = told.split()
    length_m = float(number) * (0.01 if unit == "cm" else 1.0)
    (width,) = {
        round(float(x2) - float(x1), 2)
        for x1, x2 in re.findall(r'x1="([\d.]+)" y1="[\d.]+" x2="([\d.]+)"', drawn)
        if x1 != x2
    }
    assert width == pytest.approx(scale * length_m, abs=0.02)
    assert width >= SHORTEST_BAR
    shorter = {"1": 0.5, "2": 0.5, "5": 0.4}[f"{length_m:.0e}"[0]]
    assert scale * length_m * shorter < SHORTEST_BAR or told == "10 cm"
