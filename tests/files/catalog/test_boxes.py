"""Boxes for batteries and controls, an optional file."""

from pathlib import Path

import pytest

from keelwatt.errors import InputError
from keelwatt.files.catalog.reader import read_catalog
from samples import small_catalog_text, write_catalog

HEADER = (
    "id,name,holds,inner_length [in],inner_width [in],inner_height [in],outer_length [in],"
    "outer_width [in],outer_height [in],mass [lb],price"
)


def folder(path: Path, *rows: str) -> Path:
    return write_catalog(
        path, {**small_catalog_text(), "boxes.csv": "\n".join((HEADER, *rows, ""))}
    )


def test_a_catalog_may_have_boxes_or_none(tmp_path: Path) -> None:
    assert read_catalog(write_catalog(tmp_path / "none")).boxes == ()
    (box,) = read_catalog(
        folder(tmp_path / "one", "box-24,Group 24,Battery,11,7,9.5,13,8.5,11,2,12.50")
    ).boxes
    assert (box.holds, box.price_cents, box.outlets) == ("battery", 1250, 2)
    assert box.inner_m == pytest.approx((0.2794, 0.1778, 0.2413))
    assert box.outer_m == pytest.approx((0.3302, 0.2159, 0.2794))
    assert box.mass_kg == pytest.approx(0.90718474)


def test_what_no_shop_prints_of_a_box_is_a_little_more_than_most(tmp_path: Path) -> None:
    (box,) = read_catalog(folder(tmp_path, ",Group 24,battery,10,7,9.5,,,,,12.50")).boxes
    assert box.id == "group-24"
    assert box.outer_length_m == pytest.approx(1.2 * 0.254)
    assert box.mass_kg == 2.0


@pytest.mark.parametrize(
    ("row", "column", "what"),
    [
        ("box,Box,battery,11,7,11.5,13,8.5,11,2,12.50", "inner_height [in]", "more than outside"),
        ("box,Box,fish,11,7,9.5,13,8.5,11,2,12.50", "holds", "not one of the words"),
        ("box,Box,battery,11,7,,13,8.5,11,2,12.50", "inner_height [in]", "is empty"),
        ("lfp-50,Box,battery,11,7,9.5,13,8.5,11,2,12.50", "id", "also the id"),
    ],
)
def test_what_is_wrong_with_a_box_is_told_with_its_place(
    row: str, column: str, what: str, tmp_path: Path
) -> None:
    with pytest.raises(InputError) as raised:
        read_catalog(folder(tmp_path, row))
    (problem,) = [each for each in raised.value.problems if not each.warning]
    assert problem.column == column
    assert what in problem.what
    assert problem.remedy
