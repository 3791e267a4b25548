"""Charts of one kit say what the proof says, and nothing breaks them."""

import re
from math import inf
from pathlib import Path

import pytest

from keelwatt.drawings import charts, kits
from keelwatt.drawings.svg import Drawing
from keelwatt.explain.advise import Advice
from keelwatt.explain.curves import speed_curves
from keelwatt.explain.stretch import stretch
from keelwatt.explain.tradeoff import best_kits, tradeoff
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.outing import read_outing
from keelwatt.proof import Limit
from remembered import decide

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def advice() -> Advice:
    outing = read_outing(ROOT / "examples" / "reservoir-sampling" / "outing.toml")
    return decide(outing, read_catalog(ROOT / "catalog"))


@pytest.mark.parametrize(
    ("sense", "needs", "has", "used"),
    [
        ("at most", 50.0, 25.0, 0.5),
        ("at least", 50.0, 100.0, 0.5),
        ("at least", 50.0, inf, 0.0),
        ("at least", 0.0, 0.14, 0.0),
        ("at most", 0.0, 0.0, 0.0),
        ("at most", 0.0, 3.0, charts.MOST_USED),
        ("at most", 20.0, 25.0, 1.25),
    ],
)
def test_share_of_a_limit_used(sense: str, needs: float, has: float, used: float) -> None:
    limit = Limit("lift", "at most" if sense == "at most" else "at least", needs, has, "kg")
    assert charts.used_share(limit) == pytest.approx(used)


def test_a_bar_is_as_long_as_the_share_and_tells_a_broken_limit() -> None:
    kept = str(charts.bar(Limit("lift", "at most", 50.0, 25.0, "kg")))
    assert 'width="50" height="8" class="accent-fill"' in kept
    broken = str(charts.bar(Limit("lift", "at most", 20.0, 90.0, "kg")))
    assert f'width="{100 * charts.MOST_USED:g}" height="8" class="warn-fill"' in broken
    assert charts.bar(Limit("voltage_match", "equal", 12.0, 12.0, "V")) == ""


def test_the_charge_is_drawn_from_full_to_what_is_left(advice: Advice) -> None:
    assert advice.proof
    drawing = charts.charge(advice.proof)
    assert f"reserve: {advice.proof.keep_ah:.0f} Ah" in drawing.body
    assert f"From {advice.proof.full_ah:.0f} Ah" in drawing.described
    line = _points(drawing, "accent")
    heights = [y for _, y in line]
    assert heights == sorted(heights), "charge only falls"
    keep = _points(drawing, "warn")[0][1]
    assert heights[-1] < keep, "above what must stay in"
    share = (heights[-1] - heights[0]) / (keep - heights[0])
    full, left, least = (
        advice.proof.full_ah,
        advice.proof.minutes[-1].left_ah,
        advice.proof.keep_ah,
    )
    assert share == pytest.approx((full - left) / (full - least), abs=1e-3)


def test_every_leg_is_marked_on_both_speed_charts(advice: Advice) -> None:
    assert advice.proof
    curves = speed_curves(advice, advice.proof)
    for drawing in (charts.resistance(curves), charts.current(curves)):
        assert drawing.body.count("<circle") == len(advice.outing.legs)
        assert drawing.body.count("<polyline") == len(curves.curves)
        for leg in advice.outing.legs:
            assert leg.name in drawing.described


def test_every_unbeaten_kit_and_every_runner_is_a_point(advice: Advice) -> None:
    front, runners = tradeoff(advice), best_kits(advice, 10)
    drawing = kits.scatter(front, runners, "crowns")
    assert drawing.body.count('class="hollow"') == len(front.points)
    assert drawing.body.count('class="dot"') == len(runners) - 1
    assert drawing.body.count("<circle") == len(front.points) + len(runners)
    alone = kits.scatter(front, (), "crowns")
    assert alone.body.count("<circle") == len(front.points)


def test_the_staircase_has_a_tread_for_every_step(advice: Advice) -> None:
    result = stretch(advice, "hours")
    drawing = kits.staircase(result, (result.low, result.high), "Price", "hours", "crowns")
    assert drawing.body.count('class="accent"') == len(result.climbs)
    assert "asked" in drawing.body
    assert f"{len(result.climbs)} steps" in drawing.described


def test_names_are_escaped(advice: Advice) -> None:
    drawing = kits.scatter(tradeoff(advice), (), "<b>&")
    assert "<b>" not in str(drawing.__html__())
    assert "&lt;b&gt;&amp;" in drawing.body


def _points(drawing: Drawing, class_: str) -> list[tuple[float, float]]:
    found = re.search(rf'points="([^"]+)" class="{class_}"', drawing.body)
    assert found
    return [(float(x), float(y)) for x, y in (p.split(",") for p in found[1].split())]
