"""A headless Chromium for the tests, and what they ask a page."""

import base64
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from selenium import webdriver
from selenium.webdriver.chrome.service import Service

NEEDED = "KEELWATT_NEEDS_CHROMIUM"
"""With this in the environment a missing browser is a failure, not a reason to skip."""

SWITCHES = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
)

AUDIT = """
const name = element => element.tagName.toLowerCase() + ': ' + element.textContent.slice(0, 60);
const wide = [...document.querySelectorAll('main *, header *, footer *, nav *')]
  .filter(e => !e.closest('svg, caption, thead'))
  .filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 1
            || (e.clientWidth > 0 && e.scrollWidth > e.clientWidth + 1))
  .map(name);
const clipped = [], overlapping = [];
for (const svg of document.querySelectorAll('svg.drawing')) {
  const frame = svg.getBoundingClientRect();
  const texts = [...svg.querySelectorAll('text')].map(text => {
    const box = text.getBoundingClientRect(), ink = 0.15 * box.height;
    return {name: svg.querySelector('title').textContent + ': ' + text.textContent,
            left: box.left, right: box.right, top: box.top + ink, bottom: box.bottom - ink};
  });
  for (const [i, a] of texts.entries()) {
    if (a.left < frame.left - 0.5 || a.right > frame.right + 0.5 ||
        a.top < frame.top - 0.5 || a.bottom > frame.bottom + 0.5) clipped.push(a.name);
    for (const b of texts.slice(i + 1))
      if (a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)
        overlapping.push(a.name + ' | ' + b.name);
  }
}
return {
  sideways: document.documentElement.scrollWidth - document.documentElement.clientWidth,
  wide, clipped, overlapping,
  texts: document.querySelectorAll('svg.drawing text').length,
};
"""
"""What is wrong with the layout; ``texts`` is how many were looked at."""

PAPER = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height in mm."""

MARGIN_MM = 14.0
MM_PX = 96.0 / 25.4


@contextmanager
def chromium(profile: Path) -> Iterator[webdriver.Chrome]:
    """A browser of its own; the test is skipped where there is none, unless one is needed."""
    binary = shutil.which("chromium") or shutil.which("google-chrome")
    driver = shutil.which("chromedriver")
    if binary is None or driver is None:
        why = "no chromium and chromedriver found: apt-get install chromium chromium-driver"
        if os.environ.get(NEEDED):
            pytest.fail(why)
        pytest.skip(why)
    options = webdriver.ChromeOptions()
    options.binary_location = binary
    for switch in (*SWITCHES, f"--user-data-dir={profile}"):
        options.add_argument(switch)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    browser = webdriver.Chrome(options=options, service=Service(driver))
    try:
        yield browser
    finally:
        browser.quit()


def show(browser: webdriver.Chrome, page: Path, *, width: int, media: str = "screen") -> None:
    """Open a page in a window of that width."""
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": media})
    resize(browser, width)
    browser.get(page.resolve().as_uri())


def resize(browser: webdriver.Chrome, width: int) -> None:
    metrics = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 500}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)


def audit(browser: webdriver.Chrome) -> dict[str, Any]:
    result: dict[str, Any] = browser.execute_script(AUDIT)
    return result


def console(browser: webdriver.Chrome) -> list[str]:
    """What the console said since it was asked last."""
    entries = browser.execute("getLog", {"type": "browser"})["value"]
    return [entry["message"] for entry in entries]


def read_aloud(browser: webdriver.Chrome) -> dict[str, list[str]]:
    """The accessibility tree: the names of all of each role."""
    roles: dict[str, list[str]] = {}
    for node in browser.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]:
        if not node["ignored"]:
            name = node.get("name", {}).get("value", "")
            roles.setdefault(node["role"]["value"], []).append(name)
    return roles


def pdf(browser: webdriver.Chrome, paper: str) -> bytes:
    width_mm, height_mm = PAPER[paper]
    printed = browser.execute_cdp_cmd(
        "Page.printToPDF",
        {"paperWidth": width_mm / 25.4, "paperHeight": height_mm / 25.4, "printBackground": True},
    )
    return base64.b64decode(printed["data"])
