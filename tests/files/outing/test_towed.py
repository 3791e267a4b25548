"""A measured drag line, and the depth of a leg's water."""

import pytest

from keelwatt.errors import InputError
from keelwatt.files.outing import outing_from_text
from samples import assert_says, row_of, small_outing_text

CRAFT = 'shape = "canoe"\n'
TOWED = 'towed = [["3.6 km/h", "12 N"], ["7.2 km/h", "60 N"]]'
KN = 1852 / 3600


def text(*lines: str) -> str:
    return small_outing_text().replace(CRAFT, CRAFT + "".join(f"{line}\n" for line in lines))


def test_pairs_of_speed_and_pull() -> None:
    craft = outing_from_text(text(TOWED, 'towed_displacement = "150 kg"'), "o").craft
    assert craft.towed == ((1.0, 12.0), (2.0, 60.0))
    assert craft.towed_displacement_kg == 150.0
    assert (craft.drag_factor, craft.drag_measured) == (1.0, True)
    ((speed, pull),) = outing_from_text(text('towed = [["2 kn", "5 lb"]]'), "o").craft.towed
    assert (speed, pull) == pytest.approx((2 * KN, 22.24), rel=1e-3)


@pytest.mark.parametrize(
    ("key", "lines", "says"),
    [
        ("towed", ('towed = "20 N"',), "not a list of speeds and pulls; write pairs of speed"),
        ("towed", ("towed = []",), "not a list of speeds and pulls"),
        ("towed", ('towed = [["2 kn"]]',), "not one speed and one pull; write pairs"),
        ("towed", ('towed = [["20 N", "2 kn"]]',), 'holds .*"2 kn".: "N" is a force, not a speed'),
        ("towed", ('towed = [["2 kn", 20]]',), ": has no unit; write pairs"),
        ("towed", ('towed = [["0 kn", "20 N"]]',), "is not above 0"),
        (
            "drag_factor",
            (TOWED, "drag_factor = 1.2"),
            "already holds all the hull's drag; leave out",
        ),
        ("towed_displacement", ('towed_displacement = "9 kg"',), "is given without towed; add"),
    ],
)
def test_what_it_may_not_be(key: str, lines: tuple[str, ...], says: str) -> None:
    with pytest.raises(InputError) as caught:
        outing_from_text(text(*lines), "o")
    (problem,) = caught.value.problems
    assert problem.row == row_of(text(*lines), key)
    assert str(problem.key).startswith(f"craft.{key}")
    assert_says(problem, says)


def test_a_legs_depth() -> None:
    shallow = small_outing_text().replace("[[leg]]\n", '[[leg]]\ndepth = "60 cm"\n', 1)
    first, *others = outing_from_text(shallow, "o").legs
    assert first.depth_m == 0.6
    assert all(leg.depth_m is None for leg in others)
    with pytest.raises(InputError) as caught:
        outing_from_text(shallow.replace("60 cm", "0 cm"), "o")
    assert_says(caught.value.problems[0], "is not above 0")
