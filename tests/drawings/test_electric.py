"""Symbols of parts: what is on which side."""

import re

from keelwatt.drawings.electric import FUSE_LONG, fuse, switch


def test_a_switchs_lever_turns_on_the_side_where_the_current_comes_in() -> None:
    markup = str(switch(100.0, 50.0))
    circles = [
        tuple(map(float, found))
        for found in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)"', markup)
    ]
    pivot, *settings = circles
    assert pivot == (86.0, 50.0)
    assert settings == [(114.0, 41.0), (114.0, 50.0), (114.0, 59.0)]
    assert '<line x1="86" y1="50" x2="114" y2="41"' in markup


def test_the_wire_runs_through_a_fuse() -> None:
    level, upright = (str(fuse(100.0, 50.0, upright=turned)) for turned in (False, True))
    half = FUSE_LONG / 2
    assert f'<line x1="{100 - half:g}" y1="50" x2="{100 + half:g}" y2="50"' in level
    assert f'<line x1="100" y1="{50 - half:g}" x2="100" y2="{50 + half:g}"' in upright
