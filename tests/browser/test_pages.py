"""Pages in a real browser: on a phone, a tablet, a desk, on paper, and read aloud."""

import io
import re
import unicodedata
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pypdf import PdfReader
from selenium import webdriver
from selenium.webdriver.common.by import By

from browser.chromium import (
    MARGIN_MM,
    MM_PX,
    PAPER,
    audit,
    chromium,
    console,
    pdf,
    read_aloud,
    resize,
    show,
)
from browser.hostile import ARABIC, HEBREW, LONG, QUOTES, SCRIPT, hostile_advice
from keelwatt.edit.whatif import whatif
from keelwatt.explain.advise import advise
from keelwatt.explain.stretch import stretch
from keelwatt.explain.tradeoff import best_kits, tradeoff
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.outing import read_outing, read_text
from keelwatt.report.answer import Answer
from keelwatt.report.page.answer import pick_page
from keelwatt.report.page.studies import stretch_page, tradeoff_page, whatif_page
from keelwatt.report.tradeoff import NEAR

ROOT = Path(__file__).parents[2]
MADE = datetime(2026, 5, 1, 9, 30, tzinfo=UTC)
WIDTHS = (375, 768, 1280)
PAGES = ("pick", "owned", "impossible", "tradeoff", "stretch", "whatif", "hostile")

LARGEST = 200_000
"""Bytes of a page at the most."""

BOXES = """
return [...document.querySelectorAll('.done > tbody > tr:not(.total) > th')].map(
  cell => getComputedStyle(cell, '::before').display)
"""
"""How the boxes to tick on paper are set."""

NAME_AND_NEXT = """
return [...document.querySelectorAll('bdi')].map(bdi => {
  const after = bdi.nextSibling;
  if (!after || !after.data) return null;
  const range = document.createRange();
  range.setStart(after, 0); range.setEnd(after, 1);
  const next = range.getBoundingClientRect();
  const line = [...bdi.getClientRects()].filter(r => r.top < next.bottom && r.bottom > next.top);
  return line.length ? [Math.max(...line.map(r => r.right)), next.left] : null;
}).filter(Boolean)
"""
"""Where each name ends, and where what follows it on the same line begins."""


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """One page of each kind, as files."""
    folder = tmp_path_factory.mktemp("pages")
    catalog = read_catalog(ROOT / "catalog")
    outings = {
        name: ROOT / "examples" / example / "outing.toml"
        for name, example in {
            "pick": "reservoir-sampling",
            "owned": "bird-count-canoe-owned",
            "impossible": "reservoir-winter-impossible",
            "study": "bird-count-canoe",
        }.items()
    }
    advice = {name: advise(read_outing(path), catalog) for name, path in outings.items()}
    study = advice["study"]
    text = read_text(outings["study"])
    changed = whatif(text, "outing.toml", catalog, ["hours=+2h", "lift=9 kg"])
    picked = ("pick", "owned", "impossible")
    told = {name: pick_page(Answer(advice[name]), MADE) for name in picked} | {
        "tradeoff": tradeoff_page(study, tradeoff(study), best_kits(study, 5), NEAR, MADE),
        "stretch": stretch_page(study, stretch(study, "speed"), MADE),
        "whatif": whatif_page(changed, MADE),
        "hostile": pick_page(Answer(hostile_advice(folder)), MADE),
    }
    paths = {name: folder / f"{name}.html" for name in told}
    for name, html in told.items():
        paths[name].write_text(html, encoding="utf-8")
    return paths


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[webdriver.Chrome]:
    with chromium(tmp_path_factory.mktemp("profile")) as started:
        yield started


@pytest.mark.few(4)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_small_and_needs_nothing_from_anywhere(pages: dict[str, Path], name: str) -> None:
    html = pages[name].read_text(encoding="utf-8")
    assert len(html.encode()) < LARGEST
    assert "<script" not in html
    for outside in (" src=", "url(", "@import", "https:", '<link rel="stylesheet'):
        assert outside not in html
    assert set(re.findall(r"http:[^\"' ]*", html)) <= {"http://www.w3.org/2000/svg"}


@pytest.mark.parametrize("name", PAGES)
def test_a_page_fits_every_screen_and_says_nothing_to_the_console(
    pages: dict[str, Path], browser: webdriver.Chrome, name: str
) -> None:
    drawings = 0
    for width in WIDTHS:
        if width == WIDTHS[0]:
            show(browser, pages[name], width=width)
        else:
            resize(browser, width)
        found = audit(browser)
        drawings += found.pop("texts")
        assert found == {"sideways": 0, "wide": [], "clipped": [], "overlapping": []}, width
    assert console(browser) == []
    assert drawings > 0 or name in {"impossible", "whatif"}


@pytest.mark.parametrize("name", ["pick", "stretch", "hostile"])
@pytest.mark.parametrize("width", [375, 1280])
def test_every_picture_and_table_has_a_name_read_aloud(
    pages: dict[str, Path], browser: webdriver.Chrome, name: str, width: int
) -> None:
    show(browser, pages[name], width=width)
    count = {
        what: len(browser.find_elements(By.CSS_SELECTOR, what))
        for what in ("svg.drawing", "table", "tbody tr", "section", "main", "h2")
    }
    read = read_aloud(browser)
    for role, what in (
        ("image", "svg.drawing"),
        ("table", "table"),
        ("rowheader", "tbody tr"),
        ("region", "section"),
    ):
        assert len(read[role]) == count[what] > 0, role
        assert all(read[role]), read[role]
    assert len(read["main"]) == count["main"] == 1
    assert len(read["heading"]) == 1 + count["h2"]


@pytest.mark.parametrize("name", ["pick", "hostile"])
def test_ids_are_unique_and_every_reference_has_its_target(
    pages: dict[str, Path], name: str
) -> None:
    html = pages[name].read_text(encoding="utf-8")
    ids = re.findall(r" id=\"([^\"]+)\"", html)
    assert len(ids) == len(set(ids))
    targets = re.findall(r" aria-(?:labelled|described)by=\"([^\"]+)\"", html)
    assert {*targets, *re.findall(r" href=\"#([^\"]+)\"", html)} <= set(ids)


MOST_SHEETS = 8
"""Nobody staples more."""


@pytest.mark.few(3)
@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("name", ["pick", "owned", "impossible", "stretch"])
def test_paper_breaks_between_blocks(
    pages: dict[str, Path], browser: webdriver.Chrome, name: str, paper: str
) -> None:
    """A sheet begins with a heading, or goes on with a long block; none ends with a heading."""
    width_mm, height_mm = PAPER[paper]
    width_px = round((width_mm - 2 * MARGIN_MM) * MM_PX)
    show(browser, pages[name], width=width_px, media="print")
    blocks = browser.find_elements(By.CSS_SELECTOR, "section.block")
    titles = {_bare(b.find_element(By.TAG_NAME, "h2").text): b for b in blocks}
    long = {title for title, b in titles.items() if "long" in (b.get_attribute("class") or "")}
    for title, block in titles.items():
        room_px = (height_mm - 2 * MARGIN_MM) * MM_PX
        assert title in long or block.size["height"] <= room_px, title
    found = audit(browser)
    assert (found["sideways"], found["clipped"], found["overlapping"]) == (0, [], [])
    sheets = [
        [_bare(line) for line in sheet.extract_text().splitlines() if line.strip()]
        for sheet in PdfReader(io.BytesIO(pdf(browser, paper))).pages
    ]
    for number, sheet in enumerate(sheets, start=1):
        sheet.remove(_bare(f"{number} of {len(sheets)}"))
    boxes = browser.execute_script(BOXES)
    assert len(boxes) > 20 or name not in ("pick", "owned")
    assert set(boxes) <= {"inline-block"}
    assert len(sheets) <= MOST_SHEETS
    assert len(sheets) > 1 or name == "impossible"
    begun: list[str] = []
    for sheet in sheets:
        first, last = sheet[0], sheet[-1]
        assert last not in titles, last
        if begun:
            assert first in titles or begun[-1] in long
        begun += [line for line in sheet if line in titles]
    assert begun == list(titles)


def _bare(text: str) -> str:
    """Without spaces and ligatures, which paper sets in its own way."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFKC", text))


def test_hostile_names_are_plain_text(pages: dict[str, Path], browser: webdriver.Chrome) -> None:
    show(browser, pages["hostile"], width=768)
    assert browser.title.startswith(SCRIPT)
    seen = browser.execute_script("return document.body.innerText")
    for name in (SCRIPT, QUOTES, LONG, ARABIC, HEBREW):
        assert name in seen
    assert browser.find_elements(By.TAG_NAME, "script") == []


def test_names_from_right_to_left_stay_apart(
    pages: dict[str, Path], browser: webdriver.Chrome
) -> None:
    """Each in a <bdi>, so that what follows it stands to its right."""
    show(browser, pages["hostile"], width=1280)
    apart = {bdi.text for bdi in browser.find_elements(By.TAG_NAME, "bdi")}
    assert {ARABIC, HEBREW, f"{HEBREW} {SCRIPT}"} <= apart
    places = browser.execute_script(NAME_AND_NEXT)
    assert places
    for name_right, next_left in places:
        assert next_left >= name_right - 1.0
