"""What is told of each part of the kit before and after, on a small catalog."""

from pathlib import Path

import pytest

from keelwatt.edit.whatif import whatif
from keelwatt.files.catalog.reader import Catalog, read_catalog
from samples import small_outing_text, write_catalog

SOON = "recharge=14h"
NEVER = "recharge=none"


@pytest.fixture(scope="module")
def catalog(tmp_path_factory: pytest.TempPathFactory) -> Catalog:
    return read_catalog(write_catalog(Path(tmp_path_factory.mktemp("catalog"))))


def told(
    text: str, catalog: Catalog, setting: str
) -> dict[str, tuple[str | None, str | None, str]]:
    found = whatif(text, "outing.toml", catalog, [setting])
    return {swap.kind: (swap.before, swap.after, swap.how) for swap in found.swaps}


def test_a_charger_wished_for_is_added_and_one_no_longer_wished_for_is_dropped(
    catalog: Catalog,
) -> None:
    text = small_outing_text().replace("45 kg", "46 kg")
    with_wish = text.replace("[limits]\n", '[limits]\nrecharge_within = "14 h"\n')
    added = told(text, catalog, SOON)
    dropped = told(with_wish, catalog, NEVER)
    assert added["charger"] == (None, "charger-lead", "added")
    assert dropped["charger"] == ("charger-lead", None, "dropped")
    others = {kind: how for kind, (_, _, how) in added.items() if kind != "charger"}
    assert set(others.values()) == {"kept"}


def test_a_part_refused_is_replaced_by_another(catalog: Catalog) -> None:
    text = small_outing_text()
    before = told(text, catalog, "budget=+1")["fuse"][0]
    was, now, how = told(text, catalog, f"parts.refuse={before}")["fuse"]
    assert (was, how) == (before, "replaced")
    assert now not in (None, before)
