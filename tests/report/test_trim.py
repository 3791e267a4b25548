"""Trim as people see it: an end deeper, the other shallower, and what would level the boat."""

import re
from math import radians, tan
from typing import cast

import pytest

from keelwatt import words
from keelwatt.limits import Limit
from keelwatt.physics.forces import levelling_distance_m
from keelwatt.report.limits import row
from keelwatt.report.pick import floats
from keelwatt.units.shown import US
from report.test_first import POSSIBLE, advice


@pytest.mark.parametrize("name", POSSIBLE)
def test_the_deeper_end_is_where_the_weight_is(name: str) -> None:
    found = advice(name)
    with words.about(found.outing):
        told = floats(found)
    afloat, length_m = found.balance, found.outing.craft.waterline_length_m
    low = "stern" if afloat.mass.x_m < 0 else "bow"
    end_cm = 50 * length_m * tan(radians(afloat.trim_deg))
    assert f"The {low} floats {end_cm:.1f} cm deeper" in told
    kit = found.proof
    assert kit
    mass_kg = kit.assessment.kit.units * kit.chosen.battery.mass_kg
    moment = abs(afloat.mass.x_m) * afloat.displacement_kg
    far_cm = 100 * cast("float", levelling_distance_m(moment_kg_m=moment, mass_kg=mass_kg))
    moved = re.search(r"the battery \(.*?\) (\d+) cm (forward|aft)", told)
    boxes = {box.name: box for box in found.outing.craft.compartments}
    x_m = boxes[kit.assessment.kit.compartment].x_m * (1 if low == "stern" else -1)
    assert bool(moved) == (x_m + far_cm / 100 <= length_m / 2)
    if moved:
        assert float(moved[1]) == pytest.approx(far_cm, abs=0.51)
        assert moved[2] == ("forward" if low == "stern" else "aft")


def test_nothing_is_moved_beyond_the_ends_of_the_boat(monkeypatch: pytest.MonkeyPatch) -> None:
    found = advice("reservoir-sampling")
    length_m = found.outing.craft.waterline_length_m
    monkeypatch.setattr("keelwatt.report.pick.levelling_distance_m", lambda **_: length_m + 0.1)
    with words.about(found.outing):
        assert floats(found).endswith("Nothing aboard levels it by itself: the boat is too short.")


def test_a_row_of_limits_has_centimetres_first_and_degrees_second() -> None:
    limit = Limit("trim", "at most", 1.5, 1.04, "deg")
    outing = advice("reservoir-sampling").outing
    with words.about(outing):
        assert row(limit, True)[1:] == ["at most 5.2 cm", "3.6 cm", "1.6 cm", "binding, 1.04 deg"]
        assert words.safely(1.0399, "trim", up=True) == "3.6 cm (1.04 deg)"
    with words.about(outing.model_copy(update={"units": US})):
        assert row(limit, False)[1:] == ["at most 2.1 in", "1.4 in", "0.6 in", "1.04 deg"]
    assert row(limit, False)[1] == "at most 1.50 deg"
