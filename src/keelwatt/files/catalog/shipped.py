"""The catalog that comes with keelwatt: where it lies, and how it is known again."""

import hashlib
from functools import cache
from pathlib import Path

from keelwatt.files.catalog.parts import FILES

PACKAGE = Path(__file__).parents[2]


def shipped_catalog() -> Path:
    """The packaged catalog, or the checkout's when keelwatt is installed in place."""
    packaged = PACKAGE / "shipped"
    return packaged if packaged.is_dir() else PACKAGE.parents[1] / "catalog"


@cache
def shipped_sha256() -> str:
    """What ``Catalog.sha256`` is for these files and every unchanged copy of them."""
    folder = shipped_catalog()
    return hashlib.sha256(
        b"".join((folder / f"{stem}.csv").read_bytes() for stem in sorted(FILES))
    ).hexdigest()
