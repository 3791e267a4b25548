"""Wiring diagrams in a real browser: no text is clipped or lies upon another."""

from pathlib import Path

from browser.chromium import audit, chromium, show
from drawings.renamed import renamed
from keelwatt.drawings.wiring import branches, wiring
from wiring.kits import KITS, net_of

CSS = Path(__file__).parents[2] / "src/keelwatt/report/page/templates/page.css"


def test_wiring_diagrams_are_legible(tmp_path: Path) -> None:
    nets = [net for name in KITS for net in (net_of(name), renamed(net_of(name)))]
    drawings = [d for net in nets for d in (wiring(net), branches(net)) if d is not None]
    figures = "".join(f"<figure>{drawing.__html__()}</figure>" for drawing in drawings)
    page = tmp_path / "wiring.html"
    style = CSS.read_text(encoding="utf-8")
    page.write_text(
        f'<!doctype html><meta charset="utf-8"><style>{style}</style>{figures}', encoding="utf-8"
    )
    with chromium(tmp_path / "profile") as browser:
        for width in (375, 1280):
            show(browser, page, width=width)
            found = audit(browser)
            assert found["clipped"] == []
            assert found["overlapping"] == []
            assert found["texts"] > 25 * len(nets)
