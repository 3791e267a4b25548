"""Cable sizes: published diameters, and what a spreadsheet makes of a size."""

import math

import pytest

from keelwatt.units import UnitError, cable_area_mm2


# ASTM B258 nominal diameters, mils: 4/0 460.0, 1/0 324.9, 2 257.6, 6 162.0, 10 101.9, 18 40.3.
@pytest.mark.parametrize(
    ("text", "mils"),
    [
        ("4/0 AWG", "460.0"),
        ("0000", "460.0"),
        ("1/0", "324.9"),
        ("0 AWG", "324.9"),
        ("2 AWG", "257.6"),
        ("6 AWG", "162.0"),
        ("6AWG", "162.0"),
        ("AWG 6", "162.0"),
        ("#6", "162.0"),
        ("6 awg", "162.0"),
        ("10 AWG", "101.9"),
        ("18 AWG", "40.3"),
    ],
)
def test_a_gauge_has_its_published_diameter(text: str, mils: str) -> None:
    diameter_mm = math.sqrt(4 * cable_area_mm2(text) / math.pi)
    assert f"{diameter_mm / 0.0254:.1f}" == mils


@pytest.mark.parametrize("text", ["16 mm2", "16 mm²", "16mm^2", "16 sq mm", "16,0 mm2", "16 MM2"])
def test_a_metric_size_is_its_area(text: str) -> None:
    assert cable_area_mm2(text) == 16


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is empty.*6 AWG"),
        ("6", "6 AWG.*6 mm2"),
        ("36526", "no unit"),
        ("01-Jan", "date.*as text"),
        ("1-Jan", "date.*as text"),
        ("Jan-00", "date.*as text"),
        ("January 2000", "date.*as text"),
        ("1-Jan-2000", "date.*as text"),
        ("2000-01-01", "date.*as text"),
        ("2000-01-01 00:00:00", "date.*as text"),
        ("1/1/2000", "date.*as text"),
        ("01.01.2000", "date.*as text"),
        ("01/00", "date.*as text"),
        ("0 mm2", "no copper"),
        ("1001 mm2", "beyond 1000 mm2"),
        ("41 AWG", "not a gauge that is made"),
        ("5/0", "not a cable size"),
        ("thick", "not a cable size.*6 AWG"),
        ("-6 AWG", "not a cable size"),
    ],
)
def test_what_is_no_size_is_refused(text: str, says: str) -> None:
    with pytest.raises(UnitError, match=says) as caught:
        cable_area_mm2(text)
    assert caught.value.remedy
