"""What stands on the page of pick: the answer first, nothing left out."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from html import unescape
from pathlib import Path

import pytest

from keelwatt import __version__, words
from keelwatt.chance.sure import sure
from keelwatt.explain.advise import Advice
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.outing import outing_from_text, read_outing
from keelwatt.report.answer import Answer
from keelwatt.report.blocks import Block, Heading, Items, Plot, Say, Table, items, numbered, table
from keelwatt.report.page.answer import page, pick_page
from keelwatt.report.page.page import PAGE_LINES, Page, Section
from remembered import advise
from samples import small_outing_text, write_catalog

ROOT = Path(__file__).parents[3]
MADE = datetime(2026, 5, 1, 9, 30, tzinfo=UTC)


@pytest.fixture(scope="module")
def advice() -> Advice:
    outing = read_outing(ROOT / "examples" / "reservoir-sampling" / "outing.toml")
    return advise(outing, read_catalog(ROOT / "catalog"))


@pytest.fixture(scope="module")
def shown(advice: Advice) -> Iterator[str]:
    yield unescape(pick_page(Answer(advice), MADE))


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Catalog:
    return read_catalog(write_catalog(tmp_path_factory.mktemp("catalog")))


def small_advice(small: Catalog, old: str = "", new: str = "") -> Advice:
    return advise(
        outing_from_text(small_outing_text().replace(old, new), "outing.toml"),
        small,
    )


def test_the_answer_comes_before_everything_else(advice: Advice, shown: str) -> None:
    assert advice.proof
    totals = advice.proof.assessment.totals
    price, mass = words.money(totals.price_cents), words.kilograms(totals.mass_g)
    places = [shown.index(text) for text in (advice.outing.title, price, mass, "<h2")]
    assert places == sorted(places)
    hours = next(limit for limit in advice.proof.assessment.limits if limit.name == "hours")
    assert f"{words.duration(hours.needs)} asked, room {words.room(hours)}" in shown


def test_every_part_leg_and_limit_is_on_the_page(advice: Advice, shown: str) -> None:
    assert advice.proof
    kit = advice.proof.assessment.kit
    for id_ in (kit.battery, kit.motor, kit.controller, kit.cable, kit.fuse, kit.connector):
        assert id_ and advice.catalog.part(id_).name in shown
    for leg in advice.outing.legs:
        assert leg.name in shown
    for limit in advice.proof.assessment.limits:
        if limit.name != "parts":
            assert words.LABELS[limit.name] in shown
            assert words.has(limit) in shown
    assert shown.count('<tr role="row" class="total">') == 1
    for name in advice.binding:
        assert words.LABELS[name] in shown


def test_where_it_comes_from_stands_at_the_end(advice: Advice, shown: str) -> None:
    footer = shown[shown.index("<footer") :]
    assert advice.catalog.sha256 in footer
    assert f"keelwatt {__version__}" in footer
    assert "1 May 2026, 09:30" in footer
    assert 'datetime="2026-05-01T09:30+00:00"' in footer
    assert advice.outing.file in footer


def test_the_same_answer_makes_the_same_page(advice: Advice) -> None:
    assert pick_page(Answer(advice), MADE) == pick_page(Answer(advice), MADE)


def test_names_are_set_apart_only_where_they_run_the_other_way(small: Catalog, shown: str) -> None:
    assert "<bdi>" not in shown
    hebrew = pick_page(Answer(small_advice(small, '"out"', '"הלוך"')), MADE)
    assert "<bdi>הלוך</bdi>" in hebrew


def test_impossible_outings_get_their_conflicts_and_ways_out(small: Catalog) -> None:
    found = small_advice(small, "budget = 1200", "budget = 12")
    shown = unescape(pick_page(Answer(found), MADE))
    assert found.status == "impossible" and found.ways_out
    assert "No kit yet" in shown
    assert "meets every limit (proved)" in shown
    assert "Ways out, the mildest first" in shown
    assert shown.count(found.outing.title) == 2, "in the head and as the heading"
    assert words.money(found.ways_out[0].found.cost_cents) in shown


def test_what_is_not_proved_is_not_explained_and_shows_no_prices_of_limits(small: Catalog) -> None:
    unproved = replace(small_advice(small), status="unproved", explained=False, prices=())
    told = {block.title for block in page(Answer(unproved)).sections}
    assert not told & {"This kit among the others", "If you ask for more"}
    explained = {block.title for block in page(Answer(small_advice(small))).sections}
    assert explained >= {"This kit among the others", "If you ask for more"}


def test_a_kit_that_is_not_proved_best_is_not_called_so(advice: Advice) -> None:
    shown = pick_page(Answer(replace(advice, status="unproved")), MADE)
    assert "proved best" not in shown
    assert "time ran out" in shown


def test_the_season_is_told_where_it_decides(small: Catalog) -> None:
    by_season = small_advice(small, 'by = "cost"', 'by = "season"')
    assert "A season" in [figure.name for figure in page(Answer(by_season)).figures]
    by_cost = page(Answer(small_advice(small)))
    assert "A season" not in [figure.name for figure in by_cost.figures]


def test_what_is_owned_costs_nothing_and_says_so(small: Catalog) -> None:
    owned = small_advice(small, "own = []", 'own = ["stepped-130"]')
    told = next(b for b in page(Answer(owned)).sections if b.title == "What to buy")
    missing, yours = (part for part in told.parts if isinstance(part, Table))
    assert isinstance(missing, Table) and isinstance(yours, Table)
    assert [row[0] for row in yours.rows] == ["Five steps 130 N"]
    assert not any("Five steps 130 N" in row[0] for row in missing.rows)
    assert owned.proof
    price = words.money(owned.proof.assessment.totals.price_cents)
    assert missing.rows[-1][0] == "Total" and missing.rows[-1][2] == price


def test_blocks_are_set_under_their_headings(advice: Advice) -> None:
    blocks: list[Block] = [
        Say("first"),
        Heading("A table"),
        table(("a", "b"), [["x", "1"], ["y", "2"]], total=True),
        items(f"{n}" for n in range(2)),
        *numbered(["one"]),
        Plot(lambda width, plain: ["no such", f"thing on paper {width} {plain}"]),
    ]
    made = Page.of(advice, "kind", blocks)
    assert made.lead == [Say("first")]
    (section,) = made.sections
    assert [part.kind for part in section.parts] == ["table", "items", "numbered"]
    assert section.parts[1] == Items(("0", "1"))
    assert not section.long


def test_a_section_longer_than_a_sheet_may_break() -> None:
    rows = [[str(n)] for n in range(PAGE_LINES)]
    assert Section("long", [table(("t",), rows)]).long
    assert not Section("short", [table(("t",), rows[: PAGE_LINES // 2])]).long


def test_nothing_sure_enough_says_so_once(small: Catalog) -> None:
    text = small_outing_text().replace('hours = "1 h 15 min"', 'hours = "3 h"')
    outing = outing_from_text(text.replace("budget = 1200", "budget = 400"), "outing.toml")
    certain = sure(outing, small, 0.99)
    assert certain.chosen is None
    made = page(Answer(certain.advice, certain))
    told = [part.text for part in made.lead if isinstance(part, Say)]
    assert outing.title not in told
    assert told and "No kit in the catalog" in told[0]


def test_what_falls_short_of_the_chance_says_so_at_the_top(small: Catalog) -> None:
    certain = sure(outing_from_text(small_outing_text(), "outing.toml"), small, 0.6)
    assert certain.chosen and certain.holds
    short = replace(certain, asked=1.01)
    assert not short.holds
    for answered, says_so in ((certain, False), (short, True)):
        lead = page(Answer(answered.advice, answered)).lead
        assert any("falls short" in p.text for p in lead if isinstance(p, Say)) is says_so
