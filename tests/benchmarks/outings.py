"""Many outings for measuring a batch: an example's text with its quantities a little off."""

import re
from pathlib import Path
from random import Random

EXAMPLES = Path(__file__).parents[2] / "examples"
VARIED = re.compile(r'(?m)^((?:waterline_length|waterline_beam|hull_mass|mass) = ")([0-9.]+)(?= )')


def write_outings(folder: Path, count: int, seed: int) -> list[Path]:
    """So many outings, each with its own hull and loads up to 3 % off those of an example."""
    folder.mkdir(parents=True, exist_ok=True)
    random = Random(seed)
    texts = [path.read_text(encoding="utf-8") for path in sorted(EXAMPLES.glob("*/outing.toml"))]
    paths = [folder / f"{number:04d}.toml" for number in range(count)]
    for number, path in enumerate(paths):
        path.write_text(varied(texts[number % len(texts)], random), encoding="utf-8")
    return paths


def varied(text: str, random: Random) -> str:
    """The outing with hull and masses up to 3 % off."""

    def off(found: re.Match[str]) -> str:
        return f"{found[1]}{float(found[2]) * random.uniform(0.97, 1.03):.4f}"

    return VARIED.sub(off, text)
