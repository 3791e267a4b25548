"""What-if answers on the shipped catalog and examples, each worked out once."""

from functools import cache
from pathlib import Path

from keelwatt.edit.whatif import WhatIf, whatif
from keelwatt.files.catalog.reader import Catalog, read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.outing import read_text
from remembered import remembering

FILE = "outing.toml"


@cache
def shipped() -> Catalog:
    return read_catalog(shipped_catalog())


def example(name: str) -> str:
    return read_text(Path(__file__).parents[2] / "examples" / name / "outing.toml")


@cache
def asked(name: str, *settings: str) -> WhatIf:
    with remembering():
        return whatif(example(name), FILE, shipped(), settings)
