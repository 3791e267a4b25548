"""A measured drag factor and how sure it is."""

import pytest

from keelwatt.errors import InputError
from keelwatt.files.outing import outing_from_text
from samples import assert_says, row_of, small_outing_text

CRAFT = 'shape = "canoe"\n'


def text(*lines: str) -> str:
    return small_outing_text().replace(CRAFT, CRAFT + "".join(f"{line}\n" for line in lines))


@pytest.mark.parametrize("error", ['"4 %"', "0.04"])
def test_its_error_is_a_share(error: str) -> None:
    craft = outing_from_text(text("drag_factor = 1.5", f"drag_factor_error = {error}"), "o").craft
    assert (craft.drag_factor, craft.drag_factor_error) == (1.5, 0.04)


def test_it_may_name_the_motor_of_its_log() -> None:
    craft = outing_from_text(text("drag_factor = 1.5", 'drag_factor_motor = "m-1"'), "o").craft
    assert craft.drag_factor_motor == "m-1"
    with pytest.raises(InputError) as caught:
        outing_from_text(text('drag_factor_motor = "m-1"'), "o")
    (problem,) = caught.value.problems
    assert problem.key == "craft.drag_factor_motor"
    assert_says(problem, "without the drag_factor it belongs to; add")


def test_a_factor_never_measured_has_none() -> None:
    assert outing_from_text(text(), "o").craft.drag_factor_error is None


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        (("drag_factor_error = 0.04",), "without the drag_factor it belongs to; add"),
        (("drag_factor = 1.5", 'drag_factor_error = "60 %"'), "is above 50 %"),
        (("drag_factor = 1.5", "drag_factor_error = -0.1"), "is below 0"),
    ],
)
def test_what_it_may_not_be(lines: tuple[str, ...], says: str) -> None:
    with pytest.raises(InputError) as caught:
        outing_from_text(text(*lines), "o")
    (problem,) = caught.value.problems
    assert problem.row == row_of(text(*lines), "drag_factor_error")
    assert problem.key == "craft.drag_factor_error"
    assert_says(problem, says)
