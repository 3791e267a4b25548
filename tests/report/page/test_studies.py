"""Pages of the studies: the drawing first, and a bar for each side of every limit."""

from datetime import UTC, datetime

from explain.answers import FILE, asked, example, shipped
from keelwatt.drawings.charts import used_share
from keelwatt.explain.stretch import stretch
from keelwatt.files.outing import outing_from_text
from keelwatt.report.page.studies import stretch_page, whatif_page
from remembered import advise

MADE = datetime(2026, 5, 1, 9, 30, tzinfo=UTC)


def test_the_staircase_stands_above_its_steps() -> None:
    advice = advise(outing_from_text(example("harbour-dinghy"), FILE), shipped())
    html = stretch_page(advice, stretch(advice, "hours"), MADE)
    assert 'class="figures"' not in html
    assert 0 < html.index("<figure") < html.index(">Every step<", html.index("<main"))


def test_both_sides_of_a_change_have_a_bar_for_each_limit() -> None:
    result = asked("reservoir-sampling", "hours=+2h")
    limits = [limit for both in result.limits for limit in (both.before, both.after) if limit]
    shares = [used_share(limit) for limit in limits if limit.name != "parts"]
    html = whatif_page(result, MADE)
    assert 'class="figures"' in html
    assert html.count('class="bar"') == sum(share is not None for share in shares) > 40
    assert html.index("Used before") < html.index("Used after") < html.index("Room before")
