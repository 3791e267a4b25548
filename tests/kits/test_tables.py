"""The tables' columns are those documented, and their rows what the rules allow."""

from dataclasses import replace

import pytest

from keelwatt.boat.facts import Facts
from keelwatt.files.outing import Parts
from keelwatt.kits import Table, candidates
from keelwatt.kits import banks as bank_module
from keelwatt.kits import drives as drive_module
from keelwatt.kits import wiring as wiring_module
from keelwatt.kits.build import CHARGER_COLUMNS
from oracle.one_of_each import (
    BATTERY,
    CABLE,
    CATALOG,
    CHARGER,
    CONNECTOR,
    CONTROLLER,
    FUSE,
    MOTOR,
    OUTING,
    with_craft,
    with_limits,
)
from oracle.random_cases import random_case


def table() -> Table:
    return candidates(Facts(OUTING), CATALOG)


@pytest.mark.parametrize("seed", range(20))
def test_columns_are_those_documented_and_no_others(seed: int) -> None:
    t = random_case(seed).table
    assert list(t.banks.columns) == [*bank_module.COLUMNS, "level"]
    assert list(t.drives.columns) == [*drive_module.COLUMNS, "harness"]
    assert list(t.wiring.columns) == list(wiring_module.COLUMNS)
    assert list(t.chargers.columns) == list(CHARGER_COLUMNS)


def test_nothing_that_fits_makes_empty_tables_with_the_same_columns() -> None:
    box = OUTING.craft.compartments[0].model_copy(update={"length_m": 0.05})
    t = candidates(Facts(with_craft(compartments=(box,))), CATALOG)
    assert len(t.banks) == len(t.wiring) == 0
    assert list(t.banks.columns) == [*bank_module.COLUMNS, "level"]
    assert len(t.drives) == 2


def test_a_bank_row_by_hand() -> None:
    """Usable: 100 Ah * 0.5 (kind use of lead) * (1 - 0.2); a season: 200.00 over five."""
    (bank,) = table().banks.to_dict("records")
    assert bank["battery"] == "battery"
    assert (bank["series"], bank["parallel"], bank["compartment"]) == (1, 1, "stern")
    assert (bank["mass_g"], bank["piece_g"]) == (20000, 20000)
    assert (bank["price_cents"], bank["season_units"]) == (20000, 400000)
    assert bank["usable_ah"] == pytest.approx(40.0)
    assert (bank["system_v"], bank["voltage_v"], bank["continuous_a"]) == (12, 12.0, 60.0)
    assert bank["over_load_g"] < 0
    assert bank["charger_a"] == 0.0


def test_the_charger_current_that_refills_a_bank_in_time() -> None:
    """Lead takes 1.2 times what was used: 40 Ah * 1.2 in 6 h are 8 A."""
    (bank,) = candidates(
        Facts(with_limits(recharge_within_h=6.0)), CATALOG
    ).banks.to_dict("records")  # fmt: skip
    assert bank["charger_a"] == pytest.approx(8.0)


def test_a_compartment_load_in_whole_grams() -> None:
    """19.9996 kg allow no bank of 20.000 kg, however the limit rounds."""
    box = OUTING.craft.compartments[0].model_copy(update={"max_load_kg": 19.9996})
    (bank,) = candidates(Facts(with_craft(compartments=(box,))), CATALOG).banks.to_dict("records")
    assert bank["over_load_g"] == 1


def test_drive_rows_by_hand() -> None:
    stepped, chopped = table().drives.to_dict("records")
    assert (stepped["controller"], stepped["controller_row"]) == ("", -1)
    assert (stepped["mass_g"], stepped["price_cents"]) == (5000, 10000)
    assert (stepped["chopper"], stepped["steps"], stepped["efficiency"]) == (False, 5, 1.0)
    assert (chopped["controller"], chopped["controller_row"]) == ("controller", 0)
    assert (chopped["mass_g"], chopped["price_cents"]) == (5500, 15000)
    assert (chopped["chopper"], chopped["steps"], chopped["efficiency"]) == (True, 1, 0.9)
    assert (chopped["motor_g"], chopped["controller_g"], chopped["piece_g"]) == (5000, 500, 5000)
    assert stepped["season_units"] == 10000 * 100 // 10


def test_no_controller_drives_a_motor_with_its_own_electronics() -> None:
    motor = MOTOR.model_copy(update={"control": "chopper", "steps": 0, "efficiency": 0.95})
    (drive,) = candidates(
        Facts(OUTING), replace(CATALOG, motors=(motor,))
    ).drives.to_dict("records")  # fmt: skip
    assert (drive["controller"], drive["chopper"], drive["efficiency"]) == ("", True, 0.95)


def test_a_required_controller_leaves_no_motor_to_its_own_switch() -> None:
    outing = OUTING.model_copy(update={"parts": Parts(require=("controller",))})
    assert candidates(Facts(outing), CATALOG).drives["controller"].tolist() == ["controller"]


def test_owned_parts_cost_nothing_more() -> None:
    ids = ("battery", "motor", "controller", "cable", "fuse", "connector", "charger")
    t = candidates(
        Facts(OUTING.model_copy(update={"parts": Parts(own=ids)})), CATALOG
    )  # fmt: skip
    for frame in (t.banks, t.drives, t.wiring, t.chargers):
        assert frame["price_cents"].eq(0).all()
        assert frame["season_units"].eq(0).all()


def test_one_owned_battery_of_two_is_paid_for_once() -> None:
    catalog = replace(CATALOG, batteries=(BATTERY.model_copy(update={"max_parallel": 2}),))
    parts = Parts(own=("battery",), own_pieces={"battery": 1})
    t = candidates(Facts(OUTING.model_copy(update={"parts": parts})), catalog)
    assert t.banks["price_cents"].tolist() == [0, 20000]


def test_wiring_by_hand() -> None:
    """Two conductors of 2 m at 0.1 kg/m and 2.50 a metre, a fuse, a connector."""
    (wiring,) = table().wiring.to_dict("records")
    assert (wiring["mass_g"], wiring["price_cents"]) == (400 + 100 + 100, 1000 + 1000 + 1500)
    assert (wiring["run_m"], wiring["system_v"]) == (2.0, 12)


def test_wiring_beaten_on_price_and_mass_is_dropped_and_equals_keep_the_first() -> None:
    dearer = FUSE.model_copy(update={"id": "dearer", "price_cents": 1100})
    lighter = FUSE.model_copy(update={"id": "lighter", "price_cents": 1200, "mass_kg": 0.05})
    twin = CONNECTOR.model_copy(update={"id": "twin"})
    catalog = replace(CATALOG, fuses=(dearer, FUSE, lighter), connectors=(CONNECTOR, twin))
    wiring = candidates(Facts(OUTING), catalog).wiring
    assert wiring["fuse_row"].tolist() == [1, 2]
    assert wiring["connector_row"].tolist() == [0, 0]


def test_a_connector_takes_cables_of_its_sizes_only() -> None:
    thick = CABLE.model_copy(update={"id": "thick", "size": "21 mm2"})
    thin = CABLE.model_copy(update={"id": "thin", "size": "4 mm2"})
    catalog = replace(CATALOG, cables=(thick, thin, CABLE))
    assert set(candidates(Facts(OUTING), catalog).wiring["cable_row"]) == {2}


def test_a_fuse_may_exceed_the_ampacity_only_by_the_policy() -> None:
    """8 AWG at 105 degC carries 80 A: a 90 A fuse only with the regulation's leave."""
    catalog = replace(CATALOG, fuses=(FUSE.model_copy(update={"rating_a": 90}),))
    lenient = OUTING.policy.model_copy(update={"fuse_over_ampacity": 1.15})
    assert candidates(Facts(OUTING), catalog).wiring.empty
    leave = OUTING.model_copy(update={"policy": lenient})
    assert len(candidates(Facts(leave), catalog).wiring) == 1


def test_chargers_and_whether_one_is_required() -> None:
    second = CHARGER.model_copy(update={"id": "second", "price_cents": 100})
    catalog = replace(CATALOG, chargers=(CHARGER, second), controllers=(CONTROLLER,))
    t = candidates(Facts(OUTING), catalog)
    assert t.chargers["charger"].tolist() == ["charger", "second"]
    assert not t.charger_required
    required = OUTING.model_copy(update={"parts": Parts(require=("second",))})
    t = candidates(Facts(required), catalog)
    assert t.chargers["charger"].tolist() == ["second"]
    assert t.charger_required
