"""What a spreadsheet could take for a formula is guarded, and comes back as it was."""

import re
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from keelwatt.files.catalog.append import with_row
from keelwatt.files.catalog.cells import columns_of
from keelwatt.files.catalog.parts import Connector
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.csv_cells import FORMULA_SIGNS, guarded, unguarded
from samples import SHOP_PAGES, write_catalog

CELLS = st.text(st.sampled_from("'=+-@\t\r\n\xa0\u2003 1a＝")) | st.text()


@given(CELLS)
@example("'=1")
@example("' =1")
@example("'\t=1")
def test_each_cell_reads_back(cell: str) -> None:
    assert unguarded(guarded(cell)) == cell


@given(CELLS)
@example("\xa0=")
@example("\u3000' -1")
def test_no_guarded_cell_begins_a_formula(cell: str) -> None:
    assert guarded(cell)[:1] not in FORMULA_SIGNS
    assert guarded(cell).lstrip()[:1] not in FORMULA_SIGNS


@pytest.mark.parametrize("cell", ["", "12.50", "lfp-12v-100ah", "it's", "'quoted'", "a=b"])
def test_plain_cells_stay_as_they_are(cell: str) -> None:
    assert guarded(cell) == unguarded(cell) == cell


@pytest.mark.parametrize("cell", ["-1.5", "-0", "-12e-3"])
def test_numbers_below_nothing_stay_numbers(cell: str) -> None:
    assert guarded(cell) == cell
    assert guarded(f"{cell}+1") == f"'{cell}+1"


def test_every_csv_that_leaves_is_written_in_one_place() -> None:
    source = Path(__file__).parents[2] / "src/keelwatt"
    writing = re.compile(r"csv\.(writer|DictWriter)|\.to_csv\(")
    found = {path.name for path in source.rglob("*.py") if writing.search(path.read_text("utf-8"))}
    assert found == {"csv_cells.py"}


def test_a_part_added_to_a_catalog_is_guarded_and_reads_back(tmp_path: Path) -> None:
    """What stood in the file before stays as it was."""
    folder = write_catalog(tmp_path)
    path = folder / "connectors.csv"
    mine = path.read_text(encoding="utf-8").replace("Plug 50 A", "=Plug 50 A")
    path.write_text(mine, encoding="utf-8")
    row = mine.splitlines()[-1].split(",")
    cells = dict(zip((c.field for c in columns_of(Connector)), row, strict=False))
    name = "=1+1"
    _, after, _ = with_row(path, "connectors", cells | {"id": "plug-new", "name": name})
    assert after.startswith(mine)
    assert f",'{name}," in after.splitlines()[-1]
    path.write_text(after, encoding="utf-8")
    assert read_catalog(folder).part("plug-new").name == name
    assert read_catalog(folder).part("plug-50").name == "=Plug 50 A"


def test_a_part_added_where_one_column_holds_several(tmp_path: Path) -> None:
    """A shop's "voltage" is the lowest and the highest system of a control."""
    folder = write_catalog(tmp_path, SHOP_PAGES)
    cells = {"name": "New", "min_system_v": "24", "max_system_v": "36", "current_a": "20 A"}
    _, after, _ = with_row(folder / "controllers.csv", "controllers", cells | {"price_cents": "9"})
    (folder / "controllers.csv").write_text(after, encoding="utf-8")
    added = read_catalog(folder).controllers[-1]
    assert (added.name, added.min_system_v, added.max_system_v) == ("New", 24, 36)
