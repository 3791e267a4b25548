"""Where the catalog that comes with keelwatt lies."""

from pathlib import Path

PACKAGE = Path(__file__).parents[2]


def shipped_catalog() -> Path:
    """The packaged catalog, or the checkout's when keelwatt is installed in place."""
    packaged = PACKAGE / "shipped"
    return packaged if packaged.is_dir() else PACKAGE.parents[1] / "catalog"
