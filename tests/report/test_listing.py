"""The catalog's parts in tables."""

from pathlib import Path

from keelwatt.files.catalog.reader import read_catalog
from keelwatt.report.blocks import Table
from keelwatt.report.catalog_screens import listing
from samples import small_catalog_text, write_catalog

FITTINGS = """\
id,name,what,rating [A],size,studs,output [V],max_voltage [V],mass [kg],price
bar,Bus bar,bus bar,60,,4,,58,0.08,6.50
lug-6awg,Lug 6 AWG,lug,,6 AWG,,,,0.01,0.80
"""


def test_a_fitting_tells_its_rating_or_the_cable_it_is_for(tmp_path: Path) -> None:
    folder = write_catalog(tmp_path, small_catalog_text() | {"fittings.csv": FITTINGS})
    (table,) = (
        block for block in listing(read_catalog(folder), ["fittings"]) if isinstance(block, Table)
    )
    assert [column.title for column in table.columns[:4]] == ["Part", "What", "Current", "Cable"]
    assert [row[:4] for row in table.rows] == [
        ("bar", "bus bar", "60 A", "-"),
        ("lug-6awg", "lug", "-", "6 AWG"),
    ]
