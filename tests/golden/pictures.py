"""The README's pictures: drawings of the page, each in a file with the page's colours."""

import re
from collections.abc import Mapping
from pathlib import Path

from golden.kept import ROOT, supply
from keelwatt.api import Answer, pick
from keelwatt.drawings import boat, wiring
from keelwatt.drawings.svg import Drawing
from keelwatt.report.page import page

FOLDER = "examples/reservoir-sampling"
STYLE = Path(page.__file__).parent / "templates" / "page.css"
FONT = 'text { font-family: system-ui, "DejaVu Sans", sans-serif; }'
APART = 0.05
"""How far numbers of a picture may lie apart: machines differ in the last bits."""

LARGER = 1.6
"""Pixels for a unit of a drawing."""

NUMBER = re.compile(r"-?\d+\.?\d*")


def pictures(folder: Path) -> Mapping[str, str]:
    """File, from the root -> picture, of the worked example."""
    supply(folder)
    answer = pick(folder / FOLDER / "outing.toml", folder / "catalog")
    return {f"{FOLDER}/{name}.svg": standing(drawing) for name, drawing in _drawn(answer)}


def _drawn(answer: Answer) -> tuple[tuple[str, Drawing], ...]:
    advice = answer.advice
    return (
        ("boat-above", boat.from_above(advice)),
        ("boat-side", boat.from_the_side(advice)),
        ("wiring", wiring.wiring(answer.net)),
    )


def standing(drawing: Drawing) -> str:
    """A drawing by itself, on paper by day."""
    css = STYLE.read_text(encoding="utf-8")
    colours = dict(re.findall(r"--(\w+): (#\w+);", css.split("@media")[0]))
    rules = css[css.index(".drawing text {") : css.index("@media screen and")]
    rules = re.sub(r"var\(--(\w+)\)", lambda found: str(colours[found[1]]), f"{rules}{FONT}")
    paper = f'<rect width="100%" height="100%" fill="{colours["card"]}"/>'
    head, body = str(drawing.__html__()).split(">", 1)
    ink, width = colours["ink"], LARGER * drawing.width
    head = f'{head} width="{width:.0f}" color="{ink}" fill="{ink}"'
    return f"{head}><style>{rules}</style>{paper}{body}\n".replace("><", ">\n<")


def alike(old: str, new: str) -> bool:
    """The same picture, but for the last bits of its numbers."""
    if NUMBER.sub("#", old) != NUMBER.sub("#", new):
        return False
    pairs = zip(NUMBER.findall(old), NUMBER.findall(new), strict=True)
    return all(abs(float(a) - float(b)) <= APART for a, b in pairs)


def write(folder: Path) -> None:
    for file, picture in pictures(folder).items():
        path = ROOT / file
        if not (path.is_file() and alike(path.read_text(encoding="utf-8"), picture)):
            path.write_text(picture, encoding="utf-8")
