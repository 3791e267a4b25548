"""The [odds] table: what may be off, in the outing's own words."""

import pytest

from keelwatt.errors import InputError
from keelwatt.files.outing import Odds, outing_from_text
from samples import assert_says, small_outing_text

GOOD = small_outing_text()


def test_it_may_be_left_out_whole_or_in_part() -> None:
    assert outing_from_text(GOOD, "outing.toml").odds == Odds()
    told = outing_from_text(GOOD + '[odds]\nwind_spread = "10 %"\n', "outing.toml").odds
    assert told == Odds(wind_spread=0.1)


def test_every_spread_in_its_unit() -> None:
    text = """[odds]
wind_spread = "40 %"
gust_spread = "3.6 km/h"
stream_spread = 0.2
capacity_spread = "3 %"
temperature_spread = "5 degC"
length_spread = 0
"""
    assert outing_from_text(GOOD + text, "outing.toml").odds == Odds(
        wind_spread=0.4,
        gust_spread_m_s=1.0,
        stream_spread=0.2,
        capacity_spread=0.03,
        temperature_spread_c=5.0,
        length_spread=0.0,
    )


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('wind_spread = "80 %"', "above 50 %"),
        ('wind_spread = "-10 %"', "below 0"),
        ('wind_spread = "3 m/s"', "is a speed, not a share"),
        ("wind_spread = nan", "not a number"),
        ('gust_spread = "30 %"', "is a share, not a speed"),
        ('gust_spread = "40 km/h"', "above 18 km/h"),
        ('temperature_spread = "5 degF"', "write it in degC"),
        ('temperature_spread = "3 K"', "write it in degC"),
        ('temperature_spread = "-3 degC"', "write it in degC"),
        ('temperature_spread = "3"', "has no unit"),
        ('winds_spread = "30 %"', 'did you mean "wind_spread"'),
        ('drag_factor_error = "5 %"', r"belongs below \[craft\]"),
    ],
)
def test_mistakes_are_told_with_a_remedy(line: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        outing_from_text(f"{GOOD}[odds]\n{line}\n", "outing.toml")
    (problem,) = caught.value.problems
    assert_says(problem, says)
    assert (problem.key or "").startswith("odds.")
    assert problem.row == GOOD.count("\n") + 2
