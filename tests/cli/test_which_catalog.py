"""Which catalog a command reads, and that every answer names it."""

import json
import shutil
from pathlib import Path

import pytest

from golden.kept import ran
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
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


@pytest.mark.few(2)
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


def test_invented_parts_are_known_by_their_rows(folder: Path) -> None:
    """One's own among them do not make them real; nor do a line more, and a column more."""
    path = folder / "catalog" / "fuses.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    ours = "strip-35,Strip 35,fuse,35,1000,32,0.05,9.00"
    path.write_text("\n".join([*lines, "", ours, ""]), encoding="utf-8")
    catalog = read_catalog(folder / "catalog")
    total = sum(map(len, catalog.shelves().values()))
    assert catalog.invented == total - 1
    assert used(folder, "catalog check") == ("catalog", True)
    told = " ".join(ran("catalog check", folder).told["stdout"].split())
    assert f"{total - 1} of its {total} parts and their prices are invented." in told
    path.write_text("\n".join([f"{line}," for line in lines]), encoding="utf-8")
    assert read_catalog(folder / "catalog").invented == total - 1
    path.write_text("\n".join([lines[0], ours]), encoding="utf-8")
    shelves = read_catalog(folder / "catalog").shelves()
    assert read_catalog(folder / "catalog").invented == sum(map(len, shelves.values())) - 1


def test_a_page_says_that_prices_are_invented(folder: Path) -> None:
    for catalog, invented in (("catalog", True), ("boat/catalog", False)):
        ran(f"pick {OUTING} --catalog {catalog} --page page.html --again", folder)
        page = (folder / "page.html").read_text(encoding="utf-8")
        assert ("Its parts and prices are invented." in page) == invented
