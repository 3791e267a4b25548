"""What holds battery and motor, reckoned by hand, and what the sheet says of it."""

from dataclasses import replace
from io import StringIO
from math import atan, degrees
from typing import Any

import pytest
from rich.console import Console

from keelwatt import words
from keelwatt.explain.fitting import Fitting, fitting
from keelwatt.files.catalog.reader import Catalog
from keelwatt.files.outing import Outing
from keelwatt.proof import Proof, prove
from keelwatt.report.cautions import awash
from keelwatt.report.fitting import fitting as told
from keelwatt.report.screen import Screen
from keelwatt.units import shown
from keelwatt.wiring import netlist
from oracle.cheap_water import CheapLoadCase, CheapWater
from oracle.one_of_each import BOX, CATALOG, KIT, MOTOR, OUTING, with_craft, with_part


def fitted(outing: Outing = OUTING, catalog: Catalog = CATALOG) -> tuple[Fitting, Proof]:
    proof = prove(CheapWater(outing, catalog), KIT)
    return fitting(CheapLoadCase(outing), proof), proof


def mounted(**update: Any) -> Outing:
    (mount,) = OUTING.craft.mounts
    return with_craft(mounts=(mount.model_copy(update=update),))


def screened(fit: Fitting, proof: Proof) -> str:
    paper = StringIO()
    kit = proof.assessment.kit
    net = netlist(kit, proof.chosen, CheapLoadCase(OUTING), CATALOG)
    Screen(Console(file=paper, width=200)).print(told(fit, proof.chosen, net))
    return " ".join(paper.getvalue().split())


def test_130_newtons_at_760_mm_pull_two_pads_with_988_newtons() -> None:
    """98.8 N m over 100 mm; a bank of 10 V is full at 10.58 V, so the catalog's thrust counts."""
    catalog = replace(
        with_part("batteries", voltage_v=10.0),
        motors=(MOTOR.model_copy(update={"thrust_n": 130.0}),),
    )
    fit, _ = fitted(catalog=catalog)
    assert fit.mount_moment_n_m == pytest.approx(98.8)
    assert fit.clamp_force_n == pytest.approx(988.0)


def test_a_battery_may_move_an_inch_at_most() -> None:
    assert "held for a minute, moves it at most 25 mm. The rule: 90 lbf" in screened(*fitted())


def test_the_moment_is_the_one_the_rule_asks_for() -> None:
    """100 N by 12.7/12 squared at 0.76 m: 85.125 N m, on the sheet and in the proof."""
    fit, proof = fitted(mounted(holds_n_m=90.0))
    (rule,) = (one for one in proof.assessment.limits if one.name == "mount_moment")
    assert fit.mount_moment_n_m == pytest.approx(85.1253, abs=1e-4)
    assert rule.has == pytest.approx(fit.mount_moment_n_m)
    assert "85.1 N m, 851 N on each of two pads 100 mm apart. It holds 90 N m." in screened(
        fit, proof
    )
    assert "write what it holds as holds under [[craft.mount]]" in screened(*fitted())


@pytest.mark.parametrize(
    ("mass_kg", "pull_n"), [(6.2, 121.6), (13.6, 266.7), (20.0, 392.3), (30.0, 400.3)]
)
def test_a_battery_stays_put(mass_kg: float, pull_n: float) -> None:
    """33 CFR 183.420(a): twice the weight, 90 lbf at the most."""
    fit, proof = fitted(catalog=with_part("batteries", mass_kg=mass_kg))
    assert fit.hold_down_n == pytest.approx(pull_n, abs=0.05)
    assert f"a pull of {pull_n:.0f} N in any direction" in screened(fit, proof)


@pytest.mark.parametrize(("y_m", "side"), [(0.5, "starboard"), (-0.5, "port")])
def test_a_motor_beside_the_centreline_turns_the_boat(y_m: float, side: str) -> None:
    """16 N hold against the wind, 0.5 m off: 8 N m; atan(0.5 / 2) = 14.04 deg."""
    fit, proof = fitted(mounted(y_m=y_m))
    assert fit.yaw_moment_n_m == pytest.approx(8.0)
    assert fit.steering_deg == pytest.approx(degrees(atan(0.25)))
    turned = (
        f"Motor to {side}: on the hardest leg its 16 N turn the boat with 8 N m; turn it 14 deg"
    )
    assert turned in screened(fit, proof)
    fixed = screened(*fitted(mounted(y_m=y_m, turns=False)))
    assert "hold against that with the rudder, about 14 deg" in fixed
    assert "Motor to" not in screened(*fitted())


def test_a_battery_stands_in_its_box_or_under_a_strap() -> None:
    fit, proof = fitted()
    assert "a cover on each post, so that nothing of metal can touch it" in screened(fit, proof)
    boxed = replace(proof, chosen=replace(proof.chosen, box=BOX))
    text = screened(fit, boxed)
    assert "Battery box (Box, 356 mm x 216 mm x 251 mm outside): one for each battery" in text
    assert "It has 1 opening for 2 cables: drill 1 more, a grommet in each." in text
    assert "Keep its vents open" in text
    assert "No battery box" not in text


def test_in_the_units_of_the_united_states() -> None:
    with shown.written_in(shown.US):
        text = screened(*fitted())
    assert "a moment of 62.8 lbf ft, 191.4 lb on each of two pads 3.9 in apart" in text


def test_depth_and_plate_that_cannot_both_be_right() -> None:
    """Loaded to its plate the boat floats 14.4 cm deep."""
    with words.about(OUTING):
        (said,) = awash(CheapLoadCase(with_craft(depth_m=0.14)))
    assert "floats 14.4 cm deep, and its depth is 14.0 cm" in said
    assert list(awash(CheapLoadCase(with_craft(depth_m=0.15)))) == []
    assert list(awash(CheapLoadCase(OUTING))) == []
