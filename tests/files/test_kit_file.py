import json
from pathlib import Path
from typing import Any

import pytest

from keelwatt.errors import InputError
from keelwatt.files.catalog.reader import read_catalog
from keelwatt.files.catalog.shipped import shipped_catalog
from keelwatt.files.kit_file import read_kit
from keelwatt.files.outing import read_outing
from keelwatt.files.starter import make_starter, starter_outing

CATALOG = read_catalog(shipped_catalog())


def written(**changes: Any) -> str:
    kit = {
        "battery": {"id": CATALOG.batteries[0].id, "compartment": "amidships"},
        "motor": {"id": CATALOG.motors[0].id, "mount": "stern bracket"},
        "cable": {"id": CATALOG.cables[0].id},
        "fuse": CATALOG.fuses[0].id,
        "connector": CATALOG.connectors[0].id,
    }
    return json.dumps(kit | changes)


def test_a_kit_needs_no_more_than_catalog_and_outing(tmp_path: Path) -> None:
    """The starter's straight run: 2.1 m along, 0.35 m across, 0.25 m up, and 0.6 m."""
    outing = read_outing(
        make_starter(tmp_path / "mine", "outing.toml", starter_outing()) / "outing.toml"
    )
    place = tmp_path / "kit.json"
    place.write_text(written(), encoding="utf-8")
    kit = read_kit(place, CATALOG, outing)
    assert kit.run_m == pytest.approx(2.1 + 0.35 + 0.25 + 0.6)
    assert (kit.series, kit.parallel, kit.controller, kit.charger) == (1, 1, None, None)


def test_names_that_do_not_exist(tmp_path: Path) -> None:
    outing = read_outing(
        make_starter(tmp_path / "mine", "outing.toml", starter_outing()) / "outing.toml"
    )
    place = tmp_path / "kit.json"
    motor = {"id": CATALOG.motors[0].id, "mount": "bow"}
    place.write_text(written(motor=motor, charger="none"), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_kit(place, CATALOG, outing)
    assert [(each.key, each.value) for each in caught.value.problems] == [
        ("motor.mount", "bow"),
        ("charger", "none"),
    ]
    assert caught.value.problems[0].remedy == "choose from stern bracket"
