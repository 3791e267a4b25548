"""Which catalog a command reads, and that every answer names it."""

import json
import shutil
from pathlib import Path

import pytest

from golden.kept import ran
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog, shipped_sha256
from samples import small_outing_text, write_catalog


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """An outing with a catalog beside it, and another catalog where the commands are run."""
    (tmp_path / "boat").mkdir()
    (tmp_path / "boat" / "outing.toml").write_text(small_outing_text(), encoding="utf-8")
    write_catalog(tmp_path / "boat" / "catalog")
    shutil.copytree(shipped_catalog(), tmp_path / "catalog")
    return tmp_path


def used(folder: Path, command: str) -> tuple[str, bool]:
    data = json.loads(ran(f"{command} --json", folder).told["stdout"])
    return data["catalog"], data["invented_prices"]


OUTING = "boat/outing.toml"


def test_the_one_named_goes_first(folder: Path) -> None:
    assert used(folder, f"pick {OUTING} --catalog catalog") == ("catalog", True)


@pytest.mark.parametrize(
    "command",
    ["pick", "stretch --over hours", "tradeoff", "whatif --set hours=+1h", "why"],
)
def test_then_the_one_beside_the_outing(folder: Path, command: str) -> None:
    name, *options = command.split()
    part = read_catalog(folder / "boat" / "catalog").batteries[0].id
    asked = [name, OUTING, *([part] if name == "why" else []), *options]
    assert used(folder, " ".join(asked)) == ("boat/catalog", False)


def test_then_the_one_here(folder: Path) -> None:
    shutil.rmtree(folder / "boat" / "catalog")
    assert used(folder, f"pick {OUTING}") == ("catalog", True)


def test_then_the_packaged_one(folder: Path) -> None:
    shutil.rmtree(folder / "boat" / "catalog")
    shutil.rmtree(folder / "catalog")
    assert used(folder, f"pick {OUTING}") == (str(shipped_catalog()), True)


def test_a_batch_has_one_catalog_for_all(folder: Path) -> None:
    assert used(folder, f"batch {OUTING} --out rows.csv --workers 1") == ("catalog", True)


def test_a_screen_names_it_and_says_what_is_invented(folder: Path) -> None:
    own = ran(f"pick {OUTING}", folder).told["stdout"]
    assert own.endswith("\nCatalog: boat/catalog.\n")
    packaged = ran(f"pick {OUTING} --catalog catalog", folder).told["stdout"]
    assert packaged.endswith("\nCatalog: catalog. Its parts and prices are invented.\n")


def test_the_packaged_one_is_known_by_what_it_holds(folder: Path) -> None:
    assert read_catalog(folder / "catalog").sha256 == shipped_sha256()
    with (folder / "catalog" / "fuses.csv").open("a", encoding="utf-8") as file:
        file.write("\n")
    assert used(folder, "catalog check") == ("catalog", False)


def test_a_page_says_that_prices_are_invented(folder: Path) -> None:
    for catalog, invented in (("catalog", True), ("boat/catalog", False)):
        ran(f"pick {OUTING} --catalog {catalog} --page page.html --again", folder)
        page = (folder / "page.html").read_text(encoding="utf-8")
        assert ("Its parts and prices are invented." in page) == invented
