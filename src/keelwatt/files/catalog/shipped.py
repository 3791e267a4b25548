"""The catalog that comes with keelwatt: where it lies, and how it is known again."""

from functools import cache
from pathlib import Path

from keelwatt.files.catalog.parts import FILES

PACKAGE = Path(__file__).parents[2]


def shipped_catalog() -> Path:
    """The packaged catalog, or the checkout's when keelwatt is installed in place."""
    packaged = PACKAGE / "shipped"
    return packaged if packaged.is_dir() else PACKAGE.parents[1] / "catalog"


@cache
def _invented() -> frozenset[str]:
    folder = shipped_catalog()
    texts = ((folder / f"{stem}.csv").read_text(encoding="utf-8") for stem in FILES)
    return frozenset(row for text in texts for row in _rows(text)[1:])


def invented_in(data: bytes) -> int:
    """How many rows of a file are those of the packaged catalog, empty cells at the end aside."""
    return sum(row in _invented() for row in _rows(data.decode("utf-8-sig", "replace")))


def _rows(text: str) -> list[str]:
    return [line.rstrip(",") for line in text.splitlines() if not line.startswith("#")]
