"""The form in a real browser: drawn as one types and drags, and saved as an outing with a kit."""

from collections.abc import Iterator
from pathlib import Path
from time import monotonic, sleep

import pytest
from selenium import webdriver
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import Select

from browser.chromium import chromium, console
from keelwatt.explain.advise import advise
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.outing import Outing, outing_from_text
from keelwatt.interview.form import form_page
from keelwatt.interview.usual import USUAL

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def driver(tmp_path_factory: pytest.TempPathFactory) -> Iterator[webdriver.Chrome]:
    with chromium(tmp_path_factory.mktemp("profile")) as started:
        started.set_window_size(1280, 1000)
        yield started


@pytest.fixture
def browser(driver: webdriver.Chrome, tmp_path: Path) -> webdriver.Chrome:
    """At a form nobody touched; what it saves goes into the test's folder."""
    page = tmp_path / "form.html"
    page.write_text(form_page(), encoding="utf-8")
    folder = {"behavior": "allow", "downloadPath": str(tmp_path)}
    driver.execute_cdp_cmd("Browser.setDownloadBehavior", folder)
    driver.get(page.as_uri())
    return driver


def box(browser: webdriver.Chrome, key: str) -> WebElement:
    return browser.find_element(By.ID, key)


def viewed(browser: webdriver.Chrome) -> float:
    """Metres from side to side of the boat from above."""
    found = browser.execute_script("return document.getElementById('above').viewBox.baseVal.width")
    return float(found)


def typed(browser: webdriver.Chrome, key: str, text: str) -> None:
    field = box(browser, key)
    field.send_keys(Keys.CONTROL, "a")
    field.send_keys(text)


def file(browser: webdriver.Chrome) -> str:
    found = browser.execute_script("return document.getElementById('file').textContent")
    assert isinstance(found, str)
    return found


def outing(browser: webdriver.Chrome) -> Outing:
    return outing_from_text(file(browser), "outing.toml")


def thing(
    browser: webdriver.Chrome, view: str, name: str
) -> webdriver.remote.webelement.WebElement:
    return browser.find_element(By.CSS_SELECTOR, f"#{view} [data-thing='{name}']")


def test_it_needs_nothing_from_anywhere_and_nothing_goes_wrong(browser: webdriver.Chrome) -> None:
    html = form_page()
    for outside in (" src=", "url(", "@import", "https:", "fetch(", "XMLHttp"):
        assert outside not in html
    assert console(browser) == []


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("shape", list(USUAL))
def test_what_is_offered_gives_a_kit_proved_best(
    browser: webdriver.Chrome, shape: str, system: str
) -> None:
    Select(box(browser, "craft/0/shape")).select_by_value(shape)
    Select(box(browser, "system")).select_by_value(system)
    assert (' ft"' in file(browser)) is (system == "us")
    advice = advise(outing(browser), read_catalog(ROOT / "catalog"))
    assert (advice.outing.craft.shape, advice.status) == (shape, "best")


def test_a_thing_dragged_is_where_it_was_dropped(browser: webdriver.Chrome) -> None:
    """A tenth of the drawing's width is a tenth of its metres."""
    before = outing(browser).aboard[0]
    view = box(browser, "above")
    wide = view.size["width"]
    metres = viewed(browser)
    ActionChains(browser).drag_and_drop_by_offset(
        thing(browser, "above", "aboard/0"), round(0.1 * wide), round(-0.02 * wide)
    ).perform()
    after = outing(browser).aboard[0]
    assert after.x_m - before.x_m == pytest.approx(0.1 * metres, abs=0.03)
    assert after.y_m - before.y_m == pytest.approx(-0.02 * metres, abs=0.03)
    assert after.z_m == before.z_m
    assert box(browser, "aboard/0/x").get_attribute("value") == f"{round(100 * after.x_m)} cm"
    thing(browser, "side", "aboard/0").send_keys(Keys.ARROW_UP, Keys.ARROW_UP)
    assert outing(browser).aboard[0].z_m == pytest.approx(before.z_m + 0.02)


def test_the_boat_is_drawn_as_it_is_typed(browser: webdriver.Chrome) -> None:
    typed(browser, "craft/0/waterline_length", "20 ft")
    wide = viewed(browser)
    assert wide == pytest.approx(1.2 * 20 * 0.3048)


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("craft/0/waterline_length", "4.6 kg"),
        ("craft/0/waterline_length", "4.6"),
        ("craft/0/hull_mass", ""),
        ("aboard/0/name", ""),
        ("leg/0/speed", "fast"),
    ],
)
def test_a_wrong_value_is_told_and_cannot_be_saved(
    browser: webdriver.Chrome, key: str, text: str
) -> None:
    field = box(browser, key)
    field.send_keys(Keys.CONTROL, "a")
    field.send_keys(Keys.BACKSPACE, text)
    assert browser.find_elements(By.CSS_SELECTOR, ".wrong .why")[0].text
    assert "One value is to be put right" in box(browser, "state").text
    assert not box(browser, "save").is_enabled()


def test_what_one_typed_outlasts_another_shape_other_units_and_a_new_visit(
    browser: webdriver.Chrome,
) -> None:
    typed(browser, "craft/0/waterline_length", "5.1 m")
    typed(browser, "aboard/0/name", 'it\'s "me" \\ <b>')
    Select(box(browser, "craft/0/shape")).select_by_value("slender")
    Select(box(browser, "system")).select_by_value("us")
    browser.execute_script("saved = true; changed()")
    browser.refresh()
    found = outing(browser)
    assert found.craft.waterline_length_m == 5.1
    assert found.aboard[0].name == 'it\'s "me" \\ <b>'
    assert 'waterline_length = "5.1 m"\n' in file(browser)
    assert 'waterline_beam = "24 in"  # offered' in file(browser)


def test_rows_are_added_and_taken_away(browser: webdriver.Chrome) -> None:
    section = browser.find_elements(By.TAG_NAME, "section")[4]
    section.find_elements(By.XPATH, ".//button[text()='Add another']")[0].click()
    names = [load.name for load in outing(browser).aboard]
    assert len(names) == 3 == len(set(names))
    section = browser.find_elements(By.TAG_NAME, "section")[4]
    section.find_elements(By.XPATH, ".//button[text()='Take away']")[0].click()
    assert [load.name for load in outing(browser).aboard] == names[1:]


def test_it_saves_an_outing_file(browser: webdriver.Chrome, tmp_path: Path) -> None:
    typed(browser, "/0/title", "Mine")
    assert "Not saved yet" in box(browser, "state").text
    box(browser, "save").click()
    saved, end = tmp_path / "outing.toml", monotonic() + 10
    while not saved.is_file() and monotonic() < end:
        sleep(0.1)
    assert saved.read_text(encoding="utf-8") == file(browser)
    assert outing(browser).title == "Mine"
    assert "keelwatt pick outing.toml" in box(browser, "state").text
