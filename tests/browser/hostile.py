"""An outing and a catalog whose names try to break a page."""

import csv
import io
from pathlib import Path

from keelwatt.explain.advise import Advice, advise
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.outing import outing_from_text
from samples import small_catalog_text, small_outing_text, write_catalog

SCRIPT = "<script>document.title='taken'</script>"
QUOTES = "\"double\" & 'single' </svg> &amp; {{ 7 * 7 }} {% raw %}"
LONG = "Unbrokenverylongname" * 10
ARABIC = "بطارية ليثيوم 100 أمبير"
HEBREW = "מנוע חשמלי 12 וולט (קצר)"

PARTS = {
    "batteries.csv": ARABIC,
    "motors.csv": SCRIPT,
    "controllers.csv": HEBREW,
    "cables.csv": LONG,
    "fuses.csv": QUOTES,
    "connectors.csv": f"{HEBREW} {SCRIPT}",
    "chargers.csv": LONG,
}

OUTING = {
    '"Round the island"': SCRIPT,
    '"USD"': QUOTES,
    '"bow"': LONG,
    '"stern"': HEBREW,
    '"transom"': ARABIC,
    '"paddler"': SCRIPT,
    '"gear"': LONG,
    '"out"': LONG,
    '"back"': HEBREW,
    '"phone"': QUOTES,
}


def hostile_advice(folder: Path) -> Advice:
    """A kit to be found all the same."""
    files = {name: _named(text, PARTS[name]) for name, text in small_catalog_text().items()}
    text = small_outing_text().replace('"stern/transom"', _quoted(f"{HEBREW}/{ARABIC}"))
    for name, hostile in OUTING.items():
        assert name in text
        text = text.replace(name, _quoted(hostile))
    catalog = read_catalog(write_catalog(folder / "catalog", files))
    return advise(outing_from_text(text, "outing.toml"), catalog)


def _named(text: str, name: str) -> str:
    header, *rows = csv.reader(io.StringIO(text))
    column = header.index("name")
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(header)
    for row in rows:
        row[column] = name
        writer.writerow(row)
    return out.getvalue()


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
